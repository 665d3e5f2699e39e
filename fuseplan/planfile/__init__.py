"""Everything that touches the disk: plans, the library's definitions, recovery files."""

"""The papers, one a file: what stands on each. A file that defines ``SHEET`` is registered by being there."""

"""What the looms hold: connectors, pins, what becomes of each wire, and what is still unknown."""

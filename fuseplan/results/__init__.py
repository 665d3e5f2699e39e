"""The result of one plan: every figure declared once, where it is taken from the engine's arrays."""

"""The calculation: a plan and a set of limits in, currents, voltages, limits and margins out, as arrays."""

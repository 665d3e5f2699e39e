"""The calculation: a plan and a guidance in, currents, voltages, limits and margins out, as arrays."""

"""fuseplan plans a car's wiring: currents, fuses, wires, relays, earths and the alternator budget."""

__version__ = "0.1.0"

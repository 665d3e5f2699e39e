"""Tests beside the car: what to read where, what a reading means, when to power up."""

"""Conditions and lengths of wire in words."""

from __future__ import annotations

from fuseplan.engine.network import Network


def condition_words(network: Network, row: int) -> str:
    """A condition by its name: ``in 'Idle, wet night'``."""
    return f"in '{network.conditions[row].name or network.condition_ids[row]}'"


PLACES = {"wire": "wire", "earth_wire": "earth wire", "cable": "alternator cable"}


def place_words(place: str) -> str:
    """A segment's place in its circuit or feed as a person would say it: ``earth wire 1 of load 2``."""
    parts = place.split(".")
    if parts[0] == "relay":
        return f"coil wire {parts[1].removeprefix('wire_')}, segment {int(parts[-1]) + 1}"
    words = f"{PLACES.get(parts[-2], parts[-2])} {int(parts[-1]) + 1}"
    return f"{words} of load {int(parts[1]) + 1}" if parts[0] == "load" else words

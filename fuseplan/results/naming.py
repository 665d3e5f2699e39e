"""Conditions in words."""

from __future__ import annotations

from fuseplan.engine.network import Network


def condition_words(network: Network, row: int) -> str:
    """A condition by its name: ``in 'Idle, wet night'``."""
    return f"in '{network.conditions[row].name or network.condition_ids[row]}'"

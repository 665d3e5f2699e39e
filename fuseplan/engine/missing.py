"""What a plan leaves out, as values: what it is, where it belongs, and which figures cannot be known without it."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from typing import NamedTuple


class Unknown(Enum):
    """What is not known of a part that lacks something."""

    CURRENT = "current"
    RESISTANCE = "resistance"
    """Of its own wire."""
    VOLTAGE = "voltage"
    """Voltage at its loads, and what a short circuit draws there."""
    AMPACITY = "ampacity"
    FUSE = "fuse"


class Lack(Enum):
    """Everything a plan can lack for its figures."""

    CURRENT = "current"
    LOAD_KIND = "kind of load"
    LOADS = "loads"
    FEED = "feed"
    FUSE = "fuse"
    WIRE = "wire"
    SIZE = "size"
    SIZE_ON_FILE = "size on file"
    LENGTH = "length"
    EARTH = "earth point"
    EARTH_PATH = "way from the earth point to the battery"

    @property
    def leaves_unknown(self) -> frozenset[Unknown]:
        """What cannot be known for want of it."""
        return _LEAVES[self]


_LEAVES = {
    Lack.CURRENT: frozenset({Unknown.CURRENT, Unknown.VOLTAGE}),
    Lack.LOAD_KIND: frozenset({Unknown.CURRENT, Unknown.VOLTAGE}),
    Lack.LOADS: frozenset({Unknown.CURRENT, Unknown.VOLTAGE}),
    Lack.FEED: frozenset({Unknown.VOLTAGE}),
    Lack.FUSE: frozenset({Unknown.FUSE}),
    Lack.WIRE: frozenset({Unknown.RESISTANCE, Unknown.VOLTAGE, Unknown.AMPACITY}),
    Lack.SIZE: frozenset({Unknown.RESISTANCE, Unknown.VOLTAGE, Unknown.AMPACITY}),
    Lack.SIZE_ON_FILE: frozenset({Unknown.RESISTANCE, Unknown.VOLTAGE, Unknown.AMPACITY}),
    Lack.LENGTH: frozenset({Unknown.RESISTANCE, Unknown.VOLTAGE}),
    Lack.EARTH: frozenset({Unknown.VOLTAGE}),
    Lack.EARTH_PATH: frozenset({Unknown.RESISTANCE, Unknown.VOLTAGE}),
}


class Missing(NamedTuple):
    """One thing a part of the plan lacks."""

    lack: Lack
    key: str
    """Key of the plan, within its part: ``wire.0.size``."""
    words: str
    """What is missing, in the middle of a sentence."""


def leaves_unknown(missing: Iterable[Missing], what: Unknown) -> bool:
    """Whether any of what is missing leaves a figure unknown."""
    return any(what in each.lack.leaves_unknown for each in missing)

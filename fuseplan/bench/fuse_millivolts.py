"""Current from the millivolts across a fuse, and the other way round: its element is warmed by the current."""

from __future__ import annotations

from fuseplan.checks.assessment import Assessment
from fuseplan.formulas.fuse import hot_resistance
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables

BAND = 0.15
"""What the current so found may be off by, as a share: makers' cold resistances of one rating differ by about this, at
25 A by more."""
_SETTLED = 1e-9
_MOST_ROUNDS = 200


@dataclass(frozen=True)
class FuseResistance:
    """A fuse whose cold resistance is printed."""

    cold_ohm: float
    hot_over_cold: float
    rating_a: float
    source: str


@dataclass(frozen=True)
class FuseCurrent:
    """The current through a fuse by the drop across it [A], with its band."""

    value: float
    low: float
    high: float


def fuse_resistance(kind: str, rating_a: float) -> FuseResistance | None:
    """A fuse type's resistance as printed; None where none is on file."""
    cold = fuse_tables.cold_resistance_ohm(kind, rating_a)
    ratio = fuse_tables.hot_over_cold(kind, rating_a)
    return None if cold is None or ratio is None else FuseResistance(cold.value, ratio.value, rating_a,
                                                                     cold.source.line())


def fuse_of(assessment: Assessment, owner: tuple[str, str]) -> FuseResistance | None:
    """The fuse of a circuit or feed at its rating in force; None where its resistance is not on file."""
    device = assessment.fuse_of.get(owner)
    if device is None:
        return None
    rating = float(assessment.results.fusing.rating_a[device])
    return None if rating != rating else fuse_resistance(assessment.results.network.fuse_kinds[device], rating)


def fuse_volts(fuse: FuseResistance, current_a: float) -> float:
    """Drop across a fuse at a current [V]."""
    return current_a * float(hot_resistance(fuse.cold_ohm, fuse.hot_over_cold, current_a, fuse.rating_a))


def current_by_drop(fuse: FuseResistance, drop_v: float) -> FuseCurrent:
    """The current at which a fuse drops so much: the one resistance and current agree on."""
    current = drop_v / fuse.cold_ohm
    for _ in range(_MOST_ROUNDS):
        # Halfway to the next guess: the plain step swings above twice the rating.
        after = 0.5 * (current + drop_v / float(hot_resistance(fuse.cold_ohm, fuse.hot_over_cold, current,
                                                               fuse.rating_a)))
        if abs(after - current) <= _SETTLED * max(abs(after), _SETTLED):
            break
        current = after
    return FuseCurrent(current, current * (1.0 - BAND), current * (1.0 + BAND))

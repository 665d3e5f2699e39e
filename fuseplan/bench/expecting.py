"""How a figure that a meter shows is read from the solved network, with its band."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from fuseplan.bench.fuse_millivolts import BAND, fuse_of, fuse_volts
from fuseplan.bench.model import BenchModel
from fuseplan.bench.solved_rows import Variant
from fuseplan.engine.assumed import contact_given, contact_taken
from fuseplan.engine.consumers import COIL
from fuseplan.plan.parts import Relay, Switch
from fuseplan.records import dataclass

Figure = Callable[[Variant, int], float]


@dataclass(frozen=True)
class Expected:
    """What a point should show. Figures in V, A, ohm or K; `value` None where it is no number, or not known."""

    value: float | None
    low: float | None = None
    high: float | None = None
    """Ends of the band; None where there is none on that side."""
    words: str = ""
    """Said instead of a number, or beside it: ``open``, ``any, not 0``, why it is not known."""
    known: bool = True
    """False: the plan does not say enough; a reading then says nothing about the plan."""


def not_said(what: str) -> Expected:
    """Not known, as the plan leaves something out."""
    return unknown(f"the plan does not say: {what}")


def unknown(words: str) -> Expected:
    """That the plan does not say enough, and for want of what."""
    return Expected(None, words=words, known=False)


OPEN_OHM, DARK_V = 1e6, 0.3
OPEN = Expected(None, low=OPEN_OHM, words="open")
AS_WARM = Expected(0.0, high=3.0, words="as warm as the like part")
DARK = Expected(0.0, high=DARK_V, words="dark")
"""A series lamp: nothing flows, or a tenth of its current at most, which leaves 0.2 V of 12 V across it. Common
practice, no source: below a fortieth of its voltage nobody sees a bulb glow."""
NOT_ON = "it is not on in this condition"
NOISE = 1e-7
NOTHING_A = 0.05
"""A battery current of this or less is none: the alternator carries everything."""


def span(model: BenchModel, row: int, figure: Figure) -> Expected:
    """The least and the most of a figure over both ends of what is known, as expected on a meter."""
    value, low, high = model.span(row, figure)
    if math.isnan(value) or math.isnan(low) or math.isnan(high):
        return unknown("no state was found that battery, alternator and wires allow")
    return Expected(_clean(value), _clean(low), _clean(high))


def _clean(value: float) -> float:
    """What is left of nothing when voltages are settled is nothing."""
    return 0.0 if abs(value) < NOISE else value


def between(plus: tuple[bool, int], minus: tuple[bool, int] | None) -> Figure:
    """Voltage between two nodes, each of the return side or not; None is battery negative."""

    def figure(variant: Variant, row: int) -> float:
        ends = [0.0 if end is None else (variant.return_v if end[0] else variant.supply_v)(row, end[1])
                for end in (plus, minus)]
        return ends[0] - ends[1]

    return figure


def contact_volts(relay: Relay | None, switch: Switch | None, current: Figure) -> Figure:
    """Drop of the contact a current passes; what is assumed of it counts as nothing where assumed joints do."""
    given, taken = contact_given(relay, switch), contact_taken(relay, switch)

    def figure(variant: Variant, row: int) -> float:
        return current(variant, row) * (given + (taken.ohm if taken is not None and variant.assumed else 0.0))

    return figure


def across_fuse(model: BenchModel, row: int, owner: tuple[str, str], current: Figure) -> Expected:
    """Drop across a fuse, its element warmed by the current; the band holds what makers' resistances differ by."""
    fuse = fuse_of(model.assessment, owner)
    if fuse is None:
        return unknown("no cold resistance is on file for this fuse")
    value, low, high = model.span(row, current)
    if math.isnan(value + low + high):
        return unknown("no state was found that battery, alternator and wires allow")
    return Expected(fuse_volts(fuse, value), fuse_volts(fuse, low) * (1.0 - BAND),
                    fuse_volts(fuse, high) * (1.0 + BAND))


def at_coil(model: BenchModel, row: int, owner: tuple[str, str], what: str) -> Expected:
    """What a meter shows at the coil of a relay."""
    consumers = model.chosen[0].consumers
    found = [index for index in np.flatnonzero(consumers.kind == COIL).tolist() if consumers.owner[index] == owner]
    if not found or not consumers.on[row, found[0]]:
        return unknown("its coil is not driven in this condition")
    coil = found[0]
    if not model.assessment.results.known.consumer[coil]:
        return unknown("the resistance of the way to its coil or back is not known")
    network = model.assessment.results.network
    if what == "coil_86_v":
        return span(model, row, between((False, int(network.consumers.supply_node[coil])), None))
    if what == "coil_85_mv":
        return span(model, row, between((True, int(network.consumers.return_node[coil])), None))
    if what in ("coil_v", "socket_v"):
        return span(model, row, lambda variant, at: variant.across_v(at, coil))
    return span(model, row, lambda variant, at: variant.consumer_a(at, coil))

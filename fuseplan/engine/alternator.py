"""The alternator of a plan: what its label or its measured curve promises, hot, at any rotor speed."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.errors import TableError
from fuseplan.formulas.alternator import hot_output, old_code_current
from fuseplan.plan.model import Alternator
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import alternators
from fuseplan.tables.load import table
from fuseplan.trace import apply, bare, decided


@dataclass(frozen=True)
class Machine:
    """Output of one machine.

    `speeds` and `currents` are the points the output follows in straight lines: cold by the label, or hot as measured
    by the user.
    """

    speeds: Floats
    currents: Floats
    rated_a: float
    measured: bool
    basis: str
    """What the points rest on, in a sentence with its source."""

    @property
    def known(self) -> bool:
        """Whether its output can be worked out."""
        return not math.isnan(self.rated_a)

    def cold_a(self, rotor_rpm: ArrayLike) -> Floats:
        """Output in A by the points at rotor speeds (any shape); 0 below the first point, the last value above it."""
        rotor = np.asarray(rotor_rpm, dtype=float)
        if not self.known:
            return np.zeros_like(rotor)
        return np.asarray(np.interp(rotor, self.speeds, self.currents, left=0.0))

    def hot_a(self, rotor_rpm: ArrayLike) -> Floats:
        """Output in A of the hot machine at rotor speeds (any shape)."""
        rotor = bare(rotor_rpm)
        shape = np.shape(rotor)

        def speed(*place: int) -> str:
            return f"{writing.worked(float(np.asarray(rotor)[place] if shape else rotor))} r/min of the rotor"

        cold = decided(self.cold_a(rotor), "I₁", "A", lambda *place: f"output at {speed(*place)}, straight line "
                       f"between the points; {self.basis}", self.basis, rotor_rpm)
        if self.measured:
            return cold
        factor = decided(np.asarray(alternators.hot_factor(rotor), dtype=float), "h", "-", lambda *place: "hot over "
                         f"cold output at {speed(*place)}", lambda *_: alternators.hot_source().line(), rotor_rpm)
        return np.asanyarray(apply(hot_output, cold=cold, factor=factor))

    def gives_more_above(self, rotor_rpm: float) -> bool:
        """Whether the hot machine gives more at any higher rotor speed."""
        return bool((self.hot_a(self.speeds[self.speeds > rotor_rpm]) > self.hot_a(rotor_rpm)).any())


_NOTHING = np.zeros(1)
NO_OUTPUT = "the alternator's output is not given"
UNKNOWN = Machine(_NOTHING, _NOTHING, math.nan, False, NO_OUTPUT)


def machine_of(alternator: Alternator | None) -> Machine:
    """The machine: a curve measured by the user wins, then the two figures, then the label."""
    if alternator is None:
        return UNKNOWN
    if alternator.curve:
        return _measured(alternator)
    if alternator.machine == "dynamo":
        return _dynamo(alternator)
    if alternator.rated is not None:
        return of_currents(float(alternator.rated),
                           None if alternator.low_speed is None else float(alternator.low_speed))
    if alternator.label is None:
        return UNKNOWN
    try:
        label = alternators.parse_label(alternator.label)
    except TableError as error:
        return Machine(_NOTHING, _NOTHING, math.nan, False, str(error))
    if label.two_thirds_rpm is not None:
        return _by_points(label.rated_a, float(old_code_current(label.rated_a)), label.two_thirds_rpm,
                          f"the period code '{label.text}': two thirds of the greatest current at "
                          f"{writing.stated(label.two_thirds_rpm, 'r/min')} of the rotor")
    return _by_points(label.rated_a, label.low_a, alternators.LOW_RPM, f"the label '{label.text}'")


def of_currents(rated_a: float, low_a: float | None) -> Machine:
    """The machine of the two currents on its plate, in A: rated output, and that at low speed where it is known."""
    return _by_points(rated_a, low_a, alternators.LOW_RPM, "the two currents entered")


def _measured(alternator: Alternator) -> Machine:
    speeds = np.array([float(point.speed) for point in alternator.curve])
    currents = np.array([float(point.current) for point in alternator.curve])
    order = np.argsort(speeds, kind="stable")
    rated = float(alternator.rated) if alternator.rated is not None else float(currents.max())
    return Machine(speeds[order], currents[order], rated, True, "the output curve measured on this car, taken as hot")


def _dynamo(alternator: Alternator) -> Machine:
    """Nothing below the speed of cut-in, a straight line to the rated output, flat above: what a current or compensated
    voltage regulator leaves of it. A third-brush machine falls off again: enter its curve."""
    rated, low, high = alternator.rated, alternator.cut_in, alternator.full_output
    if rated is None or low is None or high is None:
        return Machine(_NOTHING, _NOTHING, math.nan, False, "the dynamo's rated output, or the speeds from which it "
                       "charges and gives it, are not given")
    return Machine(np.array([float(low), float(high)]), np.array([0.0, float(rated)]), float(rated), True,
                   "the dynamo's speeds of cut-in and of full output, a straight line between them, nothing below and "
                   "no more above; taken as hot")


def _by_points(rated_a: float, anchor_a: float | None, anchor_rpm: float, words: str) -> Machine:
    """The published shape bent through one more point: in proportion below it, between it and the rated one above."""
    found = alternators.output_curve()
    speeds, shares = found.value
    if anchor_a is None:
        return Machine(speeds, shares * rated_a, rated_a, False,
                       f"{words} gives one current only, so the output at low speed is the published shape's: "
                       f"{found.source.line()}")
    share = float(np.interp(anchor_rpm, speeds, shares))
    if not 0.0 < share < 1.0:
        return Machine(speeds, shares * rated_a, rated_a, False,
                       f"{words}; the speed of its second point lies outside the published shape, which is used "
                       f"alone: {found.source.line()}")
    place = int(np.searchsorted(speeds, anchor_rpm))
    if speeds[place] != anchor_rpm:
        speeds, shares = np.insert(speeds, place, anchor_rpm), np.insert(shares, place, share)
    above = anchor_a + (rated_a - anchor_a) * (shares - share) / (1.0 - share)
    currents = np.where(speeds <= anchor_rpm, anchor_a * shares / share, above)
    return Machine(speeds, currents, rated_a, False,
                   f"{words}, between them the published shape: {found.source.line()}")


def highest_rotor_rpm(alternator: Alternator | None) -> tuple[float, bool, str]:
    """Highest permitted rotor speed in r/min, whether it is the machine's own figure, and where it comes from.

    NaN for a dynamo without its own: what is printed is for alternators, and an armature throws its windings at a lower
    speed (from memory).
    """
    if alternator is not None and alternator.max_speed is not None:
        return float(alternator.max_speed), True, "as entered"
    if alternator is not None and alternator.machine == "dynamo":
        return math.nan, False, "not entered; no limit of a dynamo on file"
    row = table("alternator_highest_speeds").rows()[0]
    return float(str(row["rotor_rpm"])), False, f"not entered; the lowest printed, {row['words']}: {row['document']}"

"""How long a wire is cut: the way it lies, wire to renew each end twice, rounded up, with the published tolerance."""

from __future__ import annotations

from fuseplan.formulas.building import cut_length
from fuseplan.plan.parts import End
from fuseplan.quantities import writing
from fuseplan.quantities.decimals import steps
from fuseplan.records import dataclass
from fuseplan.tables.building import cut_tolerance_mm
from fuseplan.tables.load import Source

RETERMINATIONS = 2
"""New terminals each end has wire for besides the first: AC 43.13-1B par. 11-118."""
TERMINATION_MM = 15.0
"""Strip length and crimp barrel of a terminal, where the plan does not give both. Common practice, no source."""
_FINE_BELOW_M, _FINE_MM, _COARSE_MM = 1.5, 5.0, 10.0
"""Cut lengths are rounded up to 5 mm, from 1.5 m on to 10 mm: what a tape on a bench is read to. Our choice."""
_FUZZ = 1e-9
BASIS = ("Cut length: the way along the runs with 10 % for bends and ends, or the length entered; plus wire for "
         f"{RETERMINATIONS} more terminals at each end (AC 43.13-1B par. 11-118), each its strip length and barrel, "
         f"{writing.stated(TERMINATION_MM, 'mm')} where the plan does not give both; rounded up to 5 mm, from 1.5 m on "
         "to 10 mm.")
"""What every list of cut lengths says about them."""


@dataclass(frozen=True)
class Cut:
    """One length that is cut."""

    path_m: float
    cut_m: float
    over_mm: float
    """By how much it may be longer; never shorter."""
    tolerance: Source


def termination_m(end: End | None) -> float:
    """What one termination takes of a wire [m]: strip length and barrel as the plan gives them."""
    strip, barrel = (None, None) if end is None else (end.strip, end.barrel)
    stated = (float(strip) if strip is not None else 0.0) + (float(barrel) if barrel is not None else 0.0)
    return stated if strip is not None and barrel is not None else max(stated, TERMINATION_MM / 1000.0)


def cut(path_m: float, start_m: float, end_m: float) -> Cut:
    """The cut of a wire over a path [m], with what one termination takes at its ends [m]."""
    needed = float(cut_length(path_m, RETERMINATIONS, start_m, end_m))
    length = rounded_up_m(needed)
    tolerance = cut_tolerance_mm(length)
    return Cut(path_m, length, tolerance.value, tolerance.source)


def rounded_up_m(length_m: float) -> float:
    """A length in m rounded up to what is cut."""
    step = _FINE_MM if length_m < _FINE_BELOW_M - _FUZZ else _COARSE_MM
    return steps(length_m * 1000.0, step) * step / 1000.0

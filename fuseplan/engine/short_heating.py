"""What a short circuit does to the wires before their device opens: how hot they get, and whether that is too hot."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.clearing import OPEN_WITHIN_S, let_through_a2s
from fuseplan.engine.network import Network
from fuseplan.engine.ratios import heated_c
from fuseplan.errors import TableError
from fuseplan.formulas.thermal import conductor_temperature
from fuseplan.tables import insulations
from fuseplan.trace import apply, larger, smaller

if TYPE_CHECKING:
    from fuseplan.engine.fault import Faults


def end_c_of(network: Network, start_c: Floats, fault_a: Floats, heat_a2s: Floats, opens_s: Floats,
             limit_a: Floats) -> Floats:
    """Hottest each conductor gets before its device opens (S,).

    The let-through kept in the copper to the last joule is an upper bound for any device; where that is slow, the
    steady temperature at the fault current by the square law from the wire's ampacity is another, and the lower
    of the two holds.
    """
    segments = network.segments
    end_c = heated_c(start_c, heat_a2s, segments.area_mm2)
    slow = (opens_s > OPEN_WITHIN_S) & (limit_a > 0)
    steady_c = apply(conductor_temperature, ambient_c=segments.ambient_c, max_c=segments.max_c,
                     current_a=np.where(slow, fault_a, 0.0), ampacity_a=np.where(slow, limit_a, 1.0))
    steady_c = larger("steady at that current, never below where it began", steady_c, start_c)
    steady_c = np.where(slow & ~np.isnan(steady_c), steady_c, np.inf)
    hottest = smaller("hottest before the device opens", end_c, steady_c)
    return np.where(np.isnan(heat_a2s) | np.isnan(segments.area_mm2), np.nan, hottest)


def short_limits_c(insulation: list[str]) -> Floats:
    """Final temperature in a short by insulation (S,)."""
    limits = {name: _short_limit_c(name) for name in set(insulation)}
    return np.array([limits[name] for name in insulation], dtype=float)


def _short_limit_c(insulation: str) -> float:
    try:
        limit = insulations.insulation(insulation).short_c
    except TableError:
        return np.nan
    return np.nan if limit is None else limit


def survives(faults: Faults, index: int) -> bool | None:
    """Whether a segment outlives a short at the far end: None where nothing on file answers.

    Beyond 5 s the adiabatic sum overstates the heating: a slow device whose wire stays below the limit is safe, one
    above it is undecided, unless the device may never open.
    """
    end, limit = float(faults.segment_end_c[index]), float(faults.segment_limit_c[index])
    if np.isnan(end) or np.isnan(limit):
        return None
    if end <= limit:
        return True
    return None if OPEN_WITHIN_S < float(faults.segment_opens_s[index]) < np.inf else False


def outlived(network: Network, faults: Faults, device: int, kind: str, rating_a: float) -> bool:
    """Whether no segment a device guards passes its limit in a short with another type and rating in its place."""
    guarded = np.flatnonzero(network.segment_guard == device)
    return outlived_by(network, guarded, faults.segment_fault_a, faults.start_c, kind, rating_a)


def outlived_by(network: Network, guarded: Ints, fault_a: Floats, start_c: Floats, kind: str, rating_a: float) -> bool:
    """The same for the segments `guarded`, from the currents and start temperatures of all (S,)."""
    limit_c = short_limits_c([network.segments.insulation[each] for each in guarded.tolist()])
    heat = let_through_a2s(kind, rating_a, fault_a[guarded])
    end_c = heated_c(start_c[guarded], heat, network.segments.area_mm2[guarded])
    return not bool((end_c > limit_c).any())

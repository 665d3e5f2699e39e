"""Loads: how their current follows voltage, what they draw at switch-on, and what devices draw."""

from __future__ import annotations

from functools import cache
from typing import get_args

from fuseplan.plan.words import LoadKind
from fuseplan.records import dataclass
from fuseplan.tables.load import Cited, Source, of_name, row_source, table

KINDS: tuple[LoadKind, ...] = get_args(LoadKind)


@dataclass(frozen=True)
class Device:
    """One device of the load table: currents in A at about 13.5 V, peak multiple and its length in s.

    ``use_class`` is P permanent, L long, S short, K parked drain; ``driver`` how an ECU drives it;
    ``peak_how`` how the peak was obtained (the source's ``how`` is that of the running current).
    """

    id: str
    words: str
    min_a: float
    typical_a: float
    max_a: float
    peak: float
    peak_s: float
    duty: float
    use_class: str
    kind: str
    driver: str
    how: str
    peak_how: str
    note: str
    source: Source


@dataclass(frozen=True)
class Lamp:
    """One filament of a lamp category: power in W, test voltage in V, light in lm, current in A."""

    category: str
    rated_w: float
    test_v: float
    max_w: float
    flux_lm: float
    max_a: float
    source: Source


@cache
def exponent(kind: str) -> Cited[float]:
    """Exponent n of I = I_ref · (U/U_ref)^n for a load kind. Raises TableError for an unknown kind."""
    return table("load_voltage_exponents").known("kind", kind, "exponent")


EXPONENTS: dict[str, float] = {kind: exponent(kind).value for kind in KINDS}


def starter_stall_v() -> Cited[float]:
    """Voltage at which the starter on file, standing still, takes its running current, from the lower end of its locked
    current: it stalls no later than this."""
    printed = table("starter_points")
    loaded, locked = (printed.known("point", point, "current_from_a").value for point in ("loaded", "locked"))
    return Cited(printed.known("point", "locked", "voltage_v").value * loaded / locked, printed.citation)


@cache
def default_inrush(kind: str) -> Cited[tuple[float, float]]:
    """Switch-on multiple of the running current and its length in s, where a load gives none."""
    printed = table("inrush_duration_by_load_kind")
    return Cited((printed.known("kind", kind, "multiple").value, printed.known("kind", kind, "time_s").value),
                 printed.citation)


@cache
def devices() -> dict[str, Device]:
    """All devices of the load table by id."""
    printed = table("device_loads")
    found: dict[str, Device] = {}
    for row in printed.rows():
        number = {key: cell for key, cell in row.items() if isinstance(cell, float)}
        text = {key: str(cell) for key, cell in row.items() if isinstance(cell, str)}
        found[text["id"]] = Device(
            id=text["id"],
            words=text["words"],
            min_a=number["min_a"],
            typical_a=number["typical_a"],
            max_a=number["max_a"],
            peak=number["peak"],
            peak_s=number["peak_s"],
            duty=number["duty"],
            use_class=text["use_class"],
            kind=text["kind"],
            driver=text["driver"],
            how=text["how"],
            peak_how=text["peak_how"],
            note=text.get("note", ""),
            source=row_source(printed, row),
        )
    return found


def device(device_id: str) -> Device:
    """The device of that id. Raises TableError."""
    return of_name(devices(), device_id, "device of the load table")


@cache
def lamps() -> dict[str, Lamp]:
    """All lamp filaments by category, such as "H7", "H4 dip" or "P21/5W major"."""
    printed = table("lamp_categories")
    found: dict[str, Lamp] = {}
    for row in printed.rows():
        rated_w, test_v, max_w, flux_lm = (
            float(str(row[heading])) for heading in ("rated_w", "test_v", "max_w", "flux_lm")
        )
        category = str(row["category"])
        found[category] = Lamp(category, rated_w, test_v, max_w, flux_lm, max_w / test_v, row_source(printed, row))
    return found


def lamp(category: str) -> Lamp:
    """The lamp filament of a category. Raises TableError."""
    return of_name(lamps(), category, "lamp category")

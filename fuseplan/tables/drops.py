"""Voltage-drop limits by kind of circuit, as published."""

from __future__ import annotations

from functools import lru_cache

from fuseplan.errors import TableError
from fuseplan.tables.load import Cited, Source, table

DROP_CLASSES: dict[str, str] = {
    "lamp_small": "lamps below 15 W",
    "lamp": "lamps of 15 W and more",
    "headlamp": "headlamps",
    "charging": "charging lead, alternator to battery",
    "regulator_sense": "control lead between alternator and regulator",
    "starter_main": "starter main lead",
    "starter_control": "starter control, switch to terminal 50",
    "control": "other leads: switch to relay, horn, motors",
}

LIMITS: tuple[str, ...] = (
    "handbook",
    "small_craft",
    "small_craft_critical",
    "small_craft_other",
    "aircraft",
    "ten_percent",
    "lamp_85_percent",
)

# A nominal 12 V system runs at 14 V, a nominal 24 V one at 28 V; 18 V lies between every use of either.
BETWEEN_12_AND_24_V = 18.0

_LAMPS = ("lamp_small", "lamp", "headlamp")
# 3 % is printed for panel feeders, navigation lights and safety circuits; a road vehicle's lamps, its
# charging lead and its sense lead are read here as their equals.
_CRITICAL = (*_LAMPS, "charging", "regulator_sense")


LEAST_12_V = 9.0
"""A system below this is no 12 V one: of limits printed in volts it gets its share."""


def _below_12_v(found: Cited[float] | None, system_v: float) -> Cited[float] | None:
    """A limit printed for 12 V; in proportion to the system voltage where that is less."""
    if found is None or system_v >= LEAST_12_V:
        return found
    source = found.source
    return Cited(found.value * system_v / 12.0, Source(
        source.title, f"{source.document}, in proportion from 12 V", source.place, source.how))


@lru_cache(maxsize=1024)
def drop_limit(table_id: str, drop_class: str, system_v: float, use: str = "continuous") -> Cited[float] | None:
    """Largest voltage drop in V for a class of circuit at a system voltage; None when not printed.

    ``use`` is continuous, or anything else for intermittent; only ``aircraft`` tells them apart. The lamp rule is a
    least lamp voltage, returned as the drop that leaves it. Raises TableError for an unknown table or class.
    """
    if drop_class not in DROP_CLASSES:
        raise TableError(f"no drop class '{drop_class}'; accepted are {', '.join(DROP_CLASSES)}")
    if table_id == "handbook":
        column = "drop_12_v" if system_v <= BETWEEN_12_AND_24_V else "drop_24_v"
        return _below_12_v(table("handbook_drop_limits").cited("drop_class", drop_class, column), system_v)
    if table_id == "aircraft":
        column = "continuous_v" if use == "continuous" else "intermittent_v"
        row_v = 14.0 if system_v <= BETWEEN_12_AND_24_V else 28.0
        return _below_12_v(table("ac43_13_1b_t11_6_from_memory").cited("system_v", row_v, column), system_v)
    if table_id == "lamp_85_percent":
        least = table("ccr_13_1249_lamp_voltage").cited("kind", "lamp", "share")
        if least is None or drop_class not in _LAMPS:
            return None
        return Cited((1 - least.value) * system_v, least.source)
    shares = {
        "small_craft": ("small_craft_drop_limits", "critical" if drop_class in _CRITICAL else "other"),
        "small_craft_critical": ("small_craft_drop_limits", "critical"),
        "small_craft_other": ("small_craft_drop_limits", "other"),
        "ten_percent": ("purchase_specification_drop", "any"),
    }
    if table_id not in shares:
        raise TableError(f"no drop table '{table_id}'; accepted are {', '.join(LIMITS)}")
    name, kind = shares[table_id]
    share = table(name).cited("kind", kind, "share")
    return None if share is None else Cited(share.value * system_v, share.source)


def counts_from_switch(table_id: str, drop_class: str) -> bool:
    """Whether a limit counts from the supply terminal of the switch: the handbook prints "light switch terminal 30 to
    lamp". Every other limit is for the whole way from the battery, or is read so to be on the safe side."""
    return table_id == "handbook" and drop_class in _LAMPS


@lru_cache(maxsize=1)
def starter_return() -> Cited[float]:
    """What the earth side of a starter circuit may lose while cranking, 12 V [V]."""
    return table("starter_tester_drops").known("side", "return", "drop_v")


def covers_return(table_id: str) -> bool:
    """Whether a limit holds for supply and return together; the handbook's is for the supply lead alone."""
    if table_id not in LIMITS:
        raise TableError(f"no drop table '{table_id}'; accepted are {', '.join(LIMITS)}")
    return table_id != "handbook"

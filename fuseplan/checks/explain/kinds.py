"""How each figure is written: its unit and its side, declared once for all figures whose addresses are alike.

Tables, findings and workings of one figure read the same because each is of the kind declared here; a figure in no line
fails the tests.
"""

from __future__ import annotations

from collections.abc import Callable
from fnmatch import fnmatchcase
from functools import lru_cache

from fuseplan.quantities.writing import EARTH_LIFT, LARGEST_FUSE, SMALLEST_FUSE, Kind, Side, lasting

Written = Callable[[float], str]
_SHARE = Kind("share", "burden")
_STATED_SHARE = Kind("share", "stated")


def _minutes_left(minutes: float) -> str:
    return lasting(minutes * 60.0)


DECLARED: dict[str, Written | Side] = {
    "earth.*.volts.*": EARTH_LIFT,
    "feed.*.volts.*": "limit",
    "*.load.*.volts.*": "limit",
    "*.current.*": "burden",
    "circuit.*.design": "burden",
    "circuit.*.design.*": "burden",
    "circuit.*.drop": "burden",
    "circuit.*.drop.supply": "burden",
    "circuit.*.drop.return": "burden",
    "circuit.*.drop.limit": "limit",
    "circuit.*.relay": "burden",
    "*.fuse.rating": "stated",
    "*.fuse.proposed": "stated",
    "*.fuse.window": "stated",
    "*.fuse.window.low": SMALLEST_FUSE,
    "*.fuse.window.high": LARGEST_FUSE,
    "*.fuse.share": _SHARE,
    "*.fault": "limit",
    "*.fault.far_end": "limit",
    "*.fault.prospective": "burden",
    "*.fault.opens_within": "burden",
    "*.fault.order": "stated",
    "*.fault.order_from": "limit",
    "*.fault_temperature": "burden",
    "*.size": "limit",
    "*.length": "burden",
    "*.resistance": "burden",
    "*.conductors": "stated",
    "*.ampacity": "limit",
    "*.balance_ampacity": "limit",
    "*.table_alone": "limit",
    "*.temperature": "burden",
    "*.table_temperature": "burden",
    "power.rated": "stated",
    "power.regulator_voltage": "limit",
    "power.open_circuit": "limit",
    "power.share_limit": _STATED_SHARE,
    "power.peak_limit": _STATED_SHARE,
    "power.alternator.pulley_ratio": "stated",
    "power.alternator.highest_rotor": "limit",
    "power.alternator.highest_engine": "limit",
    "power.alternator.efficiency": _STATED_SHARE,
    "power.alternator.fuel_share": Kind("share", "limit"),
    "power.battery.capacity": "limit",
    "power.battery.usable": "limit",
    "power.battery.warm_resistance": "burden",
    "power.battery.cold_resistance": "burden",
    "power.battery.peukert": "stated",
    "power.battery.no_start_share": _STATED_SHARE,
    "power.battery.freezing": "burden",
    "power.battery.conversion.*": "limit",
    "power.standing.drain": "burden",
    "power.standing.drain_upper": "burden",
    "power.standing.self_discharge": "burden",
    "power.standing.days*": "limit",
    "power.standing.wanted_days": "stated",
    "power.cranking.current": "burden",
    "power.cranking.dip_current": "burden",
    "power.cranking.supply_drop": "burden",
    "power.cranking.return_drop": "burden",
    "power.cranking.battery_limit": "burden",
    "power.cranking.battery": "limit",
    "power.cranking.battery_upper": "limit",
    "power.cranking.dip_battery": "limit",
    "power.cranking.starter": "limit",
    "power.cranking.starter_power": "limit",
    "power.cranking.consumer.*.volts": "limit",
    "power.cranking.consumer.*.dip": "limit",
    "power.cranking.consumer.*.limit": "burden",
    "power.alternator_cable.limit*": "limit",
    "power.alternator_cable.return_limit": "limit",
    "power.alternator_cable.*_resistance": "burden",
    "power.alternator_cable.*_drop": "burden",
    "power.exciter.current": "limit",
    "power.exciter.wanted": "burden",
    "power.reserve.wanted": "burden",
    "power.reserve.*.normal": "burden",
    "power.reserve.*.essential": "burden",
    "power.reserve.*.usable": "limit",
    "power.reserve.*.total": _minutes_left,
    "power.*.balance": "balance",
    "power.*.balance_upper": "balance",
    "power.*.battery": "balance",
    "power.*.bus": "limit",
    "power.*.average_bus": "limit",
    "power.*.available": "limit",
    "power.*.alternator": "limit",
    "power.*.rotor": "limit",
    "power.*.demand": "burden",
    "power.*.discharge_if_low": "burden",
    "power.*.peak": "burden",
    "power.*.continuous": "burden",
    "power.*.shaft": "burden",
    "power.*.continuous_share": _SHARE,
    "power.*.peak_share": _SHARE,
    "power.*.flat": _minutes_left,
    "power.*.no_start": _minutes_left,
    "*.current": "burden",
}
"""Pattern of a figure's address; its side where it is written in the unit it is worked in, else how. The first line
that fits holds."""


@lru_cache(maxsize=65536)
def declared(address: str) -> Written | Side | None:
    """What is declared for an address; None where nothing is."""
    return next((kind for pattern, kind in DECLARED.items() if fnmatchcase(address, pattern)), None)


def kind_of(address: str, unit: str) -> Written:
    """How the figure of an address, worked in a unit, is written."""
    found = declared(address)
    if found is None:
        return Kind(unit, "burden")
    return Kind(unit, found) if isinstance(found, str) else found

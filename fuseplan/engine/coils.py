"""The resistance of a relay's coil, as entered or by the type of its contact."""

from __future__ import annotations

from functools import lru_cache

from fuseplan.errors import TableError
from fuseplan.plan.parts import Relay
from fuseplan.tables import relays as relay_tables
from fuseplan.trace import given


@lru_cache(maxsize=256)
def coil_resistance(contact: str, system_v: float) -> float:
    """Coil resistance in ohm of a contact type on the plan's voltage: that on file is for 12 V, on another voltage the
    coil takes the same power."""
    try:
        on_12_v = relay_tables.relay_contact(contact).coil_ohm
    except TableError:
        on_12_v = relay_tables.DEFAULT_COIL_OHM
    return on_12_v * (system_v / 12.0) ** 2


def coil_ohm(relay: Relay, system_v: float, who: str = "") -> float:
    """Coil resistance of a relay in ohm: as entered, else that of its contact type."""
    if relay.coil is not None:
        return given(float(relay.coil), "R", "ohm", lambda: f"resistance of the {who}", "the plan, its relay.coil")
    return given(coil_resistance(relay.contact, system_v), "R", "ohm",
                 lambda: f"resistance of the {who}, a {relay.contact} relay, at the same power as on 12 V",
                 lambda: coil_source(relay.contact))


def coil_source(contact: str) -> str:
    """Where the coil resistance of a contact type comes from."""
    try:
        return relay_tables.relay_contact(contact).source.line()
    except TableError:
        return "not on file: that of a mini relay"


@lru_cache(maxsize=256)
def coil_printed(contact: str) -> bool:
    """Whether the coil resistance of a contact type is printed."""
    try:
        return relay_tables.relay_contact(contact).coil_printed
    except TableError:
        return False

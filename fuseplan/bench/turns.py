"""Which circuits wait for their turn at first power: the control unit comes late, fuel and spark after cranking."""

from __future__ import annotations

import re
from typing import Literal

from fuseplan.plan.model import Circuit

Turn = Literal["usual", "control unit", "fuel", "ignition", "starter"]

_ROLES: dict[str, Turn] = {
    "starter": "starter", "starter_motor": "starter", "starter_solenoid": "starter", "control_unit": "control unit",
    "ecu": "control unit", "fuel_pump": "fuel", "fuel": "fuel", "injectors": "fuel", "ignition": "ignition",
    "ignition_coils": "ignition",
}
_TAKEN: dict[str, Turn] = {
    "ecu_main": "control unit", "ecu_keep_alive": "control unit", "fuel_pump_in_line": "fuel",
    "fuel_pump_lift": "fuel", "fuel_pump_low_pressure": "fuel", "injectors": "fuel", "ignition_coils": "ignition",
    "ignition_coil_oil": "ignition", "starter_main": "starter", "starter_solenoid": "starter",
}
_WORDS: tuple[tuple[Turn, re.Pattern[str]], ...] = (
    ("starter", re.compile(r"\bstarter\b", re.IGNORECASE)),
    ("control unit", re.compile(r"control unit|\becu\b|\becm\b|engine management|\bmodule\b", re.IGNORECASE)),
    ("fuel", re.compile(r"\bfuel\b|injector|lift pump|stop solenoid|shut-?off solenoid", re.IGNORECASE)),
    ("ignition", re.compile(r"ignition coil|\bcoils\b|spark|distributor|magneto", re.IGNORECASE)),
)


def turn_of(name: str, circuit: Circuit) -> Turn:
    """When a circuit comes at first power: by its role, the library definition it was taken from, else by the words of
    its name. A circuit that says "fuel" without being it loses nothing by coming later."""
    by_role = _ROLES.get(circuit.role or "") or _TAKEN.get(circuit.taken_from or "")
    if by_role is not None:
        return by_role
    words = f"{name.replace('_', ' ')} {circuit.name or ''}"
    return next((turn for turn, pattern in _WORDS if pattern.search(words)), "usual")

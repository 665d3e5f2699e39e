"""Which circuits wait for their turn at first power: the control unit comes late, fuel and spark after cranking."""

from __future__ import annotations

from typing import Literal

from fuseplan.plan.model import Circuit
from fuseplan.plan.roles import role_of
from fuseplan.plan.words import CircuitRole

Turn = Literal["usual", "control unit", "fuel", "ignition", "starter"]

_TURNS: dict[CircuitRole, Turn] = {
    "starter": "starter", "starter_solenoid": "starter", "engine_control_unit": "control unit",
    "engine_control_memory": "control unit", "transmission_control": "control unit", "fuel_pump": "fuel",
    "diesel_pump": "fuel", "injection": "fuel", "ignition": "ignition",
}


def turn_of(name: str, circuit: Circuit) -> Turn:
    """When a circuit comes at first power, by its role, stated or proposed from its name. One that is taken for fuel
    without being it loses nothing by coming later."""
    role = role_of(name, circuit)
    return "usual" if role is None else _TURNS.get(role.word, "usual")

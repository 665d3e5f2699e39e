"""Which flasher unit makes LED lamps flash: some need the load of bulbs."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.results import Results
from fuseplan.plan.words import CircuitRole

FLASHING: tuple[CircuitRole, ...] = ("indicators", "hazard_lamps")


def flashers_asked(results: Results) -> Iterator[NotSaid]:
    """The flasher unit of each circuit that flashes electronic lamps."""
    network = results.network
    for number in sorted({each for role in FLASHING for each in network.marked.get(f"role {role}", ())}):
        circuit, name = network.circuits[number], network.circuit_ids[number]
        if circuit.flasher is None and any(load.kind == "electronic" for load in circuit.load):
            yield NotSaid(
                "circuit", name, "which flasher unit makes its LED lamps flash (flasher): electronic, thermal or "
                "load_sensing", "LED lamps draw too little for a flasher made for bulbs: they flash slowly, not at "
                "all, or at double speed", "flasher", f"circuit.{name}.flasher", False)

"""The faults of a relay: its coil, what drives it and the wires to it, its contacts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.bench.diagnosis_fault import LIVE, ONE, PRIOR, Fault, Put, bulb, cut, nothing
from fuseplan.bench.diagnosis_solve import Cases, Spot
from fuseplan.bench.diagnosis_tree import COIL_WIRES, CarModel, Element
from fuseplan.engine.cranking_limits import voltage_limit
from fuseplan.engine.states import rests_closed
from fuseplan.plan.coils import driver_side
from fuseplan.plan.parts import Relay
from fuseplan.results.address import joined

LEAST_SHARE, MOST_SHARE, STEPS = 0.03, 30.0, 8
"""Extra resistance searched in a wire of a coil, over that of the coil: what is less no relay notices, what is more is
as good as open."""


def faults_of_relay(model: CarModel, circuit: str) -> Iterator[Fault]:
    """Those of the relay of a circuit; none without one, or where its contact rests closed."""
    plan = model.results.plan
    relay, title = plan.circuit[circuit].relay, plan.circuit[circuit].name or circuit
    coil = model.coil(("circuit", circuit))
    contact = model.node_of.get(Element(False, "circuit", circuit, "contact", 0))
    if relay is None or contact is None or coil < 0 or rests_closed(relay):
        return

    def off(cases: Cases, number: int, size: float) -> None:
        cases.factor[coil, number] = 0.0

    place = joined(("circuit", circuit, "relay"))
    socket_v, off_v = (joined(("circuit", circuit, what)) for what in ("socket_v", "off_v"))
    open_contact, dark = Spot(False, contact), {bulb(circuit): 0.0}
    not_driven = cut(model, open_contact, off)
    yield Fault("coil_open", place, f"'{title}': relay does not pull: its coil is open", PRIOR["relay"], ONE,
                not_driven, shown=dark)
    yield Fault("coil_not_driven", place, f"'{title}': relay does not pull: its coil {_not_driven_words(relay)}",
                PRIOR["relay"], ONE, not_driven, shown=dark | _at_coil(circuit, *_OPEN[driver_side(relay) == "earth"]))
    yield from _of_coil_wires(model, circuit, coil, open_contact, not_driven)
    yield Fault("contact_87a", place, f"'{title}': contact 87a used for 87: on when it should be off, and "
                "the other way round", PRIOR["relay"], ONE, cut(model, open_contact), shown={off_v: LIVE, **dark})
    if relay.suppression == "diode":
        # A fuse leaves the coil without volts; an output that trips leaves both its terminals live.
        yield Fault("diode_reversed", place, f"'{title}': diode across the relay coil the wrong way round: its fuse "
                    "blows or its driver trips", PRIOR["swapped"], ONE, not_driven,
                    shown=dark | _at_coil(circuit, *_OPEN[relay.driver == "ecu"]) | {socket_v: LIVE})
    if relay.coil_feed != plan.circuit[circuit].feed:
        yield Fault("feeds_swapped", place, f"'{title}': feeds of relay coil and contact swapped", PRIOR["swapped"],
                    ONE, nothing, refed=True, shown={joined(("circuit", circuit, "relay_feed_v")): 0.0})
    yield Fault("contact_stuck", place, f"'{title}': relay contact does not open, or its coil is always fed",
                PRIOR["relay"], ONE, nothing, shown={off_v: LIVE})


_OPEN = ((0.0, 0.0), (LIVE, LIVE))
"""Volts at 86 and at 85 of a coil with no way to its supply, and with none to earth."""


def _at_coil(circuit: str, at_86: float, at_85: float) -> dict[str, float]:
    """What is shown at a coil that no current passes."""
    shown = {"coil_v": 0.0, "socket_v": 0.0, "coil_86_v": at_86, "coil_85_mv": at_85}
    return {joined(("circuit", circuit, what)): volts for what, volts in shown.items()}


def _not_driven_words(relay: Relay) -> str:
    if driver_side(relay) == "earth":
        return "gets no earth (driver or coil wire from 85)"
    return f"gets no volts (driver, switch{' or coil wire to 86' if relay.wire_86 else ' or coil wire'})"


def _of_coil_wires(model: CarModel, circuit: str, coil: int, contact: Spot, not_driven: Put) -> Iterator[Fault]:
    """Extra resistance in the wires of the coil, with which the relay pulls or does not, and an open in the one that
    does not lead to what drives it: in the other it shows like a driver that does not."""
    results = model.results
    relay, title = results.plan.circuit[circuit].relay, results.plan.circuit[circuit].name or circuit
    assert relay is not None
    system_v = results.network.system_v
    consumer = int(model.consumers[coil])
    coil_ohm = system_v / float(results.network.consumers.reference_a[consumer])
    still_pulls = coil_ohm * (float(results.source.open_circuit_v[0])
                              / voltage_limit("relay_pull_in", system_v).value - 1.0)
    if still_pulls <= LEAST_SHARE * coil_ohm:
        return
    for what in COIL_WIRES:
        returns = what == "coil_85"
        node = model.node_of.get(Element(returns, "circuit", circuit, what, 0))
        if node is None:
            continue
        words, place = f"coil wire {'from 85' if returns else 'to 86'}", joined(("circuit", circuit, what))

        def add(cases: Cases, number: int, size: float, node: int = node, returns: bool = returns) -> None:
            (cases.return_ohm if returns else cases.supply_ohm)[node, number] += size

        yield Fault("resistance", place, f"'{title}': extra resistance in the {words}; the relay still pulls",
                    PRIOR["coil_wire"], np.geomspace(LEAST_SHARE * coil_ohm, still_pulls, STEPS), add, searched=True)
        yield Fault("coil_starved", place, f"'{title}': relay does not pull: resistance in the {words}",
                    PRIOR["coil_wire"], np.geomspace(still_pulls, MOST_SHARE * coil_ohm, STEPS),
                    cut(model, contact, add), searched=True, shown={bulb(circuit): 0.0})
        if (driver_side(relay) == "earth") != returns:
            yield Fault("open", place, f"open: {words} of '{title}'", PRIOR["coil_wire"], ONE, not_driven,
                        shown={bulb(circuit): 0.0, **_at_coil(circuit, *_OPEN[returns])})

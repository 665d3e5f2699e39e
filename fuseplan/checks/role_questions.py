"""What is asked where a name is all that tells what a part is: a role that is not stated or that contradicts the name,
and what is to be left alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words
from fuseplan.plan.plain_names import PlainName, named_otherwise, out_of_scope_named
from fuseplan.plan.roles import proposed_role, roles
from fuseplan.plan.words import OutOfScope


def roles_asked(results: Results) -> Iterator[NotSaid]:
    """What a circuit is for. Without it nobody knows when it must run and when it must stop."""
    network = results.network
    for number in network.marked.get("no role", ()):
        name, circuit = network.circuit_ids[number], network.circuits[number]
        proposed = proposed_role(name, circuit)
        what = "what it is for (its role)"
        if proposed is not None:
            what += f"; by its name: {roles()[proposed].title} ({proposed}), to be confirmed"
        yield NotSaid("circuit", name, what, "a petrol pump, an injector or a starter must stop with the engine or the "
                      "key, and this may be one of them", "role", f"circuit.{name}.role", True,
                      proposed or "", proposed)


def roles_named_otherwise_asked(results: Results) -> Iterator[NotSaid]:
    """Which is right, the role that is stated or the name that plainly says another."""
    network = results.network
    for number, said in of_circuits(network, _named_otherwise).items():
        name, stated, named = network.circuit_ids[number], network.circuits[number].role, roles()[said.role]
        assert stated is not None
        yield NotSaid("circuit", name, f"whether its role or its name is right: its role is {roles()[stated].title} "
                      f"({stated}), by its name it is {named.title} ({named.word}); correct the one that is wrong",
                      "a circuit is checked by its role alone: what its name says it must do, and when it must stop, "
                      "is not checked", "role_or_name", f"circuit.{name}.role", said.safety, proposed=said.role)


def _named_otherwise(network: Network, number: int) -> PlainName | None:
    circuit = network.circuits[number]
    return None if circuit.out_of_scope is not None else named_otherwise(network.circuit_ids[number], circuit)


def diesel_pumps_asked(results: Results) -> Iterator[NotSaid]:
    """Whether a pump is one of a diesel, where the plan has a spark ignition: one of a petrol engine asks for what
    stops it."""
    marked, network = results.network.marked, results.network
    sparks = [in_words(results.plan, "circuit", network.circuit_ids[each]) for each in marked.get("role ignition", ())]
    for number in marked.get("role diesel_pump", ()) if sparks else ():
        name = network.circuit_ids[number]
        if network.circuits[number].role is not None:  # else what it is for is asked
            yield NotSaid("circuit", name, "whether its engine is a diesel, as its role says (diesel_pump), or the "
                          f"petrol engine of {sparks[0]} (fuel_pump)", "a petrol pump that runs on after a crash feeds "
                          "a fire, and its cut-off is asked for", "fuel", f"circuit.{name}.role", True)


def out_of_scope_asked(results: Results) -> Iterator[NotSaid]:
    """Whether a circuit or a connector is what its name says, of which nobody may probe, splice or extend a wire."""
    network, plan = results.network, results.plan
    found: Mapping[int, OutOfScope] = of_circuits(network, _left_alone)
    for number, word in found.items():
        yield _asks_scope("circuit", network.circuit_ids[number], word)
    for name in plan.connector:
        if (said := connector_left_alone(plan, name)) is not None:
            yield _asks_scope("connector", name, said)


def _asks_scope(kind: Literal["circuit", "connector"], name: str, word: OutOfScope) -> NotSaid:
    return NotSaid(kind, name, f"whether it is what its name says, a {kind} that this program gives no figures for: "
                   f"leave its wires alone and enter out_of_scope = \"{word}\", else correct its name",
                   "an airbag that fires in the hand, or brakes that fail, can kill: nothing of such a circuit is "
                   "probed, spliced, extended or given another fuse", "out_of_scope", f"{kind}.{name}.out_of_scope",
                   True, word)


def connector_left_alone(plan: Plan, name: str) -> OutOfScope | None:
    """What the name of a connector plainly says that is to be left alone, where it is not so marked; else None."""
    connector = plan.connector[name]
    return None if connector.out_of_scope is not None else _named((connector.name, name))


def _left_alone(network: Network, number: int) -> OutOfScope | None:
    circuit = network.circuits[number]
    return None if circuit.out_of_scope is not None else _named((circuit.name, network.circuit_ids[number]))


def _named(texts: tuple[str | None, ...]) -> OutOfScope | None:
    return next(filter(None, (out_of_scope_named(text) for text in texts if text)), None)

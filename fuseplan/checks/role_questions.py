"""What is asked about the roles of circuits: the one that is not stated, and the one that contradicts the name."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.plan.plain_names import PlainName, named_otherwise
from fuseplan.plan.roles import proposed_role, roles


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

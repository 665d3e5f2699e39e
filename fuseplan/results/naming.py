"""Consumers, branches, conditions and lengths of wire in words."""

from __future__ import annotations

from fuseplan.engine.consumers import ALTERNATOR, COIL, STANDBY, UNSTATED
from fuseplan.engine.network import Network


def condition_words(network: Network, row: int) -> str:
    """A condition by its name: ``in 'Idle, wet night'``."""
    return f"in '{network.conditions[row].name or network.condition_ids[row]}'"


PLACES = {"wire": "wire", "earth_wire": "earth wire", "cable": "alternator cable"}


def place_words(place: str) -> str:
    """A segment's place in its circuit or feed as a person would say it: ``earth wire 1 of load 2``."""
    parts = place.split(".")
    words = f"{PLACES.get(parts[-2], parts[-2])} {int(parts[-1]) + 1}"
    return f"{words} of load {int(parts[1]) + 1}" if parts[0] == "load" else words


def load_path(network: Network, consumer: int) -> str:
    """Path of a load in the plan."""
    consumers = network.consumers
    return f"circuit.{consumers.owner[consumer][1]}.load.{int(consumers.number[consumer])}"


def consumer_words(network: Network, consumer: int) -> str:
    """A consumer as a person would say it."""
    consumers = network.consumers
    kind, (owner_kind, owner) = int(consumers.kind[consumer]), consumers.owner[consumer]
    if kind == ALTERNATOR:
        return "the alternator"
    if kind == COIL:
        return f"relay coil of {owner_kind} {owner}"
    if kind == UNSTATED:
        return f"what circuit {owner} may draw beyond what is stated"
    load = network.circuits[int(consumers.circuit[consumer])].load[int(consumers.number[consumer])]
    words = load.name or (owner if len(network.plan.circuit[owner].load) == 1
                          else f"load {int(consumers.number[consumer]) + 1} of {owner}")
    return f"standby of {words}" if kind == STANDBY else words


def branch_words(network: Network, returns: bool) -> dict[int, str]:
    """What each branch of a tree is, by its node."""
    consumers = network.consumers
    nodes = consumers.return_node if returns else consumers.supply_node
    words: dict[int, str] = {}
    for consumer in range(consumers.count):
        kind = consumers.owner[consumer][0]
        words.setdefault(int(nodes[consumer]), "the alternator cable" if kind == "alternator" else
                         f"own wire of {consumer_words(network, consumer)}")
    if returns:
        words |= {node: "earth wire of "
                        f"{network.circuit_ids[number]}" for number, node in network.return_node_of.items()}
        words |= {node: f"earth {name or 'root'}" for name, node in network.earth_node.items()}
    else:
        words |= {int(node): f"circuit {name}" for name, node in
                  zip(network.circuit_ids, network.circuit_node, strict=True)}
        words |= {node: f"feed {name or 'root'}" for name, node in network.feed_node.items()}
    return words


def place_path(owner: tuple[str, str], place: str) -> str:
    """Path of a length of wire in the plan: ``circuit.fuel_pump.wire.0``, ``alternator.cable.0``."""
    return ".".join(part for part in (*owner, place) if part)

"""The largest fuse that the makers of loads, windows, sockets and control units allow in front of them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.network import Network
from fuseplan.plan.part_names import in_words, load_in_words
from fuseplan.trace import given


class MaxFuse(NamedTuple):
    """What the maker of one load, or of what a circuit supplies, allows."""

    circuit: int
    load: int
    """Its place in the circuit; -1 where the circuit itself states it."""
    most_a: float
    device: int
    """The last fuse in front of it, -1 without one."""


def max_fuses(network: Network) -> list[MaxFuse]:
    """All that is stated, circuit by circuit."""
    found = []
    for number in network.marked.get("max_fuse", ()):
        circuit, device = network.circuits[number], int(network.guard[network.circuit_node[number]])
        if circuit.max_fuse is not None:
            found.append(MaxFuse(number, -1, float(circuit.max_fuse), device))
        found += [MaxFuse(number, place, float(load.max_fuse), device)
                  for place, load in enumerate(circuit.load) if load.max_fuse is not None]
    return found


def strictest(network: Network) -> dict[int, MaxFuse]:
    """What asks for the smallest fuse, by the number of the device it is behind."""
    found: dict[int, MaxFuse] = {}
    for each in max_fuses(network):
        if each.device >= 0 and (each.device not in found or each.most_a < found[each.device].most_a):
            found[each.device] = each
    return found


def maker_side(network: Network) -> Floats:
    """Largest rating the makers of the equipment behind each device allow [A] (J,); infinite where none is stated."""
    stated = strictest(network)
    found = np.full(len(network.fuses), np.inf)
    for device, each in stated.items():
        found[device] = each.most_a

    def words(device: int) -> str:
        return limit_words(network, stated[device]) if device in stated else \
            "no max_fuse is stated for what is behind it"

    def cite(device: int) -> str:
        return f"the plan, {max_fuse_path(network, stated[device])}" if device in stated else "the plan"

    return np.asanyarray(given(found, "Iₘ", "A", words, cite))


def max_fuse_words(network: Network, stated: MaxFuse) -> str:
    """What the maker's figure is about: ``'Window motor'``, ``socket``."""
    circuit, name = network.circuits[stated.circuit], network.circuit_ids[stated.circuit]
    own = in_words(network.plan, "circuit", name)
    if stated.load < 0 or (len(circuit.load) == 1 and circuit.load[0].name is None):
        return own
    words = load_in_words(circuit, stated.load)
    return words if circuit.load[stated.load].name is not None else f"{words} of {own}"


def limit_words(network: Network, stated: MaxFuse) -> str:
    """The limit in words: the figure of the plan, which a maker or common practice stands behind."""
    return f"the limit stated for {max_fuse_words(network, stated)} (max_fuse)"


def max_fuse_path(network: Network, stated: MaxFuse) -> str:
    """Path of the figure in the plan."""
    place = "" if stated.load < 0 else f"load.{stated.load}."
    return f"circuit.{network.circuit_ids[stated.circuit]}.{place}max_fuse"

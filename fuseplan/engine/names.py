"""What the places along the engine's axes are called: consumers, branches, lengths of wire, conditions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fuseplan.engine.consumers import ALTERNATOR, COIL, STANDBY, UNSTATED
from fuseplan.engine.views import Kept
from fuseplan.plan.part_names import in_words, load_in_words, title_of
from fuseplan.trace import Who

if TYPE_CHECKING:
    from fuseplan.engine.network import Network
    from fuseplan.plan.model import Plan


def part_address(owner: tuple[str, str], place: str = "") -> str:
    """Path of a part: ``circuit.fuel_pump.wire.0``, ``alternator.cable.0``."""
    return ".".join(each for each in (*owner, place) if each)


class Names:
    """Names of one network's parts."""

    def __init__(self, network: Network) -> None:
        self._network = self.viewed = network

    def consumer(self, number: int) -> str:
        """A consumer as a person would say it."""
        network, consumers = self._network, self._network.consumers
        kind, (owner_kind, owner) = int(consumers.kind[number]), consumers.owner[number]
        if kind == ALTERNATOR:
            return "the alternator"
        if kind == COIL:
            return f"relay coil of {owner_kind} {in_words(network.plan, owner_kind, owner)}"
        if kind == UNSTATED:
            return f"what {in_words(network.plan, owner_kind, owner)} may draw beyond what is stated"
        load = network.circuits[int(consumers.circuit[number])].load[int(consumers.number[number])]
        words = load.name or (owner if len(network.plan.circuit[owner].load) == 1
                              else f"load {int(consumers.number[number]) + 1} of {owner}")
        return f"standby of {words}" if kind == STANDBY else words

    def load(self, number: int) -> Who:
        """A load with its path in the plan."""
        consumers = self._network.consumers
        return Who(self.consumer(number), f"circuit.{consumers.owner[number][1]}.load.{int(consumers.number[number])}")

    def branch(self, returns: bool, node: int) -> str:
        """The branch that ends at a node."""
        return (self._return_branches if returns else self._supply_branches)[node]

    def supply(self, node: int) -> str:
        """The supply branch that ends at a node."""
        return self._supply_branches[node]

    def returns(self, node: int) -> str:
        """The return branch that ends at a node."""
        return self._return_branches[node]

    def segment(self, number: int) -> str:
        """Path of a length of wire."""
        segments = self._network.segments
        return part_address(segments.owner[number], segments.place[number])

    def condition(self, number: int) -> str:
        """A condition in the middle of a sentence: ``in 'Idle, hot day'``."""
        return f"in '{title_of(self._network.plan, 'condition', self._network.condition_ids[number])}'"

    def row(self, number: int) -> str:
        """A row of a solution: its condition, and at which end of what is known of the currents."""
        count = len(self._network.condition_ids)
        return self.condition(number % count) + (", at the worst-case currents" if number >= count else "")

    @Kept
    def _supply_branches(self) -> dict[int, str]:
        network = self._network
        words = self._own(network.consumers.supply_node.tolist())
        words |= {int(node): f"circuit {in_words(network.plan, 'circuit', name)}" for name, node in
                  zip(network.circuit_ids, network.circuit_node, strict=True)}
        return words | {node: f"feed {self._point('feed', name)}" for name, node in network.feed_node.items()}

    @Kept
    def _return_branches(self) -> dict[int, str]:
        network = self._network
        words = self._own(network.consumers.return_node.tolist())
        words |= {node: f"earth wire of {in_words(network.plan, 'circuit', network.circuit_ids[number])}"
                  for number, node in network.return_node_of.items()}
        return words | {node: f"earth {self._point('earth', name)}" for name, node in network.earth_node.items()}

    def _point(self, kind: str, name: str) -> str:
        return in_words(self._network.plan, kind, name) if name else "root"

    def _own(self, nodes: list[int]) -> dict[int, str]:
        words: dict[int, str] = {}
        for consumer, node in enumerate(nodes):
            kind = self._network.consumers.owner[consumer][0]
            words.setdefault(node, "the alternator cable" if kind == "alternator" else
                             f"own wire of {self.consumer(consumer)}")
        return words


PLACES = {"wire": "wire", "earth_wire": "earth wire", "cable": "alternator cable"}


def place_words(place: str) -> str:
    """A segment's place in its circuit or feed as a person would say it: ``earth wire 1 of load 2``."""
    parts = place.split(".")
    if parts[0] == "relay":
        return f"coil wire {parts[1].removeprefix('wire_')}, segment {int(parts[-1]) + 1}"
    words = f"{PLACES.get(parts[-2], parts[-2])} {int(parts[-1]) + 1}"
    return f"{words} of load {int(parts[1]) + 1}" if parts[0] == "load" else words


_OF: dict[tuple[str, str], tuple[str, str]] = {
    ("feed", "wire"): ("wire", "to"), ("earth", "wire"): ("strap", "from"), ("load", "wire"): ("wire", "to"),
    ("relay", "wire_86"): ("coil wire to terminal 86", "of"),
    ("relay", "wire_85"): ("coil wire from terminal 85", "of")}
"""What a wire is called, and how it stands to its part; ``wire`` and ``earth wire`` of a circuit otherwise."""


def wire_words(plan: Plan, owner: tuple[str, str], place: str) -> str:
    """A segment with its part, in the middle of a sentence: ``the wire of 'Boot lamp'``, ``wire 2 of 'Lambda probe'``,
    ``the wire to 'Ignition bus'``, ``the strap from 'Engine'``, ``the alternator cable``."""
    kind, name = owner
    *inside, key, number = place.split(".")
    part = getattr(plan, kind)[name] if name else getattr(plan, kind)
    of = in_words(plan, kind, name)
    if inside[:1] == ["load"]:
        of, part = f"{load_in_words(part, int(inside[1]))} of {of}", part.load[int(inside[1])]
    elif inside:
        part = getattr(part, inside[0])
    words, joined = _OF.get((inside[0] if inside else kind, key), (PLACES.get(key, key), "of"))
    count = len(getattr(part, key))
    words = f"the {words}" if count < 2 else f"{words} {int(number) + 1}" if not words[-1].isdigit() else \
        f"segment {int(number) + 1} of the {words}"
    return words if kind == "alternator" else f"{words} {joined} {of}"

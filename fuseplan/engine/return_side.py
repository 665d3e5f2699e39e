"""The return side of a plan, walked depth first from the battery's other post: earth points and the ways to them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

from fuseplan.engine.assumed import assumed, contact_given, contact_taken, earth_joint_given, earth_joint_taken
from fuseplan.engine.collecting import Collected
from fuseplan.engine.missing import Lack, Missing
from fuseplan.engine.tree import depth_first
from fuseplan.plan.coils import WIRE_85
from fuseplan.plan.model import Circuit
from fuseplan.plan.parts import Wire
from fuseplan.trace import given


class ReturnSide(Collected):
    """Adds the return side to what is collected; the supply side has been."""

    def _return_branch(self, parent: int, guarded_by: int = -1) -> int:
        self.returns_guard.append(guarded_by)
        self.returns_given.append(0.0)
        self.returns_taken.append(0.0)
        return self.returns.open(parent)

    def _add_return_wire(self, node: int, owner: tuple[str, str], place: str, wire: Wire,
                         missing: list[Missing]) -> None:
        stated, taken = self.wiring.add(node, True, owner, place, wire, missing)
        self.returns_given[node] += stated
        self.returns_taken[node] += taken

    def compile_returns(self) -> tuple[dict[str, int], dict[int, int], list[int]]:
        """Add all earth points with what ends on them; the return node of each, of the common earth wire of each
        circuit that has one, by its number, and of each consumer."""
        children: dict[str, list[str]] = defaultdict(list)
        for name, earth in self.plan.earth.items():
            if earth.upstream is not None:
                children[earth.upstream].append(name)
        at_earth: dict[str, list[tuple[str, list[int]]]] = defaultdict(list)
        for name, circuit in self.plan.circuit.items():
            by_earth: dict[str, list[int]] = defaultdict(list)
            for index, load in enumerate(circuit.load if circuit.out_of_scope is None else ()):
                earth_id = load.earth or circuit.earth
                if earth_id not in self.plan.earth:
                    earth_id = self.earth_root
                    self.missing[name].append(Missing(Lack.EARTH, "earth", "earth"))
                by_earth[earth_id or ""].append(index)
            for earth_id, indexes in by_earth.items():
                at_earth[earth_id].append((name, indexes))
        nodes: dict[str, int] = {}
        common: dict[int, int] = {}
        node_of = [0] * len(self.rows.rows)

        def place(consumers: list[int], node: int) -> None:
            for number in consumers:
                self.returns.consumer(number)
                node_of[number] = node

        for reached, parent in depth_first(self.earth_root, children):
            if reached is None:
                self.returns.close(nodes[parent])
                continue
            nodes[reached] = node = self._return_branch(nodes.get(parent, -1))
            ground = self.plan.earth.get(reached)
            if ground is not None:
                if ground.resistance is not None:
                    self.returns_given[node] += given(float(ground.resistance), "R", "ohm", "body panels and joints on "
                                                      "the way", f"the plan, earth.{reached}.resistance")
                self.returns_given[node] += contact_given(None, ground.switch)
                taken = contact_taken(None, ground.switch)
                if taken is not None:
                    self.returns_taken[node] += assumed(taken, "contact of the battery isolator")
                self._add_return_wire(node, ("earth", reached), "wire", ground.wire,
                                      self.missing_shared["earth", reached])
                if ground.upstream is not None and ground.resistance is None and not ground.wire:
                    self.no_way.append(node)
                    self.missing_shared["earth", reached].append(Missing(
                        Lack.EARTH_PATH, "resistance", f"strap, cable or body resistance from it to {ground.upstream}"))
            place(self.return_at.get(reached, []), node)
            for own, owner, relay in self.coils_to.get(reached, ()):
                at = self._return_branch(node, self.guard[self.coil_node[owner]])
                self._add_return_wire(at, owner, WIRE_85, relay.wire_85, self.missing[owner[1]]
                                      if owner[0] == "circuit" else self.missing_shared[owner])
                place(self.return_at[own], at)
                self.returns.close(at)
            for circuit_id, indexes in at_earth.get(reached, ()):
                self._circuit_return(circuit_id, indexes, node, common, place)
        return nodes, common, node_of

    def _circuit_return(self, circuit_id: str, indexes: list[int], node: int,
                        common: dict[int, int], place: Callable[[list[int], int], None]) -> None:
        circuit, owner, missing = self.plan.circuit[circuit_id], ("circuit", circuit_id), self.missing[circuit_id]
        shared = [index for index in indexes if circuit.load[index].earth is None]
        at, number = node, self.circuit_number[circuit_id]
        guard = self.guard[self.circuit_nodes[number]]
        if circuit.earth_wire and shared:
            at = self._return_branch(node, guard)
            common[number] = at
            self._add_return_wire(at, owner, "earth_wire", circuit.earth_wire, missing)
        for index in shared:
            self._load_return(circuit, owner, index, at, guard, at == node, missing, place)
        if at != node:
            self.returns.close(at)
        for index in indexes:
            if circuit.load[index].earth is not None:
                self._load_return(circuit, owner, index, node, guard, True, missing, place)

    def _load_return(self, circuit: Circuit, owner: tuple[str, str], index: int, parent: int, guard: int,
                     on_point: bool, missing: list[Missing], place: Callable[[list[int], int], None]) -> None:
        load = circuit.load[index]
        wire, node = load.earth_wire, parent
        if wire or on_point or load.earth_resistance is not None:
            node = self._return_branch(parent, guard)
            self.returns_given[node] += earth_joint_given(load, f"circuit.{owner[1]}.load.{index}")
        if wire:
            self._add_return_wire(node, owner, f"load.{index}.earth_wire", wire, missing)
        elif on_point:
            point = self.plan.earth.get(load.earth or circuit.earth or "")
            taken = earth_joint_taken(load, point is not None and bool(point.engine))
            if taken is not None:
                self.returns_taken[node] += assumed(taken, "no earth wire given: earthed where it is bolted")
        place(self.return_at[f"{owner[1]}\0{index}"], node)
        if node != parent:
            self.returns.close(node)

"""The laws that tie each figure of the solved network to its neighbours, for a recorded run.

The solver finds all currents and voltages together. Afterwards each of them follows from those beside it: the voltage
of a node from that of the post less what is voltage drop on the way, the current of a branch from the loads behind it,
the current of a load from its law at its voltage.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.consumers import ALTERNATOR
from fuseplan.engine.network import Network
from fuseplan.engine.part import OWN_TERMINAL, POST
from fuseplan.engine.passes import SETTLED_V, Rows
from fuseplan.engine.source import Source
from fuseplan.engine.warming import Wires, branch_ohm, conductor_c, hot_ohm
from fuseplan.formulas.battery import battery_current, rest_of_demand, stalled_current, terminal_voltage
from fuseplan.formulas.drop import voltage_at_load, voltage_before, voltage_drop
from fuseplan.formulas.load import least_followed_voltage, load_current
from fuseplan.quantities import writing
from fuseplan.trace import apply, bare, chosen, decided, given, solved, spread, together, total
from fuseplan.trace.vocabulary import KIRCHHOFF_VOLTAGE


def how(passes: int, settled: bool) -> str:
    """How the network was solved, in a sentence."""
    end = (f"no voltage moved by more than {writing.stated(SETTLED_V * 1e3, 'mV')} in the last"
           if settled else "not settled: the figures are the last pass's")
    return ("solved together with all other voltages and currents, wires at their own temperature: "
            f"{passes} passes, {end}")


class Solving(NamedTuple):
    """What was solved: rows of conditions `at`, those of the worst-case currents among them, with their currents."""

    network: Network
    source: Source
    wires: Wires
    fuse_ohm: Floats
    at: Ints
    worst_case: Flags
    reference_a: Floats
    """(L, R)."""

    def row(self, number: int) -> str:
        """A row in words."""
        return self.network.names.condition(int(self.at[number])) + (
            ", at the worst-case currents" if self.worst_case[number] else "")

    def tied(self, rows: Rows, passes: int, settled: bool) -> Rows:
        """The solved rows, each figure with the law that holds there."""
        names, said = self.network.names, how(passes, settled)
        found: dict[str, Any] = {}

        def tie(field: str, symbol: str, unit: str, words: Any, because: Any) -> None:
            found[field] = solved(getattr(rows, field), symbol, unit, words, said, because)

        tie("root_v", "U", "V", lambda row: f"voltage of the battery post {self.row(row)}",
            lambda: self._post(Rows(**found)))
        tie("battery_a", "I", "A", lambda row: f"current out of the battery {self.row(row)}",
            lambda: self._from_battery(Rows(**found)))
        tie("alternator_a", "Iₐ", "A", lambda row: f"current of the alternator {self.row(row)}",
            lambda: self._delivered(Rows(**found)))
        tie("supply_v", "U", "V", lambda row, node: f"voltage at the end of {names.supply(node)} {self.row(row)}",
            lambda: apply(voltage_at_load, supply_v=found["root_v"][:, None], drop_v=self.lost(Rows(**found), False)))
        tie("return_v", "U", "V",
            lambda row, node: f"voltage of {names.returns(node)} against the battery's earthed post {self.row(row)}",
            lambda: self.lost(Rows(**found), True))
        tie("consumer_a", "I", "A", lambda row, each: f"current of {names.consumer(each)} {self.row(row)}",
            lambda: self._law(Rows(**found)))
        tie("supply_a", "I", "A", lambda row, node: f"current of {names.supply(node)} {self.row(row)}",
            lambda: self.network.supply.branch_sums(found["consumer_a"], None, BEHIND, names.consumer))
        tie("return_a", "I", "A", lambda row, node: f"current of {names.returns(node)} {self.row(row)}",
            lambda: self.network.returns.branch_sums(found["consumer_a"], None, BEHIND, names.consumer))
        tie("supply_ohm", "R", "ohm", lambda row, node: f"resistance of {names.supply(node)}, warm, {self.row(row)}",
            lambda: self._ohm(Rows(**found), False))
        tie("return_ohm", "R", "ohm", lambda row, node: f"resistance of {names.returns(node)}, warm, {self.row(row)}",
            lambda: self._ohm(Rows(**found), True))
        tie("across_v", "U", "V", lambda row, each: f"voltage across {names.consumer(each)} {self.row(row)}",
            lambda: self._across(Rows(**found)))
        return Rows(**found)

    def lost(self, rows: Rows, returns: bool) -> Any:
        """Voltage lost between the post and each node (R, N)."""
        return lost(self.network, rows.return_a if returns else rows.supply_a,
                    rows.return_ohm if returns else rows.supply_ohm, returns)

    def _across(self, rows: Rows) -> Any:
        consumers = self.network.consumers
        both = together("voltage drop on both sides",
                        [("supply", self.lost(rows, False)[:, consumers.supply_node]),
                         ("return", self.lost(rows, True)[:, consumers.return_node])], KIRCHHOFF_VOLTAGE)
        return apply(voltage_at_load, supply_v=rows.root_v[:, None], drop_v=both)

    def _ohm(self, rows: Rows, returns: bool) -> Any:
        """Wires at their temperature, fuse, contacts and joints of each branch."""
        network = self.network
        ohm = hot_ohm(network, conductor_c(network, self.wires, self.at, rows.supply_a, rows.return_a))
        return branch_ohm(network, returns, ohm, network.returns_base if returns else network.supply_base,
                          self.fuse_ohm)

    def _law(self, rows: Rows) -> Any:
        consumers = self.network.consumers
        least = apply(least_followed_voltage, reference_voltage_v=consumers.reference_v)
        stopped = (consumers.exponent == -1)[None, :] & (rows.across_v < least)
        voltage = chosen(stopped, least, rows.across_v, "")
        with np.errstate(all="ignore"):
            law = apply(load_current, reference_current_a=self.reference_a.T, voltage_v=voltage,
                        reference_voltage_v=consumers.reference_v, exponent=consumers.exponent)
            stalled = apply(stalled_current, voltage_v=rows.across_v, locked_ohm=consumers.locked_ohm)
        stands = (consumers.locked_ohm > 0)[None, :] & (bare(stalled) < bare(law))
        law = chosen(stands, stalled, law, "the starter stands still")
        return np.where(consumers.kind == ALTERNATOR, -rows.alternator_a[:, None], law)

    def _from_battery(self, rows: Rows) -> Any:
        """What all that draws asks of it; beside an alternator held back by its cable, what the voltage of the post
        says."""
        asked = total(rows.consumer_a, 1, "all that draws; the alternator counts negative", self.network.names.consumer)
        gives = apply(battery_current, emf_v=self.source.open_circuit_v[self.at], voltage_v=rows.root_v,
                      internal_ohm=self.source.internal_ohm[self.at])
        return chosen(self._helped(rows), gives, asked, "")

    def _delivered(self, rows: Rows) -> Any:
        """What the alternator gives: all that is asked of it, what its cable lets through, or all it can."""
        draws = self.network.consumers.kind != ALTERNATOR
        asked, drawn = (total(rows.consumer_a * draws, 1, words, self.network.names.consumer) for words in (
            "the alternator can give more: it gives what is asked of it", HELPED))
        rest = apply(rest_of_demand, demand_a=drawn, battery_a=rows.battery_a)
        output = self.source.available_a[self.at]
        return chosen(self._helped(rows), rest, chosen(self._regulated(rows), asked, output, ""), "")

    def _helped(self, rows: Rows) -> Flags:
        """Rows in which the battery gives although the alternator could give more (R,)."""
        return np.asarray(self._regulated(rows) & (bare(rows.battery_a) > STILL_A))

    def _regulated(self, rows: Rows) -> Flags:
        """Rows in which the alternator holds its regulator voltage (R,)."""
        output = self.source.available_a[self.at]
        return np.asarray((output > 0) & (rows.alternator_a < output * (1.0 - 1e-6)))

    def _post(self, rows: Rows) -> Any:
        """Held by the regulator, floating where output meets demand, or following the battery."""
        network, source = self.network, self.source
        drained = apply(terminal_voltage, emf_v=source.open_circuit_v[self.at],
                        internal_ohm=source.internal_ohm[self.at], current_a=rows.battery_a)
        number = network.alternator
        if number < 0:
            return drained
        node, back = (int(each[number]) for each in (network.consumers.supply_node, network.consumers.return_node))
        lead = together("voltage drop on both sides of the alternator cable; negative: current flows towards the post",
                        [("supply", self._sensed(self.lost(rows, False), node)),
                         ("return", self.lost(rows, True)[:, back])], KIRCHHOFF_VOLTAGE)
        regulated = apply(voltage_before, load_v=source.regulator_v, drop_v=lead)
        output = bare(source.available_a)[self.at]
        afloat = (output > 0) & ~self._regulated(rows) & (
            np.abs(bare(rows.battery_a)) < STILL_SHARE * np.maximum(output, 1.0))
        asked = total(rows.consumer_a * (network.consumers.kind != ALTERNATOR), 1, "demand", network.names.consumer)
        floating = decided(bare(rows.root_v), "U", "V", FLOATING, "how the solver treats the machine",
                           source.available_a[self.at], asked)
        idle = self._helped(rows) & (bare(rows.alternator_a) <= 0)
        return chosen(self._regulated(rows) & ~idle, regulated, chosen(afloat, floating, drained, ""), "")

    def _sensed(self, lost_v: Any, node: int) -> Any:
        """Supply-side drop from the post to the alternator, less what its sense lead makes up for (R,)."""
        whole, sense, most = lost_v[:, node], self.network.sense, self.source.made_up_v
        if sense == OWN_TERMINAL:
            return whole
        to_sense = spread(given(0.0, "ΔU", "V", "the sense lead ends on the battery's post", "the plan"), len(whole)) \
            if sense == POST else lost_v[:, sense]
        left = together("drop to the alternator, and what its sense lead makes up for of it at most",
                        [("drop", whole), ("made up", spread(most, len(whole)))], KIRCHHOFF_VOLTAGE)
        return chosen(bare(to_sense) - bare(whole) <= bare(most), to_sense, left, "the point its regulator senses")


FLOATING = ("the alternator gives all it can, and the battery neither gives nor takes: the voltage at which demand "
            "equals output")
HELPED = ("too much is lost between alternator and battery for it to carry everything: its terminal has the regulator "
          "voltage, and the battery gives the rest")
STILL_A = 1e-3
"""A battery current below this beside an alternator that holds its voltage is none."""
STILL_SHARE = 1e-3
"""A battery current below this share of the alternator's output is none."""
BEHIND = "currents of all that draws behind it; the alternator counts negative"


def lost(network: Network, current_a: Floats, ohm: Floats, returns: bool) -> Any:
    """Voltage lost between the battery and each node of a side, arrays (R, N)."""
    tree = network.returns if returns else network.supply
    names = network.names.returns if returns else network.names.supply
    words = f"voltage drop on the {'return' if returns else 'supply'} side"
    return tree.path_drops(apply(voltage_drop, current_a=current_a, resistance_ohm=ohm), words, names)

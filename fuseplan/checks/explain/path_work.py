"""How a voltage came about: the converged currents and resistances on the way, multiplied and added.

This is a check that the solution closes, not a second solution: what flows and what each branch resists is taken as it
was solved, and every resistance on the way can be explained on its own.
"""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain import wire_work
from fuseplan.checks.explain.demand_work import behind, reference
from fuseplan.checks.explain.steps import KIRCHHOFF_VOLTAGE, Parts, entered, figure, given, solved, solved_cite, total
from fuseplan.engine.assumed import JOINT, STUD, Taken, contact_resistance, contact_taken, earth_joint, fuse_taken
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution
from fuseplan.engine.tree import Tree
from fuseplan.formulas.drop import voltage_at_load, voltage_drop
from fuseplan.formulas.load import load_current
from fuseplan.formulas.working import apply
from fuseplan.plan.model import Circuit, Feed
from fuseplan.plan.parts import Relay, Switch
from fuseplan.results.naming import branch_words, consumer_words, place_path
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables import relays as relay_tables


def path(tree: Tree, node: int) -> list[int]:
    """Nodes from the one below the root to a node."""
    found = []
    while node != 0:
        found.append(node)
        node = int(tree.parent[node])
    return found[::-1]


def drop_along(results: Results, solution: Solution, row: int, returns: bool, node: int) -> float:
    """Voltage lost between the root and a node, from the current and resistance of each branch on the way."""
    network = results.network
    words = branch_words(network, returns)
    tree = network.returns if returns else network.supply
    current = solution.return_a if returns else solution.supply_a
    ohm = solution.return_ohm if returns else solution.supply_ohm
    parts = []
    for at in path(tree, node):
        amperes = solved("I", f"current of {words[at]}", float(current[row, at]), "A", solution)
        resistance = solved("R", f"resistance of {words[at]}, hot", float(ohm[row, at]), "ohm", solution)
        parts.append((words[at], float(apply(voltage_drop, current_a=amperes, resistance_ohm=resistance))))
    side = "return" if returns else "supply"
    return total("ΔU", f"voltage drop on the {side} side", parts, "V", KIRCHHOFF_VOLTAGE)


def supply_voltage(results: Results, solution: Solution, row: int, node: int) -> float:
    """Voltage of a supply node against battery negative."""
    root = solved("U₁", "battery post", float(solution.root_v[row]), "V", solution)
    return float(apply(voltage_at_load, supply_v=root, drop_v=drop_along(results, solution, row, False, node)))


def load_voltage(results: Results, solution: Solution, row: int, consumer: int) -> float:
    """Voltage across a consumer."""
    consumers = results.network.consumers
    root = solved("U₁", "battery post", float(solution.root_v[row]), "V", solution)
    lost = both_drops(results, solution, row, consumer)
    return float(apply(voltage_at_load, supply_v=root, drop_v=lost)) if consumers.count else root


def both_drops(results: Results, solution: Solution, row: int, consumer: int) -> float:
    """Voltage lost to a consumer on both sides."""
    consumers = results.network.consumers
    out = drop_along(results, solution, row, False, int(consumers.supply_node[consumer]))
    back = drop_along(results, solution, row, True, int(consumers.return_node[consumer]))
    return total("ΔU", "voltage drop on both sides", [("supply", out), ("return", back)], "V", KIRCHHOFF_VOLTAGE)


def circuit_current(results: Results, row: int, number: int) -> float:
    """Current of a circuit's loads in one condition, each by its law at the voltage it was solved to have."""
    network, solution = results.network, results.solution
    parts = []
    for consumer in np.flatnonzero(network.consumers.circuit == number).tolist():
        if int(network.consumers.kind[consumer]) != LOAD or solution.consumer_a[row, consumer] == 0.0:
            continue
        current, at_v, exponent = reference(results, consumer, row // len(network.conditions))
        voltage = solved("U", "voltage across it", float(solution.across_v[row, consumer]), "V", solution)
        if exponent < 0 and voltage < 0.5 * at_v:
            voltage = given("U", "not followed below half the voltage it is stated at", 0.5 * at_v, "V",
                            "common practice, no source")
        drawn = apply(load_current, reference_current_a=current, voltage_v=voltage, reference_voltage_v=at_v,
                      exponent=exponent)
        parts.append((consumer_words(network, consumer), float(drawn)))
    return total("I", "loads that are on", parts, "A")


def branch_current(results: Results, solution: Solution, row: int, returns: bool, node: int) -> float:
    """Current of a branch: the solved currents of everything it feeds."""
    network = results.network
    tree = network.returns if returns else network.supply
    parts: Parts = [(consumer_words(network, each), float(solution.consumer_a[row, each]))
                    for each in behind(tree, node) if solution.consumer_a[row, each] != 0.0]
    return total("I", "solved currents of everything it feeds; the alternator counts negative", parts, "A",
                 solved_cite(solution))


def branch_resistance(results: Results, row: int, returns: bool, node: int) -> float:
    """Resistance of a branch in one row of the solution: wires at their temperature, fuse, contact, joints."""
    network, solution = results.network, results.solution
    parts = [(network.segments.place[index], wire_work.resistance(results, solution, row, index)) for index in
             np.flatnonzero((network.segments.branch == node) & (network.segments.returns == returns)).tolist()]
    parts += devices_in_series(results, returns, node)
    return total("R", "in series", parts, "ohm", "resistances in series add")


def devices_in_series(results: Results, returns: bool, node: int, most: bool = True) -> list[tuple[str, float]]:
    """What a branch resists besides its wires: fuse, contact, body, joints; each with the step that gives it.

    `most` takes of a fuse what its resistance does not exceed, and of what the plan does not give what is assumed, for
    drops and the least a short draws; else what is printed or given alone, for the most a short draws.
    """
    network = results.network
    owner = _owner(results, returns, node)
    kind, name = owner
    part: Feed | Circuit | None = network.plan.feed.get(name) if kind == "feed" else None
    if kind == "circuit":
        part = network.plan.circuit.get(name)
    parts = [] if returns else fuse_in_series(results, node, most)
    if part is not None and not returns and _is_head(results, owner, node):
        parts += _contact(owner, part.relay, part.switch, most)
    if most and isinstance(part, Feed) and part.upstream is not None and not part.wire:
        parts.append(("no wire given", _assumed("bolted to the feed it comes from", STUD)))
    earth = network.plan.earth.get(name) if kind == "earth" else None
    if earth is not None and earth.resistance is not None:
        parts.append(("body", entered("R", "body panels and joints on the way", float(earth.resistance), "ohm",
                                      f"earth.{name}.resistance")))
    own = np.flatnonzero((network.segments.branch == node) & (network.segments.returns == returns)).tolist()
    if returns and kind == "circuit" and not own:
        above = next((name for name, at in network.earth_node.items() if at == int(network.returns.parent[node])), "")
        point = network.plan.earth.get(above)
        parts.append(("no earth wire given", _assumed("earthed where it is bolted",
                                                      earth_joint(point is not None and bool(point.engine)))))
    for index in own:
        segment = network.segments.segment[index]
        at = place_path(network.segments.owner[index], network.segments.place[index])
        parts += [("joint", entered("R", f"joint: {joint.method or 'method not given'}", float(joint.resistance),
                                    "ohm", at))
                  for joint in (segment.joint, *segment.splice) if joint is not None and joint.resistance is not None]
        parts += [("joint", _assumed(f"joint: {joint.method or 'method not given'}", JOINT))
                  for joint in (segment.joint, *segment.splice)
                  if most and joint is not None and joint.resistance is None]
    return parts


def _assumed(words: str, taken: Taken) -> float:
    return given("R", f"{words}, assumed", taken.ohm, "ohm", taken.source)


def _owner(results: Results, returns: bool, node: int) -> tuple[str, str]:
    """Whose branch a node ends: a feed's, an earth's, a circuit's, or the alternator's."""
    network = results.network
    shared, kind = (network.earth_node, "earth") if returns else (network.feed_node, "feed")
    for name, at in shared.items():
        if at == node:
            return kind, name
    tree, consumers = (network.returns if returns else network.supply), network.consumers
    owners = (consumers.owner[each] for each in behind(tree, node) if consumers.circuit[each] >= 0)
    return next(owners, ("alternator", ""))


def _is_head(results: Results, owner: tuple[str, str], node: int) -> bool:
    """The branch is the one that holds its owner's contact, not a load's own wire behind it."""
    network = results.network
    if owner[0] == "circuit":
        return int(network.circuit_node[network.circuit_ids.index(owner[1])]) == node
    return True


def fuse_in_series(results: Results, node: int, most: bool = True) -> list[tuple[str, float]]:
    """Cold resistance of the device in a supply branch; nothing where there is none. `most` as above."""
    network, parts = results.network, []
    for index in np.flatnonzero(network.fuse_node == node).tolist():
        kind, rating = network.fuses[index].fuse.kind, float(results.fusing.rating_a[index])
        words = f"{kind} fuse" if np.isnan(rating) else f"{kind} fuse of {figure(rating)} A"
        parts.append((f"{words}, cold", _cold_fuse(kind, rating, words, most)))
    return parts


def _cold_fuse(kind: str, rating: float, words: str, most: bool) -> float:
    """What is printed of a device, or what it does not exceed; nothing where nothing is on file."""
    printed = None if np.isnan(rating) else fuse_tables.cold_resistance_ohm(kind, rating)
    if printed is not None:
        return given("R", f"{words}, cold", printed.value, "ohm", printed.source.line())
    smaller = fuse_tables.cold_resistance_at_most_ohm(kind, rating) if most and not np.isnan(rating) else None
    if smaller is not None:
        return given("R", f"{words}, none being printed: no more than the next smaller one printed, cold",
                     smaller.value, "ohm", smaller.source.line())
    taken = fuse_taken(kind, rating) if most else None
    if taken is not None:
        return _assumed(f"{words}, none being printed", taken)
    why = "no rating is known" if np.isnan(rating) else "no resistance printed"
    return given("R", f"{words}: {why}, counted as nothing", 0.0, "ohm", "no table on file")


def _contact(owner: tuple[str, str], relay: Relay | None, switch: Switch | None, most: bool
             ) -> list[tuple[str, float]]:
    ohm, taken = contact_resistance(relay, switch), contact_taken(relay, switch)
    words = "switch contact" if relay is None else f"relay contact {relay.contact}"
    if taken is not None:
        return [("contact", _assumed(words, taken))] if most else []
    if relay is not None:
        return [("contact", given("R", words, ohm, "ohm", relay_tables.relay_contact(relay.contact).source.line()))]
    if switch is not None:
        return [("switch", entered("R", words, ohm, "ohm", f"{owner[0]}.{owner[1]}.switch.resistance"))]
    return []

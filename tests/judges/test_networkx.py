"""The trees against networkx: paths, roots and sums over subtrees.

Reference: networkx, descendants and shortest paths of directed graphs built straight from the plan's names.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fuseplan.engine.computing import compute
from fuseplan.engine.network import Network
from fuseplan.engine.results import Results
from fuseplan.engine.tree import Tree
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import read_plan
from tests.lazily import Lazily
from tests.plans import large_plan, plan_of, random_plan

nx = Lazily("networkx")

EXAMPLES = Path(__file__).parents[2] / "examples"


def _results(name: str) -> Results:
    if name.startswith("random"):
        plan = plan_of(random_plan(int(name[6:])))
    elif name.startswith("large"):
        plan = plan_of(large_plan(int(name[5:])))
    else:
        plan = read_plan(EXAMPLES / f"{name}.toml")
    return compute(plan, limit_set("road"))


PLANS = ["coupe_turbo", "track_car", "van_24v", "large200", *(f"random{seed}" for seed in range(12))]


@pytest.fixture(scope="module", params=PLANS)
def results(request: pytest.FixtureRequest) -> Results:
    return _results(request.param)


def supply_graph(plan: Plan) -> nx.DiGraph:
    """Feeds, circuits, loads and coils; edges lead away from the battery."""
    graph = nx.DiGraph()
    for name, feed in plan.feed.items():
        graph.add_node(("feed", name))
        if feed.upstream is not None:
            graph.add_edge(("feed", feed.upstream), ("feed", name))
        if feed.relay is not None:
            graph.add_edge(("feed", feed.relay.coil_feed), ("coil", "feed", name))
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is not None:
            continue
        graph.add_edge(("feed", circuit.feed), ("circuit", name))
        for index in range(len(circuit.load)):
            graph.add_edge(("circuit", name), ("load", name, index))
        if circuit.relay is not None:
            graph.add_edge(("feed", circuit.relay.coil_feed), ("coil", "circuit", name))
    return graph


def return_graph(plan: Plan) -> nx.DiGraph:
    """Earth points and the loads that return to them; edges lead away from the battery."""
    graph = nx.DiGraph()
    for name, earth in plan.earth.items():
        graph.add_node(("earth", name))
        if earth.upstream is not None:
            graph.add_edge(("earth", earth.upstream), ("earth", name))
    for name, circuit in plan.circuit.items():
        for index, load in enumerate(circuit.load if circuit.out_of_scope is None else ()):
            graph.add_edge(("earth", load.earth or circuit.earth), ("load", name, index))
    return graph


def _weights(network: Network, seed: int) -> tuple[np.ndarray, dict[tuple[object, ...], float]]:
    """A random number for every consumer, as the engine's array and by the consumer's name in the graphs."""
    values = np.random.default_rng(seed).uniform(0.1, 9.0, network.consumers.count)
    named: dict[tuple[object, ...], float] = {}
    consumers = network.consumers
    for index, (kind, owner) in enumerate(zip(consumers.kind.tolist(), consumers.owner, strict=True)):
        if kind == 0:
            named["load", owner[1], int(consumers.number[index])] = values[index]
        elif kind == 2:
            named["coil", *owner] = values[index]
        else:
            values[index] = 0.0
    return values, named


def test_both_trees_are_trees_with_the_roots_the_plan_names(results: Results) -> None:
    plan, network = results.plan, results.network
    for graph, root in ((supply_graph(plan), ("feed", network.feed_ids[0])),
                        (return_graph(plan), ("earth", network.earth_ids[0]))):
        assert nx.is_arborescence(graph)
        assert [node for node, degree in graph.in_degree() if degree == 0] == [root]
    assert network.feed_node[network.feed_ids[0]] == 0
    assert network.earth_node[network.earth_ids[0]] == 0


def test_sum_behind_every_feed_and_circuit(results: Results) -> None:
    network = results.network
    graph = supply_graph(results.plan)
    values, named = _weights(network, 1)
    sums = network.supply.branch_sums(values)
    nodes = {("feed", name): node for name, node in network.feed_node.items()}
    nodes |= {("circuit", name): int(node) for name, node in zip(network.circuit_ids, network.circuit_node, strict=True)
              if results.plan.circuit[name].out_of_scope is None}
    assert nodes
    for name, node in nodes.items():
        behind = sum(named.get(each, 0.0) for each in nx.descendants(graph, name))
        assert sums[node] == pytest.approx(behind, rel=1e-9, abs=1e-9), name


def test_sum_behind_every_earth(results: Results) -> None:
    network = results.network
    graph = return_graph(results.plan)
    values, named = _weights(network, 2)
    loads_only = np.where(network.consumers.kind == 0, values, 0.0)
    sums = network.returns.branch_sums(loads_only)
    assert network.earth_node
    for name, node in network.earth_node.items():
        behind = sum(named.get(each, 0.0) for each in nx.descendants(graph, ("earth", name)))
        assert sums[node] == pytest.approx(behind, rel=1e-9, abs=1e-9), name


def test_drop_along_every_path(results: Results) -> None:
    network = results.network
    for graph, tree, nodes, kind in ((supply_graph(results.plan), network.supply, network.feed_node, "feed"),
                                     (return_graph(results.plan), network.returns, network.earth_node, "earth")):
        drops = np.random.default_rng(3).uniform(0.0, 1.0, tree.count)
        total = tree.path_drops(drops)
        root = next(iter(nodes))
        for name, node in nodes.items():
            path = nx.shortest_path(graph, (kind, root), (kind, name))
            expected = sum(drops[nodes[step[1]]] for step in path[1:])
            assert total[node] == pytest.approx(expected, rel=1e-12, abs=1e-12), name


def test_every_node_of_the_arrays_has_one_way_to_the_root(results: Results) -> None:
    for tree in (results.network.supply, results.network.returns):
        assert nx.is_arborescence(_as_graph(tree))


def _as_graph(tree: Tree) -> nx.DiGraph:
    graph = nx.DiGraph()
    graph.add_nodes_from(range(tree.count))
    graph.add_edges_from((int(parent), node) for node, parent in enumerate(tree.parent.tolist()) if node)
    return graph

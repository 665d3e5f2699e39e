"""What is solved in pieces, of each only what is on, is what the whole network gives; and it takes little room."""

from __future__ import annotations

from pathlib import Path
from weakref import ref

import numpy as np
import pytest

from fuseplan.bench.model import AT_ONCE, BenchModel, bench_model, let_go
from fuseplan.bench.solved_rows import in_garage
from fuseplan.checks.assessment import assess
from fuseplan.engine.solve import solve
from fuseplan.engine.warming import wires_of
from fuseplan.planfile.limit_files import assessed
from tests.plans import large_plan, plan_of, random_plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
VOLTS = 5e-5
"""The solver ends when no voltage moves by 2e-5 V; how many passes that takes depends on the rows beside."""


def _same_as_whole(model: BenchModel) -> None:
    network, source = model.chosen
    whole = solve(network, source, model.assessment.results.fuse_ohm, wires=in_garage(network, wires_of(network)))
    count, looked = len(network.conditions), 0
    for row in range(count):
        piece, at = model.piece(row)
        assert piece.network.conditions[at] is network.conditions[row]
        for bound in (0, 1):
            one, other = at + bound * piece.count, row + bound * count
            nodes = [np.array([read(one, node) for node in range(tree.count)]) for read, tree in (
                (piece.cold.supply_v, network.supply), (piece.cold.return_v, network.returns),
                (piece.cold.supply_a, network.supply), (piece.cold.return_a, network.returns))]
            drawn = np.array([piece.cold.consumer_a(one, each) for each in range(network.consumers.count)])
            for mine, theirs in zip(nodes[:2], (whole.supply_v, whole.return_v), strict=True):
                np.testing.assert_allclose(mine, theirs[other], atol=VOLTS)
            for mine, theirs in zip((*nodes[2:], drawn), (whole.supply_a, whole.return_a, whole.consumer_a),
                                    strict=True):
                np.testing.assert_allclose(mine, theirs[other], rtol=1e-4, atol=1e-4)
            looked += 1
    assert looked == 2 * count


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda each: str(each.stem))
def test_a_piece_gives_what_the_whole_network_gives(path: Path) -> None:
    _same_as_whole(BenchModel(assessed(path, None)))


@pytest.mark.parametrize("seed", range(5))
def test_so_it_does_in_plans_nobody_chose(seed: int) -> None:
    _same_as_whole(BenchModel(assess(plan_of(random_plan(seed)))))


def test_it_takes_no_more_room_the_more_circuits_there_are() -> None:
    """Cells of a solved piece, of a plan three times as large."""
    sizes = []
    for circuits in (100, 300):
        model = BenchModel(assess(plan_of(large_plan(circuits))))
        piece, _ = model.piece(len(model.network.conditions) + AT_ONCE)
        assert piece.count == AT_ONCE
        sizes.append(piece.cold.rows.supply_v.size)
    assert sizes[1] < 1.5 * sizes[0]


def test_a_car_on_the_bench_is_kept_no_longer_than_the_next() -> None:
    """Else a session keeps the solved rows of every plan it went through."""
    data = large_plan(30)
    kept = []
    for name in ("first", "second"):
        data["vehicle"] = {**data.get("vehicle", {}), "name": name}
        model = bench_model(assess(plan_of(data)))
        model.piece(len(model.network.conditions))
        kept.append(ref(model))
        del model
    assert kept[0]() is None
    assert kept[1]() is not None
    let_go()
    assert kept[1]() is None

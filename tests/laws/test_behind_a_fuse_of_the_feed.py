"""A circuit without a fuse of its own rests on that of its feed: it is never ok where that one protects its wires no
more, whoever the fuse belongs to."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))


def without_own_fuses(data: dict[str, Any], size: str | None) -> dict[str, Any]:
    """A plan none of whose circuits has a fuse; with a size, all their own wires of it."""
    data = copy.deepcopy(data)
    for circuit in data["circuit"].values():
        circuit.pop("fuse", None)
        for segment in circuit.get("wire", []):
            segment["size"] = size or segment["size"]
    return data


def unprotected(assessment: Assessment) -> Iterator[str]:
    """Circuits with a wire that the fuse before it does not protect, or a far end at which it is too slow."""
    results = assessment.results
    network = results.network
    guarded = np.flatnonzero(network.segment_guard >= 0)
    rating = results.fusing.rating_a[network.segment_guard[guarded]]
    for segment in guarded[exceeds(rating, results.largest_fuse_a[guarded])].tolist():
        kind, name = network.segments.owner[segment]
        if kind == "circuit":
            yield name
    yield from (network.circuit_ids[number] for number in np.flatnonzero(
        exceeds(results.faults.circuit_opens_s, OPEN_WITHIN_S)).tolist())


@pytest.mark.one_in(4)
@pytest.mark.parametrize("size", [None, "0.5 mm2"])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_circuit_behind_a_fuse_that_protects_it_not_is_never_ok(path: Any, size: str | None) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    for each in (data, without_own_fuses(data, size)):
        assessment = assess(Plan.model_validate(each))
        found = set(unprotected(assessment))
        verdicts = {name: assessment.verdict(name) for name in found if assessment.plan.circuit[name].role != "airbag"}
        assert "ok" not in verdicts.values(), verdicts
        assert "measure" not in verdicts.values(), verdicts
    assert found or size is None, "thin wires behind a feed's fuse"

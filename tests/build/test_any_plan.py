"""The laws of building and the papers of generated plans, whatever they hold or leave out."""

from __future__ import annotations

from collections import Counter

import pytest

from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import assess
from fuseplan.papers.paper_set import paper_set
from fuseplan.papers.writers import csv_tables, text
from fuseplan.planfile.read import plan_of
from tests.fuzz.generated import generated

FIXED = (1, 9, 11, 48, 109, 116)


def hold(seed: int) -> int:
    """Wires of the plan of a seed, after its building facts have held; AssertionError names what does not."""
    assessment = assess(plan_of(generated(seed), "", "plan"))
    facts = build_facts(assessment)
    segments = assessment.results.network.segments
    assert {piece.key for piece in facts.pieces} >= set(zip(segments.owner, segments.place, strict=True))
    for piece in facts.pieces:
        assert (piece.cut_m is None) == (not piece.is_cut or piece.path_m is None)
        assert piece.cut_m is None or piece.cut_m >= (piece.path_m or 0.0)
        assert all((piece.start.words, piece.end.words, piece.label))
    bought = sum(line.net or 0.0 for line in facts.buying if line.group in ("Wire", "Cable"))
    alone = sum(piece.cut_m or 0.0 for piece in facts.needed if piece.key not in facts.cable_of)
    assert bought == pytest.approx(alone + sum(cable.cut_m or 0.0 for cable in facts.cables))
    mapped = Counter([fuse.owner for box in facts.boxes for slot in box.slots for fuse in slot.fuses]
                     + [fuse.owner for fuse in facts.loose_fuses])
    assert mapped.keys() == {fuse.owner for fuse in facts.fuses}
    asked = [point.subject for point in facts.open_points if point.words.startswith("which of ")]
    assert len(asked) == sum(count > 1 for count in mapped.values())
    for bundle in facts.bundles:
        widest = [piece.outside_mm for piece in bundle.pieces if piece.outside_mm is not None]
        assert bundle.diameter_mm is None or bundle.diameter_mm >= max(widest)
    listed = list(text.files(paper_set(assessment)))
    assert all(content.strip() for _, content in listed)
    list(csv_tables.files(paper_set(assessment)))
    return len(facts.pieces)


@pytest.mark.parametrize("seed", FIXED)
def test_building_facts_of_a_plan_hold(seed: int) -> None:
    assert hold(seed) >= 0


@pytest.mark.long
def test_building_facts_of_any_number_of_plans_hold(request: pytest.FixtureRequest) -> None:
    first, wires, broken = int(request.config.getoption("--first")), 0, []
    for seed in range(first, first + int(request.config.getoption("--count"))):
        try:
            wires += hold(seed)
        except Exception as error:
            broken.append(f"seed {seed}: {type(error).__name__}: {error}")
    assert wires > 0
    assert not broken, "\n".join(broken)

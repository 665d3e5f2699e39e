"""What checks ask once does not depend on the sizes that others ask for, which a check may learn meanwhile."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from fuseplan.checks import assess
from fuseplan.planfile.read import read_plan

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_an_answer_is_the_same_whatever_size_is_asked_for() -> None:
    results = assess(read_plan(EXAMPLES / "coupe_turbo.toml")).results
    other = replace(results, asked_sizes=dict.fromkeys(range(results.network.segments.count), "25 mm²"))
    assert len({answer for answer, *_ in results.answers}) >= 8
    for (answer, *asked), found in results.answers.items():
        assert repr(answer(other, *asked)) == repr(found), (answer, asked)

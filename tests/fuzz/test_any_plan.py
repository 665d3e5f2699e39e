"""Generated and changed plans through reading, assessment and every command; the laws are in `laws`.

The ordinary run tries a few fixed plans. ``pytest tests/fuzz/test_any_plan.py --long --first 1000 --count 200`` tries
200 of each kind from seed 1000 on; a plan that breaks a law is named by its seed, and all are tried.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.fuzz.generated import generated
from tests.fuzz.laws import hold
from tests.fuzz.mutated import mutated

MAKERS: dict[str, Callable[[int], dict[str, Any]]] = {"generated": generated, "mutated": mutated}
FIXED = [*(("generated", seed) for seed in (1, 9, 11, 48, 109, 116, 214)),
         *(("mutated", seed) for seed in (7, 25, 26, 35, 149))]


LARGE = {*(("generated", seed) for seed in (11, 48, 109, 116, 214)), ("mutated", 149)}
"""Those that take seconds."""


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("kind", "seed"), [pytest.param(*each, id=" ".join(map(str, each)),
                                                         marks=pytest.mark.long if each in LARGE else ())
                                            for each in FIXED])
def test_a_plan_is_refused_in_a_sentence_or_sound_throughout(kind: str, seed: int, tmp_path: Path) -> None:
    assert hold(MAKERS[kind](seed), tmp_path, seed) in ("refused", "assessed")


@pytest.mark.share
@pytest.mark.parametrize("kind", MAKERS)
def test_most_of_what_is_tried_is_assessed(kind: str, in_full: bool) -> None:
    from fuseplan.errors import PlanError
    from fuseplan.plan.model import Plan
    from fuseplan.planfile.read import plan_of

    read, seeds = 0, range(12 if in_full else 4)
    for seed in seeds:
        try:
            read += isinstance(plan_of(MAKERS[kind](seed), "", "plan"), Plan)
        except PlanError:
            continue
    assert read >= (len(seeds) if kind == "generated" else len(seeds) // 3)


@pytest.mark.long
@pytest.mark.parametrize("kind", MAKERS)
def test_any_number_of_plans(kind: str, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    first = int(request.config.getoption("--first"))
    found: Counter[str] = Counter()
    broken: list[str] = []
    for seed in range(first, first + int(request.config.getoption("--count"))):
        try:
            found[hold(MAKERS[kind](seed), tmp_path, seed)] += 1
        except Exception as error:
            broken.append(f"seed {seed}: {type(error).__name__}: {error}")
    assert found["assessed"] > 0
    assert not broken, "\n".join(broken)

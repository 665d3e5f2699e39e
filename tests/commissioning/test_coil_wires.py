"""On the bench a relay's coil is read at both its terminals, and what its wires lose is expected there."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.bench.expected import expected
from fuseplan.bench.points import points
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.model import Plan
from tests.laws.test_coil_wires import THIN, data

WIRED = {"coil_feed": "control", "wire_86": [THIN], "wire_85": [THIN], "coil_earth": "body", "driver": "switch"}


def judged(**relay: Any) -> Assessment:
    return assess(Plan.model_validate(data(**relay)))


def shown(assessment: Assessment, what: str) -> float:
    found = expected(assessment, points(assessment)[f"circuit.pump.{what}"], "idle_hot_day").value
    assert found is not None
    return found


def test_what_is_at_86_less_what_is_at_85_is_what_the_coil_has() -> None:
    assessment = judged(**WIRED)
    at_86, at_85, across = (shown(assessment, what) for what in ("coil_86_v", "coil_85_mv", "coil_v"))
    assert at_85 > 0
    assert at_86 - at_85 == pytest.approx(across)
    longer = judged(**WIRED | {"wire_85": [THIN | {"length": "20 m"}]})
    assert shown(longer, "coil_85_mv") > 5 * at_85


def test_a_terminal_of_the_coil_is_read_where_the_plan_has_its_wire_and_knows_what_is_behind_it() -> None:
    def there(**relay: Any) -> set[str]:
        return {name.rsplit(".", 1)[1] for name in points(judged(**relay)) if "coil_8" in name}

    assert there() == set()
    assert there(**WIRED) == {"coil_86_v", "coil_85_mv"}
    assert there(**WIRED | {"driver": "ecu"}) == {"coil_86_v"}


def test_a_coil_whose_wire_has_no_length_is_expected_to_show_nothing_known() -> None:
    bare = {key: value for key, value in THIN.items() if key != "length"}
    assessment = judged(**WIRED | {"wire_86": [bare]})
    assert not expected(assessment, points(assessment)["circuit.pump.coil_v"], "idle_hot_day").known

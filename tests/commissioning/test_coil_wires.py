"""On the bench a relay's coil is read at both its terminals, and what its wires lose is expected there."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.bench.diagnosis import diagnose
from fuseplan.bench.diagnosis_records import Taken
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


DEAD = {"current": 0.0, "load_v": 0.0, "return_mv": 0.0}
COIL_V = 12.5


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("driver", "read", "kind", "place"), [
    # A switch feeds the coil: with no way to earth both its terminals are live, with no supply both are dead.
    ("switch", DEAD | {"coil_86_v": COIL_V, "coil_85_mv": COIL_V}, "open", "circuit.pump.coil_85"),
    ("switch", DEAD | {"coil_86_v": 0.0, "coil_85_mv": 0.0}, "coil_not_driven", "circuit.pump.relay"),
    ("switch", DEAD | {"coil_86_v": 5.0, "coil_85_mv": 0.0}, "coil_starved", "circuit.pump.coil_86"),
    ("switch", DEAD | {"coil_86_v": COIL_V, "coil_85_mv": 7.0}, "coil_starved", "circuit.pump.coil_85"),
    # A control unit earths it: the other way round.
    ("ecu", DEAD | {"coil_86_v": 0.0, "coil_v": 0.0}, "open", "circuit.pump.coil_86"),
    ("ecu", DEAD | {"coil_86_v": COIL_V, "coil_v": 0.0}, "coil_not_driven", "circuit.pump.relay"),
    # A relay that pulls all the same.
    ("switch", {"coil_86_v": 10.4, "coil_85_mv": 0.0}, "resistance", "circuit.pump.coil_86"),
    ("switch", {"coil_86_v": COIL_V, "coil_85_mv": 2.0}, "resistance", "circuit.pump.coil_85"),
])
def test_readings_at_a_coil_tell_its_wires_from_what_drives_it(
        driver: str, read: dict[str, float], kind: str, place: str) -> None:
    assessment = judged(**WIRED | {"driver": driver})
    at = points(assessment)
    usual = {what: expected(assessment, at[f"circuit.pump.{what}"], "alone").value
             for what in ("current", "supply_mv", "return_mv", "load_v")} if "load_v" not in read else {}
    taken = [Taken(at[f"circuit.pump.{what}"], "alone", value) for what, value in (usual | read).items()
             if value is not None]
    found = diagnose(assessment, "pump", [Taken(at["battery.volts"], "alone", 12.6), *taken])
    assert not {each.point.what for each in found.unused} & {"coil_86_v", "coil_85_mv"}
    assert (found.suspects[0].fault.kind, found.suspects[0].fault.place) == (kind, place)
    assert found.suspects[0].weight > 0.5

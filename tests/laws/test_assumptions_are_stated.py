"""What is taken where a plan is silent is said, counts, and is gone once the plan speaks."""

from __future__ import annotations

import copy
import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.assumed import JOINT, STUD
from fuseplan.plan.model import Plan
from tests.laws.test_silence_never_helps import GOOD

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
LEFT_OUT: dict[tuple[str | int, ...], str] = {
    ("circuit", "lamps", "fuse", "rating"): "rating of its fuse: none entered, taken as proposed",
    ("circuit", "lamps", "drop_class"): "kind of circuit for its voltage drop: lamps of 15 W and more",
    ("circuit", "lamps", "switch", "resistance"): "resistance of its switch",
    ("circuit", "lamps", "wire", 0, "joint", "resistance"): "resistance of a joint in its wire",
    ("circuit", "lamps", "earth_wire"): "no earth wire: earthed where it is bolted",
    ("circuit", "starter", "earth_wire"): "no earth wire: earthed where it is bolted",
    ("circuit", "starter", "load", 0, "use"): "time the starter is on, taken as a short load (momentary) by its role",
    ("circuit", "lamps", "load", 0, "at"): "voltage its current or power is stated at",
    ("circuit", "lamps", "load", 0, "inrush"): "inrush current, typical for its kind (lamp)",
    ("circuit", "fan", "wire", 0, "insulation"): "insulation: pvc70, up to",
    ("feed", "ignition", "wire"): "no wire to it: bolted to the feed it comes from",
    ("alternator", "pulley_ratio"): "pulley ratio, for its output",
    ("alternator", "regulator_voltage"): "regulator voltage at 20 °C",
    ("battery", "cold_crank"): "weak battery, for cranking and the least a short draws",
}


def left_out(*place: str | int) -> dict[str, Any]:
    data = tomllib.loads(GOOD)
    here: Any = data
    for step in place[:-1]:
        here = here[step]
    del here[place[-1]]
    return data


@pytest.mark.parametrize("place", LEFT_OUT, ids=lambda place: ".".join(map(str, place)))
def test_what_is_taken_is_stated_only_while_the_plan_is_silent(place: tuple[str | int, ...]) -> None:
    what = LEFT_OUT[place]
    keys = {each.key for each in assess(Plan.model_validate(left_out(*place))).assumptions if each.what == what}
    before = {each.key for each in assess(Plan.model_validate(tomllib.loads(GOOD))).assumptions if each.what == what}
    new = keys - before
    assert len(new) == 1
    assert all(key.startswith(".".join(map(str, place[:2]))) for key in new)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_assumption_has_a_value_a_source_and_a_side(path: Path) -> None:
    assessment = assess(Plan.model_validate(tomllib.loads(path.read_text(encoding="utf-8"))))
    assert assessment.assumptions
    for each in assessment.assumptions:
        assert math.isfinite(each.value)
        assert each.source
        assert each.what
    listed = assessment.to_dict()["assumptions"]
    assert [each["key"] for each in listed] == [each.key for each in assessment.assumptions]


@pytest.mark.parametrize(("circuit", "ohm"), [("lamps", JOINT.ohm), ("starter", STUD.ohm)])
def test_a_load_earthed_where_it_is_bolted_loses_what_its_joint_is_taken_for(circuit: str, ohm: float) -> None:
    data = left_out("circuit", circuit, "earth_wire")
    results = assess(Plan.model_validate(data)).results
    network, solution = results.network, results.solution
    consumer = next(index for index in network.load_consumers.tolist() if network.consumers.owner[index][1] == circuit)
    node = int(network.consumers.return_node[consumer])
    point = network.earth_node[data["circuit"][circuit]["earth"]]
    on = network.consumers.on[:, consumer].nonzero()[0]
    assert on.size
    for row in on.tolist():
        lost = float(solution.return_v[row, node] - solution.return_v[row, point])
        assert lost == pytest.approx(ohm * float(solution.consumer_a[row, consumer]), rel=1e-6)


def test_what_is_taken_never_lessens_the_largest_short() -> None:
    """Resistances nobody gave count in the least a short draws, and not in the most."""
    given = copy.deepcopy(tomllib.loads(GOOD))
    silent = left_out("feed", "ignition", "wire")
    del silent["circuit"]["lamps"]["switch"]["resistance"]
    before, after = (assess(Plan.model_validate(data)).results.faults for data in (given, silent))
    assert (after.prospective_a >= before.prospective_a * (1 - 1e-9)).all()


def test_a_circuit_of_no_stated_kind_is_still_held_against_a_drop_limit() -> None:
    """A thin wire loses as much whether the plan says what kind of circuit it is or not."""
    data = left_out("circuit", "lamps", "drop_class")
    data["circuit"]["lamps"]["wire"][0]["length"] = "60 m"
    assessment = assess(Plan.model_validate(data))
    assert "voltage-drop" in {each.check for each in assessment.findings_for("circuit", "lamps")}
    assert assessment.circuit("lamps").verdict != "ok"


@pytest.mark.parametrize(("kind", "ambient", "stated"), [
    ("mega", "85 degC", True), ("midi", "85 degC", True), ("maxi", "85 degC", True), ("mega", "20 degC", False),
    ("blade", "85 degC", False),
])
def test_the_derating_of_another_type_by_the_curve_of_blade_fuses_is_stated_where_it_counts(
        kind: str, ambient: str, stated: bool) -> None:
    data = tomllib.loads(GOOD)
    data["zone"]["holder"] = {"ambient": ambient}
    data["circuit"]["fan"]["fuse"] = {"kind": kind, "rating": "30 A", "distance": "100 mm", "zone": "holder"}
    found = [each for each in assess(Plan.model_validate(data)).assumptions if each.key == "circuit.fan.fuse.zone"]
    # 0.711 at 85 °C over 0.8998 at 25 °C: derived from the Littelfuse ATOF 287 datasheet, revision 2022-08-18.
    assert [(each.value, each.unit) for each in found] == ([(79, "%")] if stated else [])

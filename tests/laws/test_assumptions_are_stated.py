"""What is taken where a plan is silent is said, counts, and is gone once the plan speaks."""

from __future__ import annotations

import copy
import math
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.assumed import JOINT, STUD
from fuseplan.papers.assumption_text import value_words
from fuseplan.plan.model import Plan
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.planfile.plain import without
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


FULL = {
    "vehicle": {"system": "12 V", "highest_engine_speed": "6500 r/min"},
    "battery": {"kind": "agm", "cold_crank_test": "SAE", "state_of_charge": 0.8, "temperature": "0 degC",
                "peukert": 1.15},
    "alternator": {"max_speed": "15000 r/min", "slope": -0.008, "regulator_temperature": "60 degC",
                   "machine": "alternator", "self_exciting": True, "sense": "own_terminal"},
}
NONE_OF_IT = frozenset({
    "driver", "joint", "relay", "switch", "cover", "engine", "fuse",  # there is none; a fuse: that of its feed counts
    "live", "when", "resistance",  # as its feed, always, nothing lost: the file format says so
    "zone",  # of a fuse box, taken as the hottest of its feed's: a hotter fuse blows sooner; wires say what they take
})
"""Keys that no figure stands in for."""


def leaves(value: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every key below the tables of a plan."""
    for key, each in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        if isinstance(key, str) and (len(at) > 1 or (at and at[0] in FULL)):
            yield (*at, key)
        yield from leaves(each, (*at, key))


@pytest.mark.share
def test_what_changes_a_figure_by_being_left_out_is_assumed_or_asked_for(in_full: bool) -> None:
    """Whatever the key: the result says what it took in its place, asks for it, or says that a figure is not known."""
    data = tomllib.loads(GOOD)
    for table, keys in FULL.items():
        data[table] = data.get(table, {}) | keys

    def figures(found: dict[str, Any]) -> list[Any]:
        return [found[key] for key in ("conditions", "circuits", "feeds", "earths", "power")]

    def told(found: dict[str, Any]) -> set[tuple[str, str]]:
        """Keys that the result names, and what it says of them; circuits that lack something."""
        return {(each["key"], each["what"]) for name in ("assumptions", "not_said") for each in found[name]} | {
            (field, each["message"]) for each in found["findings"] for field in each["fields"]} | {
            ("", each["id"]) for each in found["circuits"] if each["missing"]}

    whole = assess(Plan.model_validate(data)).to_dict()
    changed, silent = 0, []
    places = [each for each in leaves(data) if each[-1] not in NONE_OF_IT]
    for place in places if in_full else [each for each in places if each[0] in FULL] + places[::7]:
        left = without(data, place)
        try:
            plan = Plan.model_validate(left)
        except ValueError:
            continue
        if reference_problems(left):
            continue
        found = assess(plan).to_dict()
        if figures(found) == figures(whole):
            continue
        changed += 1
        path, part = ".".join(map(str, place)), ".".join(map(str, place[:2]))
        if not any(key.startswith(path) or path.startswith(key) or (
                key.startswith(part) and key.endswith(f".{place[-1]}")) for key, _ in told(found) - told(whole)):
            silent.append(path)
    assert changed > 10
    assert silent == []


def test_the_locked_point_of_a_starter_is_assumed_until_it_is_stated() -> None:
    """On 12 V the one on file stands still at 1.538 V with its running current: a car maker's starting specifications,
    2001 (`starter_points.csv`)."""
    data = tomllib.loads(GOOD)
    starter = data["circuit"]["starter"]["load"][0]

    def locked() -> list[str]:
        return [value_words(each) for each in assess(Plan.model_validate(data)).assumptions
                if each.key == "circuit.starter.load.0.locked_current"]

    assert locked() == ["1.538 V"]
    starter |= {"locked_current": "450 A", "locked_at": "4 V"}
    assert locked() == []

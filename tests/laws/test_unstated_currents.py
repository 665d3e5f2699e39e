"""A current the plan does not state counts against all that share a feed, an earth or the battery with it: never more
than its fuse carries for long, never nothing, and where no fuse rating limits it they are unknown."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.papers.summary import first_page
from fuseplan.papers.text import unknown_lines
from fuseplan.plan.model import Plan
from tests.laws.test_silence_never_helps import GOOD
from tests.plans import plan_of
from tests.protection.small import data

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def extra(drawn: dict[str, Any] | None, fuse: dict[str, Any] | None, **circuit: Any) -> dict[str, Any]:
    """The good plan with another circuit on the lamps' feed and earth; no load where `drawn` is None."""
    data = tomllib.loads(GOOD)
    wire = [{"size": "4 mm2", "along": ["sill"], "insulation": "xlpe125"}]
    data["circuit"]["new"] = {"feed": "bus", "wire": wire, "earth": "body", "earth_wire": [
        {"size": "4 mm2", "length": "0.5 m", "zone": "cabin", "insulation": "xlpe125"}], **circuit}
    if fuse is not None:
        data["circuit"]["new"]["fuse"] = fuse
    if drawn is not None:
        data["circuit"]["new"]["load"] = [drawn]
    return data


def judged(data: dict[str, Any]) -> Assessment:
    return assess(Plan.model_validate(data))


def upper(assessment: Assessment) -> dict[str, np.ndarray[Any, Any]]:
    """Figures of the feeds and earths at the worst-case currents, and the voltages of the other loads."""
    results = assessment.results
    count = len(results.network.conditions)
    others = [number for number in results.network.load_consumers.tolist()
              if results.network.consumers.owner[number][1] != "new"]
    worst = results.solution
    return {
        "feed_a": results.demands.supply[1][:, list(results.network.feed_node.values())],
        "earth_a": results.demands.returns[1][:, list(results.network.earth_node.values())],
        "load_v": -worst.across_v[count:][:, others], "demand_a": results.balance.demand_a[1],
        "peak_a": results.balance.peak_a[1],
    }


SILENT: dict[str, Callable[[], dict[str, Any]]] = {
    "no current": lambda: extra({"kind": "motor", "when": ["rain"]}, {"kind": "blade", "rating": "20 A"}),
    "no kind, no current": lambda: extra({"when": ["rain"]}, {"kind": "blade", "rating": "20 A"}),
    "no loads": lambda: extra(None, {"kind": "blade", "rating": "20 A"}),
    "out of scope": lambda: extra(None, {"kind": "blade", "rating": "20 A"}, out_of_scope="abs"),
    "rating of its feed's fuse": lambda: extra({"kind": "motor", "when": ["rain"]}, {"kind": "blade"}),
}


@pytest.mark.one_in(4)
@pytest.mark.parametrize("silent", SILENT)
@pytest.mark.parametrize("kind", ["motor", "lamp", "resistive", "electronic"])
def test_no_load_its_fuse_carries_is_worse_for_others_than_one_that_is_not_stated(silent: str, kind: str) -> None:
    data = SILENT[silent]()
    bound = 50.0 if silent == "rating of its feed's fuse" else 20.0
    worst = upper(judged(data))
    for share in (0.1, 0.5, 0.9):
        stated = copy.deepcopy(data)
        stated["circuit"]["new"].pop("out_of_scope", None)
        stated["circuit"]["new"]["load"] = [{"current": f"{share * bound / 1.2} A", "at": "12 V", "kind": kind,
                                             "when": ["rain"], "evidence": "measured"}]
        for name, figure in upper(judged(stated)).items():
            assert (figure <= worst[name] + 2e-3).all(), (name, share)


@pytest.mark.parametrize("silent", SILENT)
def test_the_current_that_is_counted_is_stated(silent: str) -> None:
    assessment = judged(SILENT[silent]())
    listed, = [each for each in assessment.assumptions if each.subject == "new" and each.unit == "A"]
    assert listed.value == (50.0 if silent == "rating of its feed's fuse" else 20.0)
    assert assessment.verdict("new") == "unknown"


def test_as_entered_it_counts_as_nothing_so_that_what_fails_fails_for_certain() -> None:
    without = tomllib.loads(GOOD)
    silent = SILENT["no current"]()
    before, after = judged(without).results, judged(silent).results
    count = len(before.network.conditions)
    np.testing.assert_allclose(after.solution.root_v[:count], before.solution.root_v[:count], atol=1e-4)
    np.testing.assert_allclose(after.balance.demand_a[0], before.balance.demand_a[0], atol=1e-3)


@pytest.mark.one_in(4)
@pytest.mark.parametrize("drawn", [{"kind": "motor", "when": ["rain"]}, None], ids=["no current", "no loads"])
@pytest.mark.parametrize("path", ["good", *EXAMPLES], ids=lambda path: path if path == "good" else path.stem)
def test_nothing_on_at_the_same_time_is_ok_where_no_rating_limits_it(path: str | Path, drawn: dict[str, Any] | None
                                                                     ) -> None:
    data = tomllib.loads(GOOD if path == "good" else Path(path).read_text(encoding="utf-8"))
    root = next(name for name, feed in data["feed"].items() if "from" not in feed)
    earth = next(name for name, each in data["earth"].items() if "to" not in each)
    plain = judged(data)
    data["circuit"]["new"] = {"feed": root, "earth": earth, "wire": [{"size": "4 mm2", "length": "1 m"}],
                              "fuse": {"kind": "blade"}, **({} if drawn is None else {"load": [drawn]})}
    assessment = judged(data)
    network = plain.results.network
    rain = np.array([drawn is None or "rain" in each.when for each in network.conditions])
    touched = 0
    for number, name in enumerate(network.circuit_ids):
        mine = (network.consumers.circuit == number) & (network.consumers.kind == 0)
        if network.consumers.possible[rain][:, mine].any():
            touched += 1
            assert assessment.verdict(name) != "ok", name
        else:
            assert assessment.verdict(name) == plain.verdict(name), name
    assert touched
    subjects = {(each.subject_kind, each.subject) for each in assessment.unjudged}
    assert {("feed", root), ("earth", earth)} <= subjects


def test_a_wire_to_a_load_of_unknown_current_counts_as_loaded_beside_others() -> None:
    stated = extra({"current": "10 A", "kind": "resistive", "when": ["rain"], "evidence": "measured"},
                   {"kind": "blade", "rating": "20 A"})
    silent = SILENT["no current"]()
    before, after = judged(stated).results, judged(silent).results
    assert before.network.segments.place == after.network.segments.place
    assert (after.solution.loaded >= before.solution.loaded).all()
    assert (after.segment_limit_a <= before.segment_limit_a + 1e-9).all()
    assert after.solution.loaded.max() > 1


def test_the_wire_of_a_circuit_without_its_loads_counts_as_loaded_beside_others() -> None:
    """Leaving out what a circuit feeds cools none of the wires it lies with."""
    entered = judged(extra({"current": "9 A", "kind": "motor"}, {"kind": "blade", "rating": "20 A"})).results
    silent = judged(SILENT["no loads"]()).results
    assert [each for each in entered.network.segments.owner if each[1] == "new"]
    others = [index for index, each in enumerate(entered.network.segments.owner) if each[1] != "new"]
    same = [index for index, each in enumerate(silent.network.segments.owner) if each[1] != "new"]
    assert (silent.segment_limit_a[same] <= entered.segment_limit_a[others]).all()
    alone = judged(tomllib.loads(GOOD)).results
    assert (silent.segment_limit_a[same] < alone.segment_limit_a).any()


def test_a_feeds_fuse_is_not_proposed_where_nothing_limits_what_it_carries() -> None:
    data = extra({"kind": "motor", "when": ["rain"]}, {"kind": "blade"})
    del data["feed"]["bus"]["fuse"]["rating"]
    results = judged(data).results
    device = next(index for index, row in enumerate(results.network.fuses) if row.owner == ("feed", "bus"))
    assert np.isnan(results.fusing.rating_a[device])


@pytest.mark.parametrize("kind", ["motor", "lamp", "resistive", "electronic", "coil"])
def test_a_kind_of_load_not_stated_counts_as_the_worst_kind(kind: str) -> None:
    load = {"current": "8 A", "at": "12 V", "when": ["rain"], "evidence": "plate"}
    fuse = {"kind": "blade", "rating": "20 A"}
    worst, stated = upper(judged(extra(load, fuse))), upper(judged(extra({**load, "kind": kind}, fuse)))
    for name, figure in stated.items():
        assert (figure <= worst[name] + 2e-3).all(), name


def test_a_span_without_a_current_leaves_every_bound_a_number() -> None:
    data = extra({"kind": "motor", "when": ["rain"], "range": ["2 A", "9 A"]}, {"kind": "blade", "rating": "20 A"})
    consumers = judged(data).results.network.consumers
    for bound in (consumers.lower, consumers.upper, consumers.least_a, consumers.most_a):
        assert np.isfinite(bound).all()


@pytest.mark.parametrize(("drawn", "disturbs"), [({}, True), ({"current": "3 A"}, True), ({"current": "0.2 A"}, False)])
def test_a_load_of_unknown_current_disturbs_the_sensors_on_its_earth_point(drawn: dict[str, str], disturbs: bool
                                                                         ) -> None:
    load = {"kind": "resistive", "when": ["always"], "evidence": "measured"}
    data = extra(load | drawn, {"kind": "blade", "rating": "10 A"}, role="wipers")
    data["earth"]["own"] = {"to": "body", "resistance": "1 mohm"}
    data["circuit"]["new"]["earth"] = "own"
    sensor = copy.deepcopy(data["circuit"]["new"]) | {"role": "sensor_supply", "load": [load | {"current": "0.1 A"}]}
    data["circuit"]["sensor"] = sensor
    found = [each for each in judged(data).findings if each.check == "sensor-earth-shared"]
    assert bool(found) is disturbs


def test_no_current_and_no_temperature_is_shown_of_a_wire_of_which_the_current_is_not_stated() -> None:
    load = {"kind": "motor", "when": ["rain"], "evidence": "measured"}
    for drawn, known in ((load, False), (load | {"current": "3 A"}, True)):
        circuit = judged(extra(drawn, {"kind": "blade", "rating": "15 A"})).circuit("new")
        assert len(circuit.segments) == 2
        for each in circuit.segments:
            shown = (each.current_a, each.temperature_c, each.table_temperature_c)
            assert [figure is not None for figure in shown] == [known] * 3


@pytest.mark.parametrize("left_out", ["kind", "current", "load"])
def test_a_switch_that_many_share_fails_by_what_is_known_behind_it_or_is_not_known(left_out: str) -> None:
    """What is left out behind it neither clears a switch that the others overload, nor passes as nothing."""
    wire = [{"size": "4 mm2", "length": "1 m", "zone": "cabin", "insulation": "xlpe125"}]
    for rating, fails in (("11 A", True), ("200 A", False)):
        data = extra({"kind": "motor", "current": "3 A", "at": "13.5 V", "when": ["rain"]},
                     {"kind": "blade", "rating": "10 A"})
        data["feed"]["behind"] = {"from": "bus", "wire": wire, "switch": {"rating": rating}}
        data["circuit"]["other"] = copy.deepcopy(data["circuit"]["new"])
        data["circuit"]["other"]["load"][0]["current"] = "6 A"
        for name in ("new", "other"):
            data["circuit"][name]["feed"] = "behind"
        assert reads_of_switch(judged(data)) == (fails, False)
        if left_out == "load":
            del data["circuit"]["new"]["load"]
        else:
            del data["circuit"]["new"]["load"][0][left_out]
        assert reads_of_switch(judged(data)) == (fails, not fails)


def reads_of_switch(assessment: Assessment) -> tuple[bool, bool]:
    """Whether the switch of the feed fails, and whether it is not known."""
    found = [each for each in (*assessment.findings, *assessment.unjudged)
             if each.check == "switch-overloaded" and each.subject == "behind"]
    return any(each in assessment.findings for each in found), any(each in assessment.unjudged for each in found)


@pytest.mark.parametrize("amps", ["5 A", "80 A"])
def test_what_is_fed_from_nowhere_is_never_ok_and_says_that_no_feed_counts_it(amps: str) -> None:
    plan = data(load={"current": amps}, box={"fuse": {"kind": "maxi", "rating": "40 A"}, "wire": [
        {"size": "10 mm2", "length": "1 m", "zone": "place"}]})
    assert "on no feed" not in " ".join(each.message for each in assess(plan_of(plan)).findings)
    del plan["circuit"]["lamp"]["feed"]
    assessment = assess(plan_of(plan))
    assert assessment.verdict("lamp") in ("unknown", "fails")
    [said] = [each for each in assessment.findings if each.check == "figures-missing" and each.subject == "lamp"]
    assert "feed; what it draws counts at the battery and on no feed" in said.message
    assert assessment.results.demands.supply[0, :, 0].max() >= float(amps.split()[0]) * 0.8


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_circuit_that_is_only_named_is_unknown_and_changes_no_other(path: Path) -> None:
    """Nothing shares a feed with it, and no wire of it could burn. Fed, it counts as any other that says nothing."""
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    plain = judged(data)
    data["circuit"]["new"] = {"name": "To be fitted", "role": "comfort"}
    assessment = judged(data)
    verdicts = {name: assessment.verdict(name) for name in assessment.plan.circuit}
    assert verdicts.pop("new") == "unknown"
    assert verdicts == {name: plain.verdict(name) for name in plain.plan.circuit}
    assert [(each.check, each.subject) for each in assessment.findings if each.level in ("danger", "warning")] == [
        (each.check, each.subject) for each in plain.findings if each.level in ("danger", "warning")]
    assert "NOT READY" in first_page(assessment) or "DO NOT POWER UP" in first_page(assessment)


def test_what_many_circuits_rest_on_is_told_once() -> None:
    data = tomllib.loads(EXAMPLES[-1].read_text(encoding="utf-8"))
    root = next(name for name, feed in data["feed"].items() if "from" not in feed)
    data["circuit"]["new"] = {"name": "To be fitted", "role": "comfort", "feed": root}
    assessment = judged(data)
    resting = [name for name in assessment.plan.circuit if any("To be fitted" in each
                                                               for each in assessment.why_unknown(name))]
    assert len(resting) > 5
    unknown = " ".join(" ".join(unknown_lines(assessment.circuits, 100)).split())
    assert unknown.count("what 'To be fitted' draws") == 1


@pytest.mark.parametrize(("path", "feed"), [("track_car", "ignition_bus"), ("coupe_turbo", "main_bus"),
                                            ("coupe_turbo", "engine_bus")])
@pytest.mark.parametrize(("more", "field", "asks"), [
    ({}, "load", "loads"), ({"out_of_scope": "airbag"}, "fuse.rating", "fuse")], ids=["in scope", "out of scope"])
def test_what_rests_on_loads_that_are_not_entered_asks_for_those_loads_and_is_one_cause(
        path: str, feed: str, more: dict[str, Any], field: str, asks: str) -> None:
    """What does not pass without the circuit either stands as it is. Of an airbag's no load is asked for."""
    data = tomllib.loads(next(each for each in EXAMPLES if each.stem == path).read_text(encoding="utf-8"))
    plain = judged(data)
    data["circuit"]["new"] = {"name": "To be fitted", "role": "comfort", "feed": feed, **more}
    assessment = judged(data)
    asked = [each for each in assessment.findings if each.fields[:1] == (f"circuit.new.{field}",)]
    assert len(asked) > 3
    assert all(each.measure and each.fix.startswith(f"enter the {asks} of 'To be fitted'") for each in asked)
    assert sum(each.cause is None for each in asked) == 1
    before = {(each.check, each.subject) for each in plain.findings if each.measure}
    assert {(each.check, each.subject) for each in assessment.findings if each.measure and each not in asked} == before
    others = [name for name in plain.plan.circuit if assessment.verdict(name) != plain.verdict(name)]
    assert others
    assert {assessment.verdict(name) for name in others} == {"measure"}


def test_a_load_entered_without_its_current_is_measured_not_entered() -> None:
    assessment = judged(SILENT["no current"]())
    assert not [each for each in assessment.findings if each.fix.startswith("enter the loads")]

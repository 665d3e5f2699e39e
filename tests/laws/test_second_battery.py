"""A wire between two batteries is fed from both ends: it needs a fuse at each, and each is judged."""

from __future__ import annotations

from tomllib import loads as toml
from typing import Any

import pytest

from fuseplan.bench.first_power import first_power
from fuseplan.build.facts import build_facts
from fuseplan.checks import Assessment, assess
from fuseplan.checks.second_battery import far_ends
from fuseplan.engine.source import open_circuit_v
from fuseplan.papers.paper_set import paper_set, texts_of
from fuseplan.papers.summary import first_page
from fuseplan.plan.model import Battery, Plan
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.words import STATES
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from tests.checks.check_plans import failing, passing
from tests.laws.test_a_fix_changes_something import fixed
from tests.plans import plan_of

CHECK = "second-battery-unprotected"


def linked(**fuse: Any) -> dict[str, Any]:
    """A car with a split-charge relay and a fuse at each end, that at the second battery changed."""
    data = toml(passing(CHECK))
    data["circuit"]["link"]["second_battery"]["fuse"] |= fuse
    return data


def judged(data: dict[str, Any]) -> Assessment:
    return assess(plan_of(data))


def found(data: dict[str, Any]) -> list[tuple[str, str]]:
    return [(each.level, each.unit) for each in judged(data).findings if each.check == CHECK]


def test_without_a_fuse_at_the_far_end_it_is_a_danger_and_its_fix_removes_it() -> None:
    data = linked()
    assert found(data) == []
    fuse = data["circuit"]["link"]["second_battery"].pop("fuse")
    assert found(data) == [("danger", "")]
    data["circuit"]["link"]["second_battery"]["fuse"] = {**fuse, "rating": "30 A"}
    assert found(data) == []


def test_first_power_connects_it_through_a_bulb_when_its_wire_has_been_tried() -> None:
    [step] = [step for step in first_power(judged(linked())) if step.subject == "link"]
    tried, _, connected = step.words.partition("Then the second battery: its fuse out, ")
    assert "dark. Then" in tried
    assert "its earth lead through a 12 V 21 W bulb: dark. Then connect it. Then its fuse." in connected


def test_the_fuse_there_may_not_exceed_what_the_wire_is_rated_for() -> None:
    data = linked()
    [finding] = [each for each in judged(linked(kind="mega", rating="400 A")).findings
                 if each.check == CHECK and each.unit == "A" and "exceeds" in each.message]
    assert finding.level == "danger"
    assert finding.limit is not None
    near = data["circuit"]["link"]["fuse"]
    near["kind"], near["rating"] = "mega", "400 A"
    [same] = [each for each in judged(data).findings if each.check == "fuse-exceeds-wire" and each.subject == "link"]
    assert same.limit == pytest.approx(finding.limit)


def test_the_way_from_its_post_to_its_fuse_is_asked_and_limited() -> None:
    """33 CFR 183.455(b): 7 inches bare, 40 inches in a sheath."""
    data = linked()
    del data["circuit"]["link"]["second_battery"]["fuse"]["distance"]
    assessment = judged(data)
    assert [each.safety for each in assessment.not_said if each.kind == "far_fuse"] == [True]
    assert assessment.verdict("link") == "unknown"
    for distance, cover, fails in (("177 mm", None, False), ("179 mm", None, True), ("1.01 m", "conduit", False),
                                   ("1.02 m", "conduit", True)):
        fitted = {"distance": distance, **({} if cover is None else {"cover": cover})}
        assert (("danger", "m") in found(linked(**fitted))) is fails


def test_a_long_thin_wire_does_not_blow_it() -> None:
    """The shorter the wire the more a short draws; 60 m of 2.5 mm2 there and the body back, a fuse of 30 A."""
    data = linked(rating="30 A")
    data["circuit"]["link"]["wire"][0] |= {"size": "2.5 mm2", "length": "60 m"}
    assert ("danger", "s") in found(data)
    data["circuit"]["link"]["wire"][0]["length"] = "1 m"
    assert ("danger", "s") not in found(data)


def test_all_that_a_short_from_it_passes_lowers_what_it_draws() -> None:
    """Contact of the relay, wire from its negative post, strap of that earth point: each by its own resistance. The
    wire, 6.6 mΩ cold, takes the place of the joint of 3 mΩ that is assumed without one."""
    data = linked()
    data["circuit"]["link"]["relay"]["resistance"] = "50 mohm"
    [contact] = far_ends(judged(data).results)
    data["circuit"]["link"]["earth_wire"] = [{"size": "6 mm2", "length": "2 m", "zone": "cabin"}]
    [earthed] = far_ends(judged(data).results)
    data["earth"]["body"]["resistance"] = "20 mohm"
    [strap] = far_ends(judged(data).results)
    volts = float(open_circuit_v(Battery(), 12.0))
    loops = [volts / each.least_a for each in (contact, earthed, strap)]
    assert loops[0] > 0.05
    assert loops[1] - loops[0] > 0.0066 - 0.003
    assert loops[2] - loops[1] == pytest.approx(0.02, rel=1e-6)
    assert ("danger", "s") in found(data)


def test_of_a_battery_without_a_label_it_is_not_known_whether_its_fuse_breaks_the_short() -> None:
    data = linked()
    data["circuit"]["link"]["second_battery"].pop("cold_crank")
    words = [each.words for each in judged(data).unjudged if each.check == CHECK]
    assert len(words) == 1
    assert "breaking capacity" in words[0]


def test_the_finding_names_the_wire_that_allows_the_least() -> None:
    data = linked(kind="mega", rating="300 A")
    wire = data["circuit"]["link"]["wire"][0]
    data["circuit"]["link"]["wire"] = [{**wire, "size": "50 mm2"}, {**wire, "size": "2.5 mm2"}]
    [finding] = [each for each in judged(data).findings if each.check == CHECK and "exceeds" in each.message]
    assert "2.5 mm²" in finding.message
    assert "circuit.link.wire.1.size" in finding.fields


def test_the_zone_of_its_fuse_is_one_of_the_plan() -> None:
    [(path, words)] = reference_problems(linked(zone="nowhere"))
    assert path == ("circuit", "link", "second_battery", "fuse", "zone")
    assert "fuse of second battery of circuit 'link'" in words


def test_the_shorts_it_feeds_follow_from_its_label() -> None:
    """Twice the cold-cranking current, half the resistance, twice the short; above 1000 A a blade fuse does not break
    it (ISO 8820-3, scope)."""
    data, second = linked(), {"cold_crank": "100 A"}
    data["circuit"]["link"]["second_battery"] |= second
    [low] = far_ends(judged(data).results)
    data["circuit"]["link"]["second_battery"]["cold_crank"] = "200 A"
    [high] = far_ends(judged(data).results)
    assert high.most_a == pytest.approx(2 * low.most_a)
    assert found(data) == []
    data["circuit"]["link"]["second_battery"]["cold_crank"] = "900 A"
    assert ("warning", "A") in found(data)


@pytest.mark.parametrize("definition", ["second_battery_split_charge", "second_battery_converter"])
def test_the_fuse_the_library_puts_at_a_second_battery_breaks_as_much_as_any_on_file(definition: str) -> None:
    """ISO 8820-5, scope: 2000 A; what a battery of any label draws beyond it is advice, as at the first battery."""
    data = linked()
    [circuit] = definitions()[definition].circuits.values()
    fuse = circuit["second_battery"]["fuse"]
    data["circuit"]["link"]["second_battery"] |= {"fuse": fuse, "cold_crank": "900 A"}
    levels = [level for level, unit in found(data) if unit == "A"]
    assert levels == ["advice"]
    [finding] = [each for each in judged(data).findings if each.check == CHECK and each.unit == "A"]
    assert "none is on file" in finding.fix


def test_when_the_fuses_at_both_ends_blow_is_asked_in_one_line_of_the_first_page() -> None:
    data = linked(kind="strip")
    data["circuit"]["link"]["fuse"] |= {"kind": "strip"}
    asked = [each for each in judged(data).not_said if "blows_at" in each.key]
    keys = {each.key for each in asked}
    assert {"circuit.link.fuse.blows_at", "circuit.link.second_battery.fuse.blows_at"} <= keys
    page = first_page(judged(data))
    assert page.count("(blows_at)") == 1
    assert f"fuse of {len(keys)} parts" in page


def test_a_charging_wire_that_does_not_describe_its_battery_is_asked_for_it() -> None:
    data = linked()
    del data["circuit"]["link"]["second_battery"]
    assessment = judged(data)
    assert [(each.subject, each.safety) for each in assessment.not_said if each.kind == "second_battery"] == \
        [("link", True)]
    assert assessment.verdict("link") == "unknown"


def test_behind_a_converter_its_fuse_protects_only_what_lies_between() -> None:
    data = linked()
    data["circuit"]["link"]["wire"] = [{**data["circuit"]["link"]["wire"][0], "size": size} for size in
                                       ("25 mm2", "6 mm2")]
    data["circuit"]["link"]["second_battery"]["converter_before"] = 1
    [end] = far_ends(judged(data).results)
    areas = judged(data).results.network.segments.area_mm2[end.wires]
    assert areas.tolist() == [6.0]


def test_the_circuits_of_the_library_come_with_both_fuses_and_they_are_bought() -> None:
    names = [name for name in definitions() if "second_battery" in name]
    assert len(names) == 2
    assessment = assess(parse_plan(starter_plan("new", tuple(names))))
    assert CHECK not in {each.check for each in assessment.findings}
    assert "second-battery-cranks" not in {each.check for each in assessment.findings}
    bought = [line for line in build_facts(assessment).buying if any("second battery of" in each for each in line.used)]
    assert {line.group for line in bought} == {"Fuses", "Holders"}


def test_a_fuse_for_the_coil_wires_does_not_part_the_batteries_while_cranking() -> None:
    """What stands under the thin coil wires is gone with a smaller fuse for them in a feed live in the same states."""
    data = linked()
    wire = [{"size": "0.75 mm2", "length": "1 m", "zone": "cabin", "insulation": "pvc105"}]
    data["feed"]["key"] = {"from": "bus", "zone": "cabin", "live": ["ignition", "crank", "running"],
                           "wire": [wire[0] | {"size": "16 mm2"}],
                           "fuse": {"kind": "maxi", "rating": "50 A", "distance": "100 mm"}}
    data["circuit"]["link"]["relay"] |= {"coil_feed": "key", "driver": "switch", "wire_86": wire, "wire_85": wire}
    before = judged(data).findings
    data["feed"]["coil"] = {"from": "key", "fuse": {"kind": "blade", "rating": "5 A"}}
    data["circuit"]["link"]["relay"]["coil_feed"] = "coil"
    after = {(each.check, each.subject) for each in judged(data).findings}
    [leader] = [each for each in before if each.check == "fuse-exceeds-wire" and each.follows]
    gone = [leader, *(before[number] for number in leader.follows)]
    assert not after & {(each.check, each.subject) for each in gone}
    assert ("second-battery-cranks", "link") in after


def test_a_battery_that_is_never_parted_from_the_first_is_one_entry_with_one_fix() -> None:
    data = linked()
    data["circuit"]["link"].pop("relay", None)
    data["circuit"]["link"] |= {"role": "second_battery", "must_stop": ["off", "accessory"]}
    before = judged(data).findings
    [leader] = [each for each in before if each.check == "live-when-off"]
    assert [before[number].check for number in leader.follows] == ["second-battery-cranks"]
    data["circuit"]["link"]["relay"] = {"contact": "mini_60", "coil_feed": "bus", "driver": "voltage_sensing",
                                        "suppression": "diode"}
    after = {each.check for each in judged(data).findings}
    assert not after & {"live-when-off", "second-battery-cranks"}


def test_the_fuse_at_a_second_battery_stands_on_every_paper_that_lists_fuses() -> None:
    """On the fuse map, the circuit's sheet, the owner's summary, and bought with those alike, one spare for all."""
    def texts(name: str, data: dict[str, Any]) -> str:
        (paper,) = paper_set(judged(data), [name]).papers
        return "\n".join(texts_of(paper.blocks))

    facts = build_facts(judged(linked(rating="50 A", kind="maxi")))
    (line,) = [line for line in facts.buying if line.group == "Fuses" and "second battery of link" in line.used]
    assert line.net == len(line.used) == 2
    assert line.buy == 3
    for name in ("fuse-map", "owner-summary"):
        assert "second battery of link" in texts(name, linked())
    assert "take the earth lead off there, too" in texts("owner-summary", linked())
    assert "50 A fuse, at the second battery" in texts("circuit-sheets", linked())
    unrated = linked()
    del unrated["circuit"]["link"]["second_battery"]["fuse"]["rating"]
    assert [(line.net, line.buy) for line in build_facts(judged(unrated)).buying
            if line.group == "Fuses" and "second battery of link" in line.used] == [(None, None)]
    unrated["circuit"]["link"]["out_of_scope"] = "high_voltage"
    assert build_facts(judged(unrated)).far_fuses == ()


@pytest.mark.parametrize("where", ["circuit", "feed"])
def test_a_relay_that_senses_the_voltage_is_closed_only_while_the_alternator_charges(where: str) -> None:
    """It pulls in at 13.3 or 13.7 V and drops out at 12.8 V, two sellers: open while cranking and with the key off,
    whatever feeds its coil. No drop is then asked for while cranking."""
    plan = parse_plan(starter_plan("car", ["second_battery_split_charge", "starter_main"]))
    data = plan.model_dump(mode="json", by_alias=True, exclude_none=True)
    mine = data["circuit"]["second_battery_split_charge"]
    mine["load"][0]["when"], mine["relay"]["coil_feed"] = ["always"], "battery_post"
    del mine["must_stop"]
    if where == "feed":
        data["feed"]["link"] = {"from": mine["feed"], "zone": "cabin", "relay": mine.pop("relay")}
        mine["feed"] = "link"
    results = assess(Plan.model_validate(data)).results
    network = results.network
    number = network.circuit_number["second_battery_split_charge"]
    assert network.circuit_live[number].tolist() == [state == "running" for state in STATES]
    cranking = [condition.state == "crank" for condition in network.conditions]
    assert any(cranking)
    drawn = network.consumers.possible[:, network.consumers.circuit == number].any(axis=1)
    assert not (drawn & cranking).any()
    assert drawn.any()


def on_a_feed(size: str, rating: str, link: str) -> list[str]:
    """Messages about wires of the feed that the link hangs on."""
    data = linked(kind="maxi", rating=link)
    circuit = data["circuit"]["link"]
    circuit["fuse"] = {"kind": "maxi", "rating": link, "distance": "100 mm"}
    circuit["wire"] = [each | {"size": "25 mm2"} for each in circuit["wire"]]
    data["feed"]["branch"] = {"from": circuit["feed"], "fuse": {"kind": "maxi", "rating": rating, "distance": "50 mm"},
                              "wire": [circuit["wire"][0] | {"size": size, "length": "1 m"}]}
    circuit["feed"] = "branch"
    messages = [each.message for each in judged(data).findings if each.check == CHECK]
    return [each for each in messages if "feeds a short in" in each]


def test_the_wires_of_the_feed_it_is_on_are_protected_against_the_second_battery_too() -> None:
    """Their own fuse is at the first battery's end: it lets what the second one drives into a short there pass by."""
    assert on_a_feed("4 mm2", "30 A", "60 A")
    assert not on_a_feed("25 mm2", "80 A", "60 A")
    assert not on_a_feed("4 mm2", "30 A", "20 A")


def test_a_fuse_breaks_what_both_batteries_drive_together() -> None:
    """Kirchhoff's current law: two sources side by side drive more into a short than either, less than their sum."""
    data = linked()
    data["feed"]["branch"] = {"from": data["circuit"]["link"]["feed"], "fuse": {"kind": "maxi", "rating": "30 A"},
                              "wire": [data["circuit"]["link"]["wire"][0] | {"length": "0.5 m"}]}

    def driven(second: dict[str, Any]) -> dict[str, float]:
        link = data["circuit"]["link"]["second_battery"]
        link.pop("cold_crank", None)
        link.update(second)
        results = judged(data).results
        return {row.owner[1]: float(results.faults.prospective_a[index])
                for index, row in enumerate(results.network.fuses)}

    without, both = driven({"converter_before": 1}), driven({"cold_crank": "500 A", "converter_before": None})
    data["circuit"]["link"]["second_battery"]["converter_before"] = None
    weak = driven({"cold_crank": "250 A"})
    assert without["branch"] < weak["branch"] < both["branch"]
    assert both["link"] == pytest.approx(without["link"])


def most(data: dict[str, Any]) -> dict[str, float]:
    """The most a short draws behind each fuse, by its owner."""
    results = judged(data).results
    return {row.owner[1]: float(results.faults.prospective_a[index]) for index, row in enumerate(results.network.fuses)}


def at_the_far_end(**second: Any) -> dict[str, Any]:
    """A first battery at the end of a long cable, the second one and a blade fuse of another circuit at its end."""
    data = linked()
    link, wire = data["circuit"]["link"], data["circuit"]["link"]["wire"][0]
    data["battery"] = {"internal_resistance": "20 mohm"}
    data["feed"]["boot"] = {"from": link["feed"], "fuse": {"kind": "maxi", "rating": "60 A", "distance": "50 mm"},
                            "wire": [wire | {"length": "6 m"}]}
    link |= {"feed": "boot", "wire": [wire | {"size": "25 mm2", "length": "0.5 m"}]}
    link["second_battery"] = {"fuse": link["second_battery"]["fuse"], **second}
    data["circuit"]["lamp"] = {key: link[key] for key in ("earth", "load")} | {
        "feed": "boot", "role": "other", "fuse": {"kind": "blade", "rating": "30 A", "position": "F2"},
        "wire": [wire | {"size": "6 mm2", "length": "1 m"}]}
    return data


def test_a_second_battery_feeds_a_short_from_where_its_wire_begins() -> None:
    """By hand: 12.6 V through its own 4 mΩ and 0.5 m of 25 mm² (IEC 60228, class 5: 0.78 mΩ/m), whatever long cable
    lies between the first battery and that place."""
    alone = 12.6 / (0.004 + 0.5 * 0.00078)
    drawn = most(at_the_far_end(internal_resistance="4 mohm"))
    without = most(at_the_far_end(internal_resistance="4 mohm", converter_before=1))
    assert without["lamp"] < 600.0
    assert drawn["lamp"] > 0.6 * alone + without["lamp"]
    assert without["boot"] < drawn["boot"] < without["boot"] + alone


def test_the_fuse_of_a_link_breaks_the_larger_of_what_comes_from_either_side() -> None:
    weak, strong = (most(at_the_far_end(internal_resistance=each))["link"] for each in ("100 mohm", "4 mohm"))
    assert weak == pytest.approx(most(at_the_far_end(converter_before=1))["link"])
    assert strong > 2 * weak
    data = at_the_far_end(internal_resistance="100 mohm")
    data["circuit"]["third"] = {**data["circuit"]["link"], "second_battery": {
        **data["circuit"]["link"]["second_battery"], "internal_resistance": "4 mohm"}}
    assert most(data)["link"] > 2 * weak


def test_a_second_battery_of_which_nothing_is_known_leaves_the_breaking_capacity_unknown() -> None:
    """Of others' fuses too: unknown is not nothing."""
    check, data = "breaking-capacity", at_the_far_end()
    assert most(data)["lamp"] == pytest.approx(most(at_the_far_end(internal_resistance="4 mohm"))["lamp"])
    silent = judged(data)
    assert {"link", "lamp"} <= {each.subject for each in silent.unjudged if each.check == check}
    assert silent.verdict("lamp") not in {"ok", "advice"}
    assert any(each.key == "circuit.link.second_battery.cold_crank" for each in silent.assumptions)
    said = judged(at_the_far_end(internal_resistance="4 mohm"))
    assert not [each for each in said.unjudged if each.check == check]
    assert [each.subject for each in said.findings if each.check == check]
    weak = judged(at_the_far_end(internal_resistance="100 mohm"))
    assert not [each for each in (*weak.unjudged, *weak.findings) if each.check == check]


def test_a_fusible_link_at_the_second_battery_is_not_asked_for_a_multiple_of_its_rating() -> None:
    for rating in ({}, {"rating": "50 A"}):
        data = linked()
        data["circuit"]["link"]["second_battery"]["fuse"] = {"kind": "link", "distance": "100 mm", **rating}
        assessment = judged(data)
        assert not [each for each in assessment.not_said if each.key.endswith("second_battery.fuse.blows_at")]
        assert any("fusible link at the second battery" in each.words for each in assessment.unjudged)
        assert assessment.verdict("link") == "unknown"


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_a_wire_without_a_limit_on_file_does_not_hide_a_weaker_one_on_the_way_back(order: tuple[int, int]) -> None:
    """Of a wire of no size nothing is known; 1 mm² beside it is too thin for the fuse all the same. Of 0.35 mm² no
    limit is on file, but 0.5 mm² has one."""
    for thin in ("1 mm2", "0.35 mm2"):
        data = linked()
        way = data["circuit"]["link"]["feed"]
        here = {"zone": "cabin", "length": "0.5 m", "insulation": "pvc105"}
        wires = [here, here | {"size": thin}]
        data["feed"]["between"] = {"from": way, "zone": "cabin", "wire": [wires[number] for number in order],
                                   "fuse": {"kind": "midi", "rating": "100 A", "blows_at": 2.0, "distance": "50 mm"}}
        data["circuit"]["link"]["feed"] = "between"
        assert [each.level for each in judged(data).findings if each.check == CHECK
                and "feeds a short in" in each.message] == ["danger"], thin


def test_a_fix_speaks_of_no_coil_of_a_relay_that_is_not_fitted() -> None:
    data = toml(failing("second-battery-cranks"))
    del data["circuit"]["link"]["relay"]
    told = [each for each in judged(data).findings if each.subject == "link" and "voltage_sensing" in each.fix]
    assert told
    assert not any("its relay" in each.fix for each in told)


@pytest.mark.parametrize("size", ["2.5 mm2", "4 mm2"])
def test_a_feed_too_thin_for_its_own_load_is_one_entry_with_what_the_second_battery_feeds_into_it(size: str) -> None:
    """Its thicker wire takes that away too; where its load is no more than the wire carries, a smaller fuse does."""
    data = linked()
    data["feed"]["bus"]["wire"][0] |= {"size": size}
    data["circuit"]["link"]["load"][0]["current"] = "5 A"
    [light] = [each for each in judged(data).findings if each.check == CHECK]
    assert light.fields[0] == "circuit.link.second_battery.fuse.rating"
    data["circuit"]["heater"] = {"feed": "bus", "earth": "body", "role": "other", "load": [
        {"current": "70 A", "kind": "resistive", "when": ["engine"], "evidence": "measured", "use": "continuous"}]}
    plan = plan_of(data)
    findings = assess(plan).findings
    [fed] = [each for each in findings if each.check == CHECK]
    assert fed.cause is not None
    leader = findings[fed.cause]
    assert (leader.level, leader.subject) == ("danger", "bus")
    assert dict(fed.values).items() <= dict(leader.values).items()
    assert CHECK not in {each.check for each in fixed(plan, fed).findings}

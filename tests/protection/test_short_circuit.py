"""Short circuits by hand: currents, opening, heating of the wire, and what is not known.

Conductor: IEC 60228 class 5, 1 mm² 19.5 mΩ/m at 20 °C. Adiabatic constants: K = 226 A·√s/mm², β = 234.5 °C (IEC 60949,
from memory; its printed k values are held in tests/formulas/published.csv). Fuse: Littelfuse 297 datasheet.
"""

from __future__ import annotations

import copy
import math
import tomllib

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.starter import starter_plan
from fuseplan.tables import fuses
from tests.plans import plan_of
from tests.protection.small import assessed, data, found


def test_far_end_current_by_hand():
    assessment = assessed()
    cold = fuses.cold_resistance_ohm("mini", 10.0).value
    hot_c = float(assessment.results.faults.start_c[0])
    # Bolted to the body, 3 mΩ (AC 43.13-1B, the most a bonding joint may have).
    loop = 0.009 + cold + 0.003 + 4.0 * 0.0195 * (234.5 + hot_c) / 254.5
    fault = assessment.circuit("lamp").fault
    assert fault.far_end_a == pytest.approx(12.6 / loop, rel=1e-9)
    assert fault.prospective_a == pytest.approx(12.6 / (0.009 + cold), rel=1e-9)


def test_what_is_not_known_is_taken_the_worse_way_for_each_short():
    """Nothing known of the battery: 4 mΩ of a strong one for the most, 20 mΩ of a tired one for the least (common
    practice, no source). A blade 35 A fuse has no row in its maker's table (Littelfuse 287): it resists no more than
    the 30 A one for the least, and nothing for the most."""
    plan = data(kind="blade", rating="35 A")
    del plan["battery"]["internal_resistance"]
    assessment = assess(plan_of(plan))
    fault = assessment.circuit("lamp").fault
    assert fault.prospective_a == pytest.approx(12.6 / 0.004)
    hot_c = float(assessment.results.faults.start_c[0])
    loop = 0.020 + fuses.cold_resistance_ohm("blade", 30.0).value + 0.003 + 4.0 * 0.0195 * (234.5 + hot_c) / 254.5
    assert fault.far_end_a == pytest.approx(12.6 / loop)


def test_temperature_after_the_short_by_hand():
    assessment = assessed()
    segment = assessment.circuit("lamp").segments[0]
    # About 14 times the rating: past the last row, 0.1 s at 600 %, so at most 36 · 0.1 · 10² = 360 A²s.
    start = float(assessment.results.faults.start_c[0])
    by_hand = (234.5 + start) * math.exp(360.0 / 226.0**2) - 234.5
    assert segment.fault_temperature_c == pytest.approx(by_hand, rel=1e-9)
    assert segment.survives is True


def test_k_115_only_where_it_belongs():
    # 115 is printed for PVC from 70 to 160 °C; from 20 °C the same wire bears more, from 105 °C less.
    by_start = {}
    for ambient in ("20 degC", "69 degC"):
        results = assessed(ambient=ambient, load={"current": "10 mA"}).results
        start, limit = float(results.faults.start_c[0]), float(results.faults.segment_limit_c[0])
        by_start[ambient] = 226.0 * math.sqrt(math.log((limit + 234.5) / (start + 234.5)))
    assert by_start["69 degC"] == pytest.approx(115.0, abs=1.0)
    assert by_start["20 degC"] > 140.0


def test_a_long_thin_wire_does_not_blow_its_fuse():
    assessment = assessed(length="40 m", size="0.5 mm2", rating="10 A")
    (finding,) = found(assessment, "no-trip-far-end")
    assert finding.level == "danger"
    assert finding.fix
    assert finding.caution
    assert finding.source
    # 12.6 V over 40 m · 39 mΩ/m is about 8 A: below 135 % it may never open.
    assert assessment.circuit("lamp").fault.may_never_clear
    assert "may never blow" in finding.message


def test_where_the_fuse_may_never_open_the_steady_temperature_decides():
    # 16 m of 1 mm²: about 38 A through a wire for 20 A at most; a 30 A fuse stays whole for ever.
    lost = assessed(length="16 m", rating="30 A").circuit("lamp")
    assert lost.fault.may_never_clear
    assert lost.segments[0].survives is False
    # 60 m: 10 A, which the wire bears for ever too.
    safe = assessed(length="60 m", rating="30 A").circuit("lamp")
    assert safe.fault.may_never_clear
    assert safe.segments[0].survives is True


def test_wire_lost_before_the_fuse_opens():
    assessment = assessed(kind="blade", size="0.5 mm2", length="1.5 m", rating="30 A")
    (finding,) = found(assessment, "wire-damaged-by-short")
    assert finding.figure > finding.limit == 160.0
    assert assessment.circuit("lamp").fault.wire_survives is False
    fits = finding.fix.split("fit ")[1].split(" A")[0]
    cured = assessed(kind="blade", size="0.5 mm2", length="1.5 m", rating=f"{fits} A")
    assert not found(cured, "wire-damaged-by-short")


def test_no_limits_on_file_is_neither_good_nor_bad():
    assessment = assessed(kind="midi", rating="40 A", size="10 mm2")
    fault = assessment.circuit("lamp").fault
    assert fault.max_clearing_s is None
    assert fault.curve_on_file is False
    assert fault.wire_survives is None
    assert not found(assessment, "no-trip-far-end")
    assert assessment.to_dict()["circuits"][0]["fault"]["curve_on_file"] is False


def test_insulation_without_a_short_time_limit_is_unknown():
    assert assessed(insulation="etfe150").circuit("lamp").segments[0].survives is None


def test_a_blade_fuse_beside_the_battery_cannot_break_its_short_and_is_told_once():
    box = {"fuse": {"kind": "maxi", "rating": "40 A"}, "wire": [{"size": "16 mm2", "length": "0.2 m", "zone": "place"}]}
    assessment = assessed(inner="5 mohm", box=box, rating="30 A", size="4 mm2")
    (finding,) = found(assessment, "breaking-capacity")
    # 12.6 V / 6.4 mΩ (maxi 40 A: 1.4 mΩ, Littelfuse 299 datasheet); made to break 1000 A.
    assert finding.figure == pytest.approx(12.6 / 0.0064, rel=0.01)
    assert finding.limit == 1000.0
    assert finding.subject == "box"
    assert "1 more fuse behind it" in finding.message


def test_voltage_rating_against_the_highest_system_voltage():
    # MINI fuses are rated 32 V (Littelfuse 297 datasheet); 48 V is beyond that.
    from fuseplan.checks.assessment import assess
    from tests.plans import plan_of
    from tests.protection.small import data

    high = data()
    high["vehicle"]["system"] = "48 V"
    high["battery"]["open_circuit"] = "51 V"
    assert found(assess(plan_of(high)), "fuse-voltage-too-low")
    assert not found(assessed(), "fuse-voltage-too-low")


def test_a_type_without_a_voltage_on_file_is_not_known_where_the_others_may_not_be_used():
    """Blade and bolt-in fuses are rated 32 V (ISO 8820); of glass and ceramic ones and of breakers nothing is on
    file."""
    from fuseplan.checks.assessment import assess
    from fuseplan.tables import fuses
    from tests.plans import plan_of
    from tests.protection.small import data

    seen = set()
    for kind in ("blade", "glass", "glass_british", "ceramic", "breaker_1"):
        for system, volts in (("24 V", "25.6 V"), ("48 V", "51 V")):
            for in_feed in (False, True):
                plan = data(kind="blade" if in_feed else kind, box={"wire": [
                    {"size": "6 mm2", "length": "1 m", "zone": "place"}]})
                if in_feed:
                    del plan["circuit"]["lamp"]["fuse"]
                    plan["feed"]["box"]["fuse"] = {"kind": kind, "rating": "10 A"}
                plan["vehicle"]["system"], plan["battery"]["open_circuit"] = system, volts
                assessment = assess(plan_of(plan))
                unknown = [each for each in assessment.unjudged if each.check == "fuse-voltage-too-low"]
                rated = fuses.voltage_rating_v(kind)
                assert bool(unknown) == (rated is None and system == "48 V")
                assert bool(found(assessment, "fuse-voltage-too-low")) == (rated is not None and system == "48 V")
                if unknown:
                    assert "lamp" in {each.subject for each in unknown}
                    assert assessment.verdict("lamp") != "ok"
                seen.add(bool(unknown))
    assert seen == {True, False}


def test_json_carries_the_fault():
    circuit = assessed().to_dict()["circuits"][0]
    assert circuit["fault"]["far_end_a"] > 0
    assert circuit["fault"]["may_never_clear"] is False
    assert circuit["fault"]["wire_survives"] is True
    assert circuit["segments"][0]["temperature_c"] > 20.0


def test_a_feed_without_a_fuse_of_its_own_is_judged_by_the_one_upstream():
    from fuseplan.checks.assessment import assess
    from tests.plans import plan_of
    from tests.protection.small import data

    plan = data(box={"fuse": {"kind": "maxi", "rating": "40 A"},
                     "wire": [{"size": "10 mm2", "length": "1 m", "zone": "place"}]})
    plan["feed"]["switched"] = {"from": "box", "zone": "place", "live": ["running"],
                                "wire": [{"size": "10 mm2", "length": "1 m", "zone": "place"}]}
    feeds = {feed["id"]: feed["fault"] for feed in assess(plan_of(plan)).to_dict()["feeds"]}
    assert feeds["switched"]["curve_on_file"] is True
    assert feeds["switched"]["far_end_a"] < feeds["box"]["prospective_a"]
    # The device of the box is judged at the weaker end, which is the switched feed's.
    assert feeds["box"]["far_end_a"] == pytest.approx(feeds["switched"]["far_end_a"])
    assert feeds["switched"]["max_clearing_s"] == pytest.approx(feeds["box"]["max_clearing_s"])


def test_a_bar_at_the_end_of_a_lead_is_no_body_that_a_feed_is_shorted_to():
    """The thin sensor earth of a control unit taken to the body, and what returns to it by an earth wire. To what else
    is bolted there, what only its name calls a sensor, and what is stated as a joint of the body it is body."""
    source = tomllib.loads(starter_plan("car", ["air_mass_meter", "fan_single", "horn"]))
    source["battery"] |= {"cold_crank": "540 A", "capacity": "60 Ah"}

    source["earth"]["sensor_earth"] = {}

    def lower(these: dict[str, float], than: dict[str, float]) -> bool:
        return all(these[name] < than[name] for name in than)

    def feeds(bolted: bool = False, **edits: object) -> dict[str, float]:
        edited = copy.deepcopy(source)
        edited["earth"]["sensor_earth"] |= {"to": "body_front", "zone": "engine_bay", "wire": [
            {"size": "1 mm2", "length": "1 m", "zone": "engine_bay", "insulation": "xlpe125"}]}
        for key, value in edits.items():
            edited["circuit"][key]["earth"] = value
        for circuit in edited["circuit"].values():
            if bolted and circuit["earth"] == "sensor_earth":
                circuit.pop("earth_wire", None)
        if "sensor_earth" not in edited["circuit"]["air_mass"]["earth"]:
            del edited["earth"]["sensor_earth"]
        return assess(plan_of(edited)).results.faults.feed_far_a

    without, leads = feeds(air_mass="body_front"), feeds()
    assert leads == pytest.approx(without)
    assert feeds(horn="sensor_earth") == pytest.approx(leads, rel=1e-5)
    assert lower(feeds(True, horn="sensor_earth"), leads)
    source["earth"]["sensor_earth"] = {"resistance": "30 mohm"}
    assert lower(feeds(), leads)
    source["earth"]["sensor_earth"] = {}
    del source["circuit"]["air_mass"]["role"]
    assert lower(feeds(True), leads)


@pytest.mark.parametrize("path", sorted(shipped_folder("examples").glob("*.toml")), ids=lambda path: path.stem)
def test_an_earth_lead_that_leads_nowhere_changes_no_verdict(path):
    """Nothing returns by it and no feed touches it, whichever point it is bolted to and however thin it is: findings,
    verdicts and short-circuit currents stay those of the plan without it, but for the wires counted on its stud."""
    def told(of):
        return [(each.check, each.subject, each.message, each.fix) for each in of.findings
                if each.subject != "spare" and each.check != "too-many-wires-on-stud"]

    source = tomllib.loads(path.read_text(encoding="utf-8"))
    before = assess(plan_of(source))
    for point in list(source["earth"]):
        edited = copy.deepcopy(source)
        edited["earth"]["spare"] = {"to": point, "wire": [{"size": "0.5 mm2", "length": "2 m"}]}
        after = assess(plan_of(edited))
        assert after.results.faults.feed_far_a == pytest.approx(before.results.faults.feed_far_a)
        assert told(after) == told(before)
        assert [after.verdict(name) for name in source["circuit"]] == [before.verdict(name) for name in
                                                                       source["circuit"]]


def test_the_only_lead_to_the_body_is_one_though_sensors_alone_are_on_it_so_far():
    source = tomllib.loads(starter_plan("car", ["air_mass_meter"]))
    source["battery"] |= {"cold_crank": "540 A", "capacity": "60 Ah"}
    wire = {"size": "2.5 mm2", "length": "4 m", "zone": "engine_bay", "insulation": "xlpe125"}
    kept = {name: point for name, point in source["earth"].items() if "to" not in point or point.get("engine")}
    source["earth"] = kept | {"body": {"to": "battery_negative", "wire": [wire]}}
    for point in kept.values():
        if "to" in point:
            point["to"] = "body"
    source["circuit"]["air_mass"]["earth"] = "body"
    source["earth"] = {name: point for name, point in source["earth"].items() if point.get("to") != "body"}
    source.pop("alternator")
    short = assess(plan_of(source)).results.faults.feed_far_a
    source["circuit"]["air_mass"]["role"] = "instruments"
    assert short == pytest.approx(assess(plan_of(source)).results.faults.feed_far_a)


@pytest.mark.parametrize(("rating", "size", "blows_at", "verdict"), [
    ("10 A", "1 mm2", None, "unknown"), ("10 A", "1 mm2", 3.5, "ok"), ("10 A", "1 mm2", 9.0, "fails"),
    ("10 A", "4 mm2", None, "ok"), ("20 A", "1 mm2", None, "fails")])
def test_the_slow_times_of_a_glass_fuse_prove_a_wire_safe_and_never_damaged(rating, size, blows_at, verdict):
    """UL 248-14 prints 120 s at twice the rating and no more: I²t until then, 48 kA²s of a 10 A fuse, is some hundred
    times what it lets through in a short. What would spoil 1 mm² is asked for and not found; what its maker's sheet
    says is held against the wire."""
    plan = data(kind="glass")
    plan["battery"] |= {"cold_crank": "500 A", "capacity": "60 Ah"}
    lamp = plan["circuit"]["lamp"]
    lamp |= {"role": "other"}
    lamp["fuse"] |= {"rating": rating, "distance": "100 mm"} | ({} if blows_at is None else {"blows_at": blows_at})
    lamp["wire"] = [{"size": size, "length": "2 m", "zone": "place", "insulation": "pvc105"}]
    assessment = assess(plan_of(plan))
    assert assessment.verdict("lamp") == verdict
    damaged = [each for each in assessment.findings if each.check == "wire-damaged-by-short"]
    assert bool(damaged) == (blows_at == 9.0)
    assert bool([each for each in assessment.not_said if each.kind == "clearing"]) == (
        blows_at is None and verdict != "ok")
    assert assessment.circuit("lamp").fault.wire_survives is (
        True if verdict == "ok" else False if blows_at else None)


def test_a_short_that_does_not_blow_a_glass_fuse_is_one_whatever_is_not_known_of_another_wire_behind_it():
    plan = data(kind="glass", rating="15 A")
    plan["battery"] |= {"cold_crank": "500 A", "capacity": "60 Ah"}
    lamp = plan["circuit"]["lamp"]
    plan["feed"]["bus"] = {"from": lamp["feed"], "zone": "place", "fuse": lamp.pop("fuse"),
                           "wire": [{"size": "4 mm2", "length": "1 m"}]}
    plan["earth"]["far"] = {"to": lamp["earth"], "resistance": "500 mohm"}
    lamp |= {"feed": "bus", "role": "other", "wire": [{"size": "1 mm2", "length": "1 m", "zone": "place"}]}
    alone = assess(plan_of(plan))
    assert alone.circuit("lamp").fault.wire_survives is None
    plan["circuit"]["other"] = copy.deepcopy(lamp) | {"earth": "far"}
    both = assess(plan_of(plan))
    assert {each.subject for each in both.findings if each.check == "no-trip-far-end"} == {"bus", "other"}
    assert both.verdict("lamp") == "unknown"
    assert both.verdict("other") == "fails"


@pytest.mark.parametrize("beside", [1, 3])
def test_a_point_at_the_end_of_a_wire_on_which_most_is_earthed_is_the_body(beside):
    """Every circuit may have a wire of its own to it, as a plan drawn with care has."""
    plan = data(kind="blade")
    plan["earth"] |= {"tray": {"to": "negative", "wire": [{"size": "16 mm2", "length": "0.3 m"}]},
                      "body": {"to": "negative", "wire": [{"size": "2.5 mm2", "length": "2 m"}]}}
    lamp = plan["circuit"].pop("lamp")
    wire = {"earth_wire": [{"size": "1.5 mm2", "length": "0.3 m"}]}
    plan["circuit"] = {f"tray_{number}": lamp | {"earth": "tray"} for number in range(beside)} | {
        f"body_{number}": lamp | {"earth": "body"} | wire for number in range(2)}
    short, = assess(plan_of(plan)).results.faults.feed_far_a.values()
    plan["earth"]["body"]["wire"][0]["size"] = "25 mm2"
    thicker, = assess(plan_of(plan)).results.faults.feed_far_a.values()
    assert (thicker > 1.5 * short) == (beside == 1)

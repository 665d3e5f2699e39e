"""Readings on their way into the plan: stored as they were taken, asked about when odd, taken over when accepted."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from fuseplan.bench.evidence import acceptance, accepting
from fuseplan.bench.expected import expected
from fuseplan.bench.meter_figures import shown
from fuseplan.bench.points import points
from fuseplan.bench.readings import readings_of
from fuseplan.bench.sheet import sheet_of
from fuseplan.bench.storing import new_reading
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import EditError
from fuseplan.planfile.document import PlanDocument
from tests.small_coupe import COUPE

_JUDGED: dict[str, Assessment] = {}


def judged(document: PlanDocument) -> Assessment:
    """The assessment of a document, made once for each text."""
    if document.text not in _JUDGED:
        _JUDGED[document.text] = assess(document.plan)
    return _JUDGED[document.text]


@cache
def coupe() -> Assessment:
    return judged(PlanDocument.from_text(COUPE))


def stored(document: PlanDocument, *readings: tuple[str, str, str | None]) -> Assessment:
    """The plan with readings stored one after the other."""
    for address, text, condition in readings:
        found = new_reading(judged(document), address, text, condition, date="2026-05-01")
        document.change([found.change_in(document.plan)])
    return judged(document)


def accept(document: PlanDocument, address: str) -> Assessment:
    """The plan with a reading taken over."""
    assessment = judged(document)
    taken, _ = readings_of(assessment)
    reading = next(each for each in reversed(taken) if each.point.address == address)
    document.change(accepting(acceptance(assessment, reading, taken)))
    return judged(document)


def test_a_stored_reading_changes_no_figure_and_no_verdict() -> None:
    """Every required row of the sheet read exactly as expected: nothing that is judged changes."""
    assessment = coupe()
    document, asked = PlanDocument.from_text(COUPE), []
    for section in sheet_of(assessment):
        for row in section.rows:
            if row.required and row.expected.value is not None:
                asked.append((row.point.address, f"{row.expected.value / row.point.scale:.6f}", row.condition))
    changes = []
    for number, (address, text, condition) in enumerate(dict.fromkeys(asked)):
        found = new_reading(assessment, address, text, condition, date="2026-05-01")
        assert found.doubts == ()
        changes.append((("reading", number), found.keys))
    document.change(changes)
    after = judged(document)
    assert len(after.plan.reading) > 60
    assert after.findings == assessment.findings
    assert [each.verdict for each in after.circuits] == [each.verdict for each in assessment.circuits]
    rows = [row for section in sheet_of(after) for row in section.rows if row.reading is not None]
    assert len(rows) > 60
    # What the car is planned to have may break a limit; it is never other than planned.
    for row in rows:
        assert row.verdict is not None
        assert "than planned" not in row.verdict.words, (row.point.address, row.verdict)


def test_readings_of_the_plan_itself_taken_over_change_no_figure() -> None:
    document = PlanDocument.from_text(COUPE)
    assessment, before = judged(document), {}
    for circuit in ("fuel_pump", "fans", "washer", "horn", "radio", "reverse"):
        point = points(assessment)[f"circuit.{circuit}.current"]
        meant = expected(assessment, point, "alone")
        assert meant.value is not None
        stored(document, (point.address, f"{meant.value:.6f}", "alone"))
        before[circuit] = float(assessment.results.network.consumers.reference_a[
            assessment.consumers_of[assessment.circuit_index[circuit]][0]])
    fails = {(each.check, each.subject) for each in judged(document).findings if not each.measure}
    for circuit, entered in before.items():
        after = accept(document, f"circuit.{circuit}.current")
        load = after.plan.circuit[circuit].load[0]
        assert load.evidence == "measured"
        assert float(load.current or 0.0) == pytest.approx(entered, rel=2e-3)
    after = judged(document)
    assert {(each.check, each.subject) for each in after.findings if not each.measure} <= fails
    assert all(each.accepted for each in readings_of(after)[0])


def test_the_raw_reading_stays_as_it_was_taken() -> None:
    document = PlanDocument.from_text(COUPE)
    stored(document, ("circuit.fuel_pump.current", "6.2", None), ("circuit.fuel_pump.load_v", "12.11 V", None))
    text = document.text
    after = accept(document, "circuit.fuel_pump.current")
    assert 'value = "6.2 A"' in document.text
    assert after.plan.reading[0].accepted
    assert "reading 6.2 A at circuit.fuel_pump.current, 12.11 V at the load" in str(
        after.plan.circuit["fuel_pump"].load[0].source)
    # Comments and everything else stay.
    assert text.count("#") == document.text.count("#")


@pytest.mark.parametrize(("kind", "exponent"), [("resistive", 1.0), ("lamp", 0.55), ("electronic", -1.0)])
def test_a_current_is_converted_to_its_reference_voltage_by_its_load_law(kind: str, exponent: float) -> None:
    document = PlanDocument.from_text(COUPE)
    document.set(("circuit", "washer", "load", 0, "kind"), kind)
    stored(document, ("circuit.washer.current", "3.00", None), ("circuit.washer.load_v", "12.00", None))
    after = accept(document, "circuit.washer.current")
    assert float(after.plan.circuit["washer"].load[0].current or 0.0) == pytest.approx(
        3.0 * (13.5 / 12.0) ** exponent, rel=1e-3)


def test_what_the_meter_may_be_off_by_counts_where_it_is_more_than_the_plan_s_3_per_cent() -> None:
    document = PlanDocument.from_text(COUPE)
    stored(document, ("circuit.radio.current", "1.80", None), ("circuit.fans.current", "17.0", None))
    small, large = (accept(document, f"circuit.{each}.current").plan.circuit[each].load[0]
                    for each in ("radio", "fans"))
    # 2 % and 5 digits of 10 mA, from memory: 86 mA of 1.8 A, 4.8 %; of 17 A 2.3 %, so 3 %.
    assert small.tolerance == pytest.approx(0.048)
    assert large.tolerance is None
    consumers = (after := judged(document)).results.network.consumers
    for circuit, share in (("radio", 0.048), ("fans", 0.03)):
        assert float(consumers.upper[after.consumers_of[after.circuit_index[circuit]][0]]) == pytest.approx(share)


def test_a_better_reading_never_widens_a_band() -> None:
    document = PlanDocument.from_text(COUPE)
    point, widths = "circuit.washer.current", []
    meant = expected(judged(document), points(coupe())[point], "alone")
    assert meant.high is not None
    assert meant.low is not None
    widths.append(meant.high - meant.low)
    for address, text in (("circuit.washer.fuse_mv", "22.0"), (point, "2.90")):
        stored(document, (address, text, None))
        meant = expected(accept(document, address), points(coupe())[point], "alone")
        assert meant.high is not None
        assert meant.low is not None
        widths.append(meant.high - meant.low)
    assert widths == sorted(widths, reverse=True)


def test_millivolts_across_a_fuse_never_replace_a_clamp() -> None:
    document = PlanDocument.from_text(COUPE)
    stored(document, ("circuit.washer.current", "2.90", None))
    accept(document, "circuit.washer.current")
    stored(document, ("circuit.washer.fuse_mv", "23.0", None))
    with pytest.raises(EditError, match="better reading"):
        accept(document, "circuit.washer.fuse_mv")


def test_what_is_plugged_in_is_not_taken_for_what_a_socket_is_rated_for() -> None:
    """1 A of a charger would make room for a thin wire behind the socket."""
    document = PlanDocument.from_text(COUPE)
    document.change([(("circuit", "washer", "load", 0, "evidence"), "limit")])
    stored(document, ("circuit.washer.current", "1.0", None))
    with pytest.raises(EditError, match="the limit is kept"):
        accept(document, "circuit.washer.current")


def test_a_reading_outside_the_plan_s_band_is_asked_about_before_it_is_taken_over() -> None:
    document = PlanDocument.from_text(COUPE)
    assessment = stored(document, ("circuit.reverse.current", "2.9", None), ("circuit.horn.current", "5.1", None))
    taken, _ = readings_of(assessment)
    assert "find out why" in acceptance(assessment, taken[0], taken).question
    assert acceptance(assessment, taken[1], taken).question == ""


@pytest.mark.parametrize(("address", "text", "words"), [
    ("circuit.reverse.fuse_mv", "12.4 V", "12.4 mV"), ("circuit.reverse.fuse_mv", "21 V", "21 mV"),
    ("circuit.reverse.load_v", "12.4 mV", "12.4 V"), ("battery.volts", "126 V", "12 V car"),
    ("circuit.reverse.current", "-1.6", "clamp"), ("circuit.reverse.current", "160", "clamp"),
    ("circuit.fuel_pump.supply_mv", "180 V", "180 mV"), ("circuit.fans.holder_rise", "400", "burnt"),
    ("circuit.reverse.current", "1700 A", "more than")])
def test_an_odd_reading_is_asked_about_before_it_is_stored(address: str, text: str, words: str) -> None:
    found = new_reading(coupe(), address, text)
    assert any(words in each for each in found.doubts), found.doubts


def test_a_reading_that_tells_of_a_fault_is_no_slip() -> None:
    for address, text in (("circuit.reverse.current", "0"), ("circuit.reverse.load_v", "0"),
                          ("circuit.reverse.load_v", "9.8"), ("circuit.reverse.return_mv", "1900"),
                          ("circuit.reverse.current", "3.2"), ("feed.main_bus.earth_ohm", "0.4"),
                          ("battery.volts", "10.1")):
        assert new_reading(coupe(), address, text).doubts == (), address


def test_a_clamp_that_shows_something_where_nothing_is_on_was_not_set_to_zero() -> None:
    found = new_reading(coupe(), "circuit.rear_fog.current", "0.12", "cruise_day")
    assert any("zero" in each for each in found.doubts)


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("address", "text", "beside", "path", "milliohm"), [
    ("circuit.stop_lamps.contact_mv", "61", ("circuit.stop_lamps.current", "3.05"),
     ("circuit", "stop_lamps", "switch", "resistance"), 20.0),
    ("circuit.horn.contact_mv", "40", ("circuit.horn.current", "5.0"), ("circuit", "horn", "relay", "resistance"), 8.0),
    ("circuit.horn.earth_mv", "60", ("circuit.horn.current", "5.0"),
     ("circuit", "horn", "load", 0, "earth_resistance"), 12.0),
    ("earth.body_rear.strap_mv", "42", ("earth.body_rear.current", "14.0"), ("earth", "body_rear", "resistance"), 3.0)])
def test_a_drop_becomes_a_resistance_at_the_measured_current(address: str, text: str, beside: tuple[str, str],
                                                             path: tuple[str | int, ...], milliohm: float) -> None:
    document = PlanDocument.from_text(COUPE)
    condition = None if address.startswith("circuit") else "idle_wet_night"
    stored(document, (*beside, condition), (address, text, condition))
    assessment = accept(document, address)
    after: Any = assessment.plan
    for step in path:
        after = getattr(after, str(step)) if hasattr(after, str(step)) else after[step]
    assert 1e3 * float(after) == pytest.approx(milliohm, rel=1e-3)
    # What the plan then expects at the current it expects is that resistance.
    if address.startswith("circuit"):
        point, current = (expected(assessment, points(assessment)[each], "alone").value
                          for each in (address, beside[0]))
        assert point is not None
        assert current is not None
        assert 1e3 * point / current == pytest.approx(milliohm, rel=0.02)


def test_what_a_wire_drops_beyond_its_own_is_the_joint_in_it() -> None:
    document = PlanDocument.from_text(COUPE)
    assessment = judged(document)
    own = sum(float(assessment.results.network.segments.r20_ohm[index]) for index in assessment.segments_of[
        "circuit", "rear_fog"] if assessment.results.network.segments.place[index].startswith("wire"))
    drop = 1e3 * 1.5 * (own + 0.25)
    stored(document, ("circuit.rear_fog.current", "1.5", None), ("circuit.rear_fog.wire_mv", f"{drop:.3f}", None))
    joint = accept(document, "circuit.rear_fog.wire_mv").plan.circuit["rear_fog"].wire[0].joint
    assert joint is not None
    assert float(joint.resistance or 0.0) == pytest.approx(0.25, rel=1e-3)


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("readings", "words"), [
    ((("circuit.side_left.current", "1.4", None),), "loads are on together"),
    ((("circuit.horn.contact_mv", "40", None),), "read circuit.horn.current too"),
    ((("circuit.horn.current", "5.0", None), ("circuit.horn.supply_mv", "40", None)), "no figure of the plan"),
    ((("battery.volts", "12.6", None),), "no figure of the plan"),
    ((("circuit.horn.current", "0", None),), "what is wrong")])
def test_what_cannot_be_taken_over_says_why(readings: tuple[tuple[str, str, str | None], ...], words: str) -> None:
    document = PlanDocument.from_text(COUPE)
    assessment = stored(document, *readings)
    taken, _ = readings_of(assessment)
    with pytest.raises(EditError, match=words):
        acceptance(assessment, taken[-1], taken)


def test_a_reading_typed_again_the_same_day_takes_the_place_of_the_first() -> None:
    document = PlanDocument.from_text(COUPE)
    after = stored(document, ("circuit.horn.current", "50", None), ("circuit.horn.current", "5.0", None))
    assert [each.value for each in after.plan.reading] == ["5.0 A"]
    found = new_reading(after, "circuit.horn.current", "5.1", date="2026-05-02")
    assert not found.replaces
    document.change([found.change_in(document.plan)])
    accept(document, "circuit.horn.current")
    assert not new_reading(judged(document), "circuit.horn.current", "5.2", date="2026-05-02").replaces


def test_readings_follow_a_renamed_circuit_and_outlive_a_removed_one() -> None:
    document = PlanDocument.from_text(COUPE)
    stored(document, ("circuit.horn.current", "5.0", None), ("earth.body_rear.drop_mv", "20", "idle_wet_night"))
    document.rename("circuit", "horn", "two tone.horn")
    document.rename("earth", "body_rear", "boot_stud")
    found, lost = readings_of(judged(document))
    assert [each.point.address for each in found] == ['circuit."two tone.horn".current', "earth.boot_stud.drop_mv"]
    assert lost == ()
    document.remove(("circuit", "two tone.horn"))
    found, lost = readings_of(judged(document))
    assert len(found) == 1
    assert "no point" in lost[0].words


def test_figures_are_shown_in_the_unit_of_their_point() -> None:
    at = points(coupe())
    assert shown(0.0213, at["circuit.horn.fuse_mv"]) == "21.3 mV"
    assert shown(float("inf"), at["feed.main_bus.earth_ohm"]) == "open"
    assert shown(0.55, at["circuit.reverse.cold_ohm"]) == "550 mΩ"

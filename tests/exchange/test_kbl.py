"""Harness descriptions (KBL 2.5 SR1, VDA 4964): valid by the published schemas, read back the same, and those of others
read with the counts and metres published for them.

The schemas in ``schemas`` are the association's own (MIT licence, its notice at their head). Its two sample harnesses
are not part of this project: ``FUSEPLAN_KBL_SAMPLES`` names a folder with them.
"""

from __future__ import annotations

import gzip
import os
from collections import Counter, defaultdict
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.build.wires import pieces
from fuseplan.checks.assessment import assess
from fuseplan.cli.main import main
from fuseplan.errors import PlanError
from fuseplan.exchange.harness import Contact, Harness, HarnessConnector, HarnessSegment, HarnessWire
from fuseplan.exchange.harness_into_plan import take_harness
from fuseplan.exchange.kbl_in import parse_kbl, read_kbl
from fuseplan.exchange.kbl_out import kbl_bytes
from fuseplan.exchange.plan_harness import harness_of
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.tables.insulations import INSULATIONS
from tests.lazily import Lazily

etree = Lazily("lxml.etree")

FOLDER = Path(__file__).parent / "schemas"
EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
SAMPLES = os.environ.get("FUSEPLAN_KBL_SAMPLES")

SMALL = Harness(
    "Engine loom", "C", (
        HarnessWire("W1", 1.5, "pvc105", ("RD", "WH"), 2.4, 1.2, "injector 1", (
            Contact("X1", "1"), Contact("X2", "A")), ("r1",)),
        HarnessWire("W2", 0.5, "pvc105", ("BN",), None, None, "return", (Contact("X1", "2"), Contact("S1", "1"))),
        HarnessWire("W3", 0.5, "", ("GN",), 1.6, 0.8, "bus high", (Contact("S1", "1"), Contact("E1", "1")), (), "pair"),
        HarnessWire("W4", None, "", (), None, 0.8, "bus low", (), (), "pair"),
        HarnessWire("W5", 2.5, "", ("BK",), None, 2.0, "", (Contact("X2", "B"),)),
    ), (
        HarnessConnector("X1", "Control unit", "connector", ("1", "2", "3"), "X2"),
        HarnessConnector("X2", "", "connector", ("A", "B")),
        HarnessConnector("S1", "", "splice", ("1",)), HarnessConnector("E1", "Block", "ring terminal", ("1",)),
    ), (HarnessSegment("r1", "bulkhead", "engine", 1.1, "corrugated tube"), HarnessSegment("r2", "engine", "sump")),
    ({"date": "2026-03-01", "what": "injector plug turned", "why": "too short", "who": "somebody"},))


@cache
def schemas() -> list[Any]:
    return [etree.XMLSchema(etree.parse(str(FOLDER / name))) for name in ("KBL25_SR1.xsd", "KBL25_SR1-strict.xsd")]


def assert_valid(data: bytes) -> None:
    document = etree.fromstring(data)
    for schema in schemas():
        assert schema.validate(document), schema.error_log


def test_a_harness_is_valid_and_read_back_the_same() -> None:
    data = kbl_bytes(SMALL)
    assert_valid(data)
    assert parse_kbl(data) == SMALL
    assert kbl_bytes(SMALL) == data


def test_an_empty_harness_is_valid() -> None:
    assert_valid(kbl_bytes(Harness("nothing")))


TEXT = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=2, max_size=8).filter(
    lambda text: text.casefold() not in ("/null", "null"))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(TEXT, TEXT, st.floats(0.05, 120), st.one_of(st.none(), st.floats(0.01, 50))), max_size=6,
                unique_by=lambda each: each[0]))
def test_any_names_and_sizes_are_valid_and_read_back(rows: list[tuple[str, str, float, float | None]]) -> None:
    wires = tuple(HarnessWire(number, round(area, 3), signal=signal, length_m=length and round(length, 4),
                              colours=("RD",), ends=(Contact("X " + number, signal), Contact("common", "1")))
                  for number, signal, area, length in rows)
    harness = Harness("any", wires=wires, connectors=(
        *(HarnessConnector("X " + number, cavities=(signal,)) for number, signal, *_ in rows),
        HarnessConnector("common", usage="splice", cavities=("1",))))
    data = kbl_bytes(harness)
    assert_valid(data)
    found = parse_kbl(data)
    assert found.connectors == harness.connectors
    for one, other in zip(found.wires, harness.wires, strict=True):
        assert replace(one, area_mm2=None, length_m=None) == replace(other, area_mm2=None, length_m=None)
        assert one.area_mm2 == pytest.approx(other.area_mm2)
        assert one.length_m == pytest.approx(other.length_m)


def test_a_length_of_0_is_not_known_and_other_units_are_turned() -> None:
    data = kbl_bytes(SMALL)
    assert parse_kbl(data).wires[1].length_m is None
    unit = b'<Unit id="unit_mm">\n    <Si_unit_name>metre</Si_unit_name>'
    metres = data.replace(unit + b"\n    <Si_prefix>milli</Si_prefix>", unit)
    assert metres != data
    assert parse_kbl(metres).wires[0].length_m == pytest.approx(1200.0)
    area = b"<Si_unit_name>metre</Si_unit_name>\n    <Si_prefix>%s</Si_prefix>\n    <Si_dimension>square"
    assert area % b"milli" in data
    assert parse_kbl(data.replace(area % b"milli", area % b"centi")).wires[0].area_mm2 == pytest.approx(150.0)
    with pytest.raises(PlanError, match="metres"):
        parse_kbl(data.replace(b"<Si_unit_name>metre", b"<Si_unit_name>gram"))


@pytest.mark.parametrize(("data", "words"), [
    (b"", "no XML"),
    (b"<a>", "no XML"),
    (b"<a/>", "outermost"),
    (b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>', "document type"),
    ('<?xml version="1.0" encoding="utf-16"?><!DOCTYPE x SYSTEM "file:///etc/passwd"><x/>'.encode("utf-16"),
     "document type"),
    (b"<KBL_container/>", "no harness"),
    (kbl_bytes(SMALL).replace(b"<Part>kind_1<", b"<Part>kind_77<"), "kind_77"),
    (kbl_bytes(SMALL).replace(b"<Contact_point>contact_1<", b"<Contact_point>nowhere<"), "nowhere"),
    (kbl_bytes(SMALL).replace(b"<Value_component>1.5<", b"<Value_component>thick<"), "thick"),
    (kbl_bytes(SMALL).replace(b"<Contacted_cavity>place_1<", b"<Contacted_cavity>place_77<"), "place_77"),
    (kbl_bytes(SMALL).replace(b'id="kind_2"', b'id="kind_1"'), "two parts have the id 'kind_1'"),
    (b"<KBL_container><Harness>" + b"<a>" * 5_000 + b"</a>" * 5_000 + b"</Harness></KBL_container>", ""),
], ids=range(12))
def test_hostile_files_are_refused_with_a_sentence(data: bytes, words: str) -> None:
    if not words:
        assert parse_kbl(data) == Harness("")
        return
    with pytest.raises(PlanError, match=words):
        parse_kbl(data)


def test_a_harness_becomes_a_loom_whose_pins_are_undecided(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = tmp_path / "car.toml"
    plan.write_text("fuseplan = 1\n[connector.x1]\nname = \"mine\"\n", encoding="utf-8")
    file = tmp_path / "loom.kbl"
    file.write_bytes(kbl_bytes(SMALL))
    assert main(["import", str(plan), str(file)]) == 0
    assert "connector.x1_2" not in plan.read_text(encoding="utf-8")
    assert main(["import", str(plan), str(file), "--loom", "engine", "--take"]) == 0
    found = read_plan(plan)
    assert found.connector["x1"].name == "mine"
    assert found.loom["engine_loom"].kind == "engine"
    pins = found.connector["x1_2"].pin
    assert found.connector["x1_2"].mates == "x2"
    assert set(pins) == {"1", "2", "3"}
    assert {pin.fate for connector in found.connector.values() for pin in connector.pin.values()} == {"unknown"}
    assert (str(pins["1"].size), pins["1"].colour, pins["1"].function) == ("1.5 mm2", "RDWH", "injector 1")
    assert pins["1"].other_end is not None
    assert (pins["1"].other_end.connector, pins["1"].other_end.pin) == ("x2", "A")
    assert pins["2"].splice == "S1"
    assert pins["2"].length is None
    assert found.run["r1"].length == 1.1
    beside = {wire.number: wire for wire in found.loom["engine_loom"].wire}
    assert set(beside) == {"W3", "W4"}
    assert beside["W3"].start is not None
    assert (beside["W3"].start.splice, str(beside["W3"].size), beside["W3"].note) == ("S1", "0.5 mm2", "bus high")
    said = capsys.readouterr().out
    assert "without a known length" in said
    assert "2 wires that are no pin's own" in said


def test_no_wire_of_a_connector_is_dropped_in_silence() -> None:
    """Cavities that two slots both count from 1, cavities a connector does not list, and several wires on one pin."""
    data = kbl_bytes(SMALL)
    first = b"<Cavity_number>1</Cavity_number>"
    assert data.index(first) < data.index(b"<Cavity_number>2</Cavity_number>")
    alike = parse_kbl(data.replace(b"<Cavity_number>2</Cavity_number>", first, 1))
    assert alike.connectors[0].cavities == ("1", "1 (2)", "3")
    assert alike.wires[1].ends[0] == Contact("X1", "1 (2)")

    def taken(ends: tuple[Contact, ...]) -> tuple[Any, tuple[str, ...]]:
        wires = tuple(HarnessWire(f"W{number}", 1.0 + number, signal=f"signal {number}", ends=(end, Contact("E", "1")))
                      for number, end in enumerate(ends))
        found = take_harness({}, Harness("loom", wires=wires, connectors=(
            HarnessConnector("X"), HarnessConnector("E", usage="ring terminal"))), "donor")
        changes: dict[Any, Any] = dict(found.changes)
        return changes["connector", "x"]["pin"], found.notes

    pins, notes = taken((Contact("X", "7"), Contact("X", "8")))
    assert {pin: said["function"] for pin, said in pins.items()} == {"7": "signal 0", "8": "signal 1"}
    assert not any("several wires" in note for note in notes)
    pins, notes = taken((Contact("X", "7"), Contact("X", "7")))
    assert (pins["7"]["wires"], pins["7"]["size"]) == (2, "2 mm2")
    assert any("1 pins with several wires" in note for note in notes)


def test_two_harnesses_do_not_overwrite_each_other() -> None:
    document = PlanDocument.from_text("fuseplan = 1\n")
    for _ in range(2):
        document.change(take_harness(document.snapshot().data, SMALL, "donor").changes)
    assert set(document.plan.loom) == {"engine_loom", "engine_loom_2"}
    assert len(document.plan.connector) == 4
    assert document.plan.connector["x1_2"].mates == "x2_2"


@pytest.mark.skipif(SAMPLES is None, reason="FUSEPLAN_KBL_SAMPLES names no folder")
@pytest.mark.parametrize(("name", "wires", "connectors", "splices", "rings", "segments", "metres", "by_area"), [
    ("sample-engine", 18, 20, 2, 2, 30, 8.06, {}),
    # Metres by size, counted by hand from the published file (prostep-ivip-e-V/vec, commit acdd2f87).
    ("sample-main", 254, 146, 37, 22, 183, None, {0.35: 13.19, 0.5: 142.68, 0.75: 128.39, 1.0: 46.56, 1.5: 57.07,
                                                   2.5: 29.56, 4.0: 24.85, 6.0: 4.01}),
])
def test_the_associations_samples(name: str, wires: int, connectors: int, splices: int, rings: int, segments: int,
                                  metres: float | None, by_area: dict[float, float], tmp_path: Path) -> None:
    packed = Path(str(SAMPLES)) / f"{name}.kbl.gz"
    file = tmp_path / f"{name}.kbl"
    file.write_bytes(gzip.decompress(packed.read_bytes()))
    found = read_kbl(file)
    usage = Counter(each.usage for each in found.connectors)
    assert (len(found.wires), len(found.connectors), usage["splice"], usage["ring terminal"], len(found.segments)) == (
        wires, connectors, splices, rings, segments)
    lengths: dict[float, float] = defaultdict(float)
    for wire in found.wires:
        assert wire.area_mm2
        lengths[wire.area_mm2] += wire.length_m or 0.0
    if metres is not None:
        assert sum(lengths.values()) == pytest.approx(metres, abs=0.01)
    assert {area: round(lengths[area], 2) for area in by_area} == by_area
    # Every routed wire is as long as the lengths of loom it lies in.
    segment_m = {each.id: each.length_m or 0.0 for each in found.segments}
    routed = [wire for wire in found.wires if wire.route and wire.length_m]
    assert len(routed) in (18, 246)
    for wire in routed:
        assert sum(segment_m[name] for name in wire.route) == pytest.approx(wire.length_m, abs=1e-4)
    data = kbl_bytes(found)
    assert_valid(data)
    assert parse_kbl(data) == found


@pytest.mark.one_in(3)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_exported_valid_with_all_its_wires(path: Path, tmp_path: Path) -> None:
    assessment = assess(read_plan(path))
    assert main(["export", str(path), "--format", "kbl", "--out", str(tmp_path)]) == 0
    data = (tmp_path / f"{path.stem}.kbl").read_bytes()
    assert_valid(data)
    found = parse_kbl(data)
    assert found == harness_of(assessment)
    cut = pieces(assessment)
    assert len(cut) > 15
    wires = {wire.number: wire for wire in found.wires}
    for piece in cut:
        wire = wires[piece.number]
        assert wire.area_mm2 == pytest.approx(piece.area_mm2, abs=1e-4)
        assert wire.length_m == pytest.approx(piece.path_m, abs=1e-4)
        assert len(wire.ends) == sum(end.target.kind != "unknown" or end.connector is not None
                                     for end in (piece.start, piece.end))
    joined = Counter(end.connector for wire in found.wires for end in wire.ends)
    splices = [each for each in found.connectors if each.usage == "splice"]
    assert splices or path.stem != "coupe_turbo"
    assert all(joined[each.id] >= 2 for each in splices), "a joint joins at least two wires"


def wires_said(harness: Harness, on_pins: set[str]) -> list[tuple[tuple[object, ...], float]]:
    """What a harness says of its wires, whatever its connectors and lengths of loom are called, and their lengths; -1
    where one is not known. A wire that is no pin's own has the diameter of its size."""
    usage = {each.id: each.usage for each in harness.connectors}

    def ends(wire: HarnessWire) -> list[tuple[str, str]]:
        kinds = [(usage[end.connector], end.cavity) for end in wire.ends]
        return sorted((kind, cavity if kind == "connector" else "") for kind, cavity in kinds)

    return sorted((((
        wire.number, wire.area_mm2, wire.insulation if wire.insulation in INSULATIONS else "", wire.colours,
        wire.outside_mm if wire.number in on_pins else None, wire.signal, tuple(ends(wire)), len(wire.route)),
        -1.0 if wire.length_m is None else wire.length_m) for wire in harness.wires), key=repr)


def assert_goes_out_as_it_came_in(harness: Harness) -> None:
    """Every wire is taken, with all that is said of it but its cable and a type that is no insulation."""
    document = PlanDocument.from_text("fuseplan = 1\n")
    document.change(take_harness({}, harness, "donor").changes)
    found = harness_of(assess(document.plan))
    assert_valid(kbl_bytes(found))
    on_pins = {str(pin.number) for connector in document.plan.connector.values() for pin in connector.pin.values()}
    came, went = wires_said(harness, on_pins), wires_said(found, on_pins)
    assert [each for each, _ in went] == [each for each, _ in came]
    assert [length for _, length in went] == pytest.approx([length for _, length in came], abs=1.1e-3)
    assert any(wire.number not in on_pins for wire in harness.wires)


def test_the_wires_of_a_loom_go_out_as_they_came_in() -> None:
    assert_goes_out_as_it_came_in(SMALL)


def test_the_wires_of_a_whole_car_go_out_as_they_came_in() -> None:
    assert_goes_out_as_it_came_in(harness_of(assess(read_plan(shipped_folder("examples") / "coupe_turbo.toml"))))


@pytest.mark.skipif(SAMPLES is None, reason="FUSEPLAN_KBL_SAMPLES names no folder")
def test_the_wires_of_the_associations_sample_go_out_as_they_came_in(tmp_path: Path) -> None:
    file = tmp_path / "sample.kbl"
    file.write_bytes(gzip.decompress((Path(str(SAMPLES)) / "sample-main.kbl.gz").read_bytes()))
    assert_goes_out_as_it_came_in(read_kbl(file))

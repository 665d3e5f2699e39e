"""Second opinions side by side: disagreement marked, reasons from the data, the table of the examples as printed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fuseplan.checks.side_by_side import side_by_side
from fuseplan.errors import LimitsError
from fuseplan.limits import limit_set, names
from fuseplan.papers.limits_text import limits_text
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan

GOLDEN = Path(__file__).parent.parent / "golden"
EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))

PLAN = """
fuseplan = 1
[zone.cabin]
ambient = "40 degC"
[zone.bay]
ambient = "80 degC"
[feed.post]
zone = "cabin"
[earth.body]
[circuit.fan]
role = "other"
feed = "post"
fuse = { kind = "blade", rating = "30 A", distance = "50 mm" }
wire = [{ size = "AWG 10", length = "3 m", zone = "bay", insulation = "pvc105" }]
earth = "body"
drop_class = "control"
[[circuit.fan.load]]
current = "15 A"
kind = "motor"
evidence = "measured"
[circuit.clock]
role = "instruments"
feed = "post"
fuse = { kind = "blade", rating = "5 A", distance = "50 mm" }
wire = [{ size = "AWG 16", length = "1 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
[[circuit.clock.load]]
current = "0.1 A"
kind = "resistive"
evidence = "measured"
"""


def test_disagreement_and_its_reasons() -> None:
    found = side_by_side(parse_plan(PLAN))
    assert [each.name for each in found.limit_set] == list(names())
    fan, clock = found.rows
    assert fan.disagree
    cells = {cell.limit_set: cell for cell in fan.cells}
    # FAA AC 43.13-1B, table 11-9: AWG 10, 105 °C class, 17 A at 70 °C; its table 11-3: 30 A, both cut by the
    # square-root law at 80 °C.
    cut = ((105 - 80) / (105 - 70)) ** 0.5
    assert cells["aircraft"].wire_limit_a == pytest.approx(17 * cut)
    assert cells["aircraft"].range_a[1] == pytest.approx(30 * cut)
    # 33 CFR 183.425, table 5: 60 A at 30 °C; the square-root law allows less at 80 °C than the 0.85 of its note 1.
    assert cells["small_craft"].wire_limit_a == pytest.approx(60 * (25 / 75) ** 0.5)
    assert cells["bodybuilder"].wire_limit_a is None
    assert cells["bodybuilder"].silent == ("no published ampacity for AWG 10 with pvc105 at 80 °C (wire 1)",)
    told = "\n".join(fan.reasons)
    for words in ("105 °C class", "FAA AC 43.13-1B", "33 CFR 183.425", "at most 150 % of what the wire may carry",
                  "the fuse printed for the wire area", "75 % × ", "Nothing on file: bodybuilder"):
        assert words in told, words
    assert not clock.disagree
    assert clock.reasons == ()
    assert found.disagreements == 1


def test_drop_reason_names_one_lead_or_both() -> None:
    """AWG 16 and 6 m bring the drop over the handbook's 0.5 V for the supply lead alone, not over 10 % for both."""
    text = PLAN.replace("AWG 10", "AWG 12").replace('length = "3 m"', 'length = "7 m"')
    fan = side_by_side(parse_plan(text), ["road", "small_craft"]).rows[0]
    told = "\n".join(fan.reasons)
    assert "0.50 V for the supply lead alone" in told
    assert "1.20 V for both leads together" in told


def test_silence_is_no_disagreement() -> None:
    text = PLAN.replace('insulation = "pvc105"', 'insulation = "pvc70"').replace("80 degC", "40 degC")
    found = side_by_side(parse_plan(text), ["road", "aircraft"])
    assert [cell.verdict for cell in found.rows[1].cells] == ["ok", "unknown"]
    assert not found.rows[1].disagree


def test_limit_set_objects_and_unknown_names() -> None:
    own = limit_set("road").model_copy(update={"name": "mine"})
    assert [each.name for each in side_by_side(parse_plan(PLAN), ["road", own]).limit_set] == ["road", "mine"]
    with pytest.raises(LimitsError, match="accepted is road"):
        side_by_side(parse_plan(PLAN), ["no_such"])


def test_an_empty_plan() -> None:
    found = side_by_side(parse_plan("fuseplan = 1"))
    assert found.rows == ()
    assert "0 of 0 circuits" in limits_text(found, 80)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_document_and_golden_text(path: Path, renew_golden: bool) -> None:
    found = side_by_side(read_plan(path))
    document = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert {row["id"] for row in document["circuits"]} == set(read_plan(path).circuit)
    assert all(set(row["by"]) == set(names()) for row in document["circuits"])
    for row, cells in zip(found.rows, document["circuits"], strict=True):
        assert bool(row.reasons) == row.disagree == cells["disagree"]
    text, golden = limits_text(found, 120) + "\n", GOLDEN / f"{path.stem}_limits.txt"
    assert all(len(line) <= 120 for line in text.splitlines())
    assert all(len(line) <= 80 for line in limits_text(found, 80).splitlines())
    if renew_golden:
        golden.write_text(text, encoding="utf-8")
        pytest.skip(f"wrote {golden.name}")
    assert text == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("chosen", names())
def test_where_the_chosen_set_is_not_the_strictest_is_said_before_anything_else(chosen: str) -> None:
    found = side_by_side(parse_plan(PLAN.replace("fuseplan = 1", f'fuseplan = 1\n[vehicle]\nlimits = "{chosen}"', 1)))
    assert found.limit_set[found.chosen].name == chosen
    text = limits_text(found, 100)
    told = {(each.circuit, each.limit_set, each.what) for each in found.stricter}
    for row in found.rows:
        mine = row.cells[found.chosen]
        for cell in row.cells:
            for what, theirs, own in (("largest fuse", cell.range_a[1], mine.range_a[1]),
                                      ("ampacity", cell.wire_limit_a, mine.wire_limit_a),
                                      ("voltage drop", cell.drop_limit_v, mine.drop_limit_v)):
                both = cell.answers and mine.answers and theirs is not None and own is not None
                assert ((row.id, cell.limit_set, what) in told) == bool(both and theirs < own * (1 - 1e-9))
    if told:
        assert text.index("is not the strictest") < text.index("Each cell")


def test_only_what_a_second_set_answers_is_compared() -> None:
    text = PLAN.replace('insulation = "pvc105"', 'insulation = "pvc70"').replace("80 degC", "40 degC")
    found = side_by_side(parse_plan(text), ["road", "aircraft"])
    silent = [row for row in found.rows if not row.cells[1].answers]
    assert silent
    assert all(row not in found.answered for row in silent)
    said = limits_text(found, 100)
    assert "unknown" not in said.split("Each cell")[1].split("Disagreements")[0]
    assert "No second set has an answer" in said


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_set_that_alone_cannot_say_is_told_with_what_it_does_not_know(path: Path) -> None:
    for row in side_by_side(read_plan(path)).rows:
        unknown = [cell.limit_set for cell in row.cells if cell.verdict == "unknown"]
        if row.disagree and len(unknown) < len(row.cells):
            said = " ".join(each for each in row.reasons if each.startswith(("Nothing on file: ", "Not known: ")))
            assert all(f"{name}, " in said for name in unknown), (row.id, unknown, row.reasons)

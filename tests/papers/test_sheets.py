"""What stands on the papers: every wire, fuse, relay, earth and circuit of the plan, nothing passed over, nothing said
of what is not known; sums agree from paper to paper; no text in a plan can act."""

from __future__ import annotations

import itertools
import tomllib
import unicodedata
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.papers.build_cells import verdict_words
from fuseplan.papers.harmless import shown, width
from fuseplan.papers.paper import BoxGrid, LabelSheet, Paper, Table, Words
from fuseplan.papers.paper_set import head_of, marks_of, paper_set, sheets, texts_of
from fuseplan.papers.writers.text import paper_lines
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from tests import hostile
from tests.plans import large_plan, plan_of

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
BARE = {"fuseplan": 1}
NAMES = [path.stem for path in EXAMPLES] + ["hostile", "bare", "large"]
ORDER = ["summary", "open-points", "fuse-map", "lid-card", "circuit-sheets", "cut-list", "labels", "earth-map",
         "relays", "state-table", "run-table", "connectors", "buy-list", "loom-drawing", "load-analysis",
         "owner-summary", "change-log"]


@cache
def assessed(name: str) -> Assessment:
    data = {"hostile": lambda: hostile.plan_data(hostile.hostile), "bare": lambda: BARE,
            "large": lambda: large_plan(60)}.get(
        name, lambda: tomllib.loads((EXAMPLES[0].parent / f"{name}.toml").read_text(encoding="utf-8")))()
    return assess(plan_of(data))


@cache
def papers(name: str) -> dict[str, Paper]:
    return {paper.name: paper for paper in paper_set(assessed(name)).papers}


def tables(paper: Paper, name: str = "") -> list[Table]:
    return [block for block in paper.blocks if isinstance(block, Table) and block.name.startswith(name)]


def column(table: Table, key: str) -> list[object]:
    number = next(index for index, each in enumerate(table.columns) if each.key == key)
    return [row[number] for row in table.rows]


def facts(name: str) -> BuildFacts:
    return build_facts(assessed(name))


def test_the_papers_stand_in_the_order_of_the_work() -> None:
    names = list(sheets())
    assert [name for name in names if name in ORDER] == ORDER
    orders = [sheet.order for sheet in sheets().values()]
    assert len(set(orders)) == len(orders)


@pytest.mark.one_in(3)
@pytest.mark.parametrize("name", NAMES)
def test_every_paper_says_something_whatever_the_plan(name: str) -> None:
    found = papers(name)
    assert set(ORDER) <= set(found)
    for paper in found.values():
        assert paper.blocks, paper.name
        assert all(unicodedata.category(sign) not in ("Cc", "Cf") for text in texts_of(paper.blocks) for sign in text)


@pytest.mark.parametrize("name", NAMES)
def test_tables_of_one_name_have_the_same_columns_and_numbers_stand_under_units(name: str) -> None:
    units = {"mm": "mm", "fine mm": "mm", "A": "a", "fuse A": "a", "V": "v", "barrel mm2": "mm2", "N": "n",
             "%": "percent", "m": "m"}
    looked = 0
    for paper in papers(name).values():
        shapes = {(table.name, table.columns) for table in tables(paper)}
        assert len(shapes) == len({table.name for table in tables(paper)})
        assert all(table.about for table in tables(paper)
                   if [each.name for each in tables(paper)].count(table.name) > 1)
        for table in tables(paper):
            for each in table.columns:
                if each.unit:
                    assert each.key.endswith(f"_{units[each.unit]}") or each.key == units[each.unit], (paper.name, each)
                    looked += 1
    assert looked > 5 or name == "bare"


@pytest.mark.parametrize("name", NAMES)
def test_the_cut_list_holds_every_wire_once(name: str) -> None:
    pieces = facts(name).pieces
    paper = papers(name)["cut-list"]
    cut = [number for table in tables(paper, "cut") for number in column(table, "wire")]
    ends = [number for table in tables(paper, "ends") for number in column(table, "wire")]
    there = [number for table in tables(paper, "not_cut") for number in column(table, "wire")]
    assert len(cut) == len(ends) == sum(piece.is_cut for piece in pieces)
    assert len(cut) + len(there) == len(pieces)
    for table in tables(paper, "cut"):
        known = [piece for piece in pieces if piece.is_cut and len(piece.cuts) == 1]
        lengths = Counter(length for length in column(table, "cut_mm") if isinstance(length, float))
        assert lengths == Counter(1000.0 * (piece.cut_m or 0.0) for piece in known)


@pytest.mark.parametrize("name", NAMES)
def test_metres_of_the_buy_list_are_those_of_the_cut_list(name: str) -> None:
    bought = sum(needed for table in tables(papers(name)["buy-list"]) for group, needed in zip(
        column(table, "group"), column(table, "needed"), strict=True) if group == "Wire" and isinstance(needed, float))
    assert bought == pytest.approx(sum(piece.cut_m or 0.0 for piece in facts(name).pieces))


@pytest.mark.parametrize("name", NAMES)
def test_both_ends_of_every_wire_have_a_label(name: str) -> None:
    sheets_of = [block for block in papers(name)["labels"].blocks if isinstance(block, LabelSheet)]
    labels = [label for block in sheets_of for label in block.labels]
    assert len(labels) == 2 * len(facts(name).pieces)
    assert all(label.height_mm >= 1.75 and len(label.lines) >= 2 and label.where for label in labels)
    own = {shown(piece.label) for piece in facts(name).pieces}
    assert all(len(line) <= 24 for label in labels for line in label.lines if line not in own)


@pytest.mark.parametrize("name", NAMES)
def test_every_fuse_is_on_the_map_with_its_rating(name: str) -> None:
    paper = papers(name)["fuse-map"]
    rows = [row for key in ("positions", "elsewhere") for table in tables(paper, key)
            for row in zip(column(table, "protects"), column(table, "fuse_a"), strict=True)]
    assert sum(rating != "spare" for _, rating in rows) == len(facts(name).fuses)
    fitted = [cell for block in paper.blocks if isinstance(block, BoxGrid) for cell in block.cells
              if cell.kind in ("fitted", "danger")]
    drawn = [slot for box in facts(name).boxes if box.columns for slot in box.slots if slot.fuses and slot.row]
    assert len(fitted) == len(drawn)


@pytest.mark.parametrize("name", NAMES)
def test_every_circuit_has_its_sheet_and_what_is_not_known_says_so(name: str) -> None:
    assessment = assessed(name)
    blocks = papers(name)["circuit-sheets"].blocks
    headings = [block for block in blocks if isinstance(block, Words) and block.role == "heading"]
    assert len(headings) == len(assessment.plan.circuit)
    stops = [block.text for block in blocks if isinstance(block, Words) and block.role == "danger"]
    unknown = [view for view in assessment.circuits if view.verdict == "unknown"]
    assert len(stops) == len(unknown)
    assert all(text.startswith(("Not known: ", "Out of scope")) for text in stops)


def test_what_is_out_of_scope_is_named_and_nothing_more() -> None:
    assessment = assessed("coupe_turbo")
    title = assessment.plan.circuit["steering_wheel"].name
    assert title is not None
    for paper in papers("coupe_turbo").values():
        for table in tables(paper):
            for row in table.rows:
                if title in row:
                    numbers = [cell for cell in row if isinstance(cell, float)]
                    assert numbers == [], (paper.name, row)
    assert any(title in text for text in texts_of(papers("coupe_turbo")["circuit-sheets"].blocks))


def test_dangers_stand_in_words_beside_what_is_built() -> None:
    assessment = assessed("coupe_turbo")
    assert assessment.count("danger") > 0
    assert "DO NOT POWER UP" in head_of(assessment).banner
    dangerous = {finding.subject for finding in assessment.findings if finding.level == "danger" and not finding.measure
                 and finding.subject_kind == "circuit"}
    assert dangerous
    for circuit in dangerous:
        numbers = {piece.number for piece in facts("coupe_turbo").owned.get(("circuit", circuit), ())}
        for key in ("cut", "not_cut"):
            for table in tables(papers("coupe_turbo")["cut-list"], key):
                if table.name == key:
                    for number, verdict in zip(column(table, "wire"), column(table, "verdict"), strict=True):
                        assert number not in numbers or verdict == "✗ DANGER"


BUILT_FROM = ("labels", "earth-map", "run-table", "connectors", "buy-list")


@pytest.mark.parametrize("name", ["coupe_turbo", "hostile", "van_24v"])
def test_papers_without_verdicts_in_their_rows_name_what_is_not_to_be_built_yet(name: str) -> None:
    open_circuits = [view for view in assessed(name).circuits if view.verdict in ("fails", "unknown")
                     and view.circuit.out_of_scope is None]
    for each in BUILT_FROM:
        paper = papers(name)[each]
        said = [block.text for block in paper.blocks if isinstance(block, Words) and block.role == "caution"
                and "before any of it is bought or built" in block.text]
        kinds = {view.verdict for view in open_circuits}
        assert len(said) in ((len(kinds),) if len(paper.blocks) > 1 else (0, len(kinds))), each
        if name == "coupe_turbo":
            assert kinds == {"fails", "unknown"}
            assert all(any(view.name in text for text in said) for view in open_circuits)


def test_figures_from_memory_and_proposals_are_marked() -> None:
    data = tomllib.loads((EXAMPLES[0].parent / "coupe_turbo.toml").read_text(encoding="utf-8"))
    del data["circuit"]["wipers"]["fuse"]["rating"]
    found = {paper.name: paper for paper in paper_set(assess(plan_of(data))).papers}
    assert any(mark.startswith("†") for mark in marks_of(found["relays"]))
    for name in ("fuse-map", "lid-card", "buy-list"):
        assert any(mark.startswith("*") for mark in marks_of(found[name])), name


def test_nothing_is_missing_from_the_earth_map() -> None:
    paper = papers("coupe_turbo")["earth-map"]
    landed = [number for table in tables(paper) for number in column(table, "wire")]
    to_earth = [piece.number for piece in facts("coupe_turbo").pieces
                if "earth" in (piece.start.target.kind, piece.end.target.kind)]
    assert set(to_earth) == set(landed)
    headings = [block for block in paper.blocks if isinstance(block, Words) and block.role == "heading"]
    assert len(headings) == len(assessed("coupe_turbo").plan.earth)


TWO_ON_A_STUD = """
fuseplan = 1
[feed.post]
[earth.negative]
[earth.body]
to = "negative"
stud = "M8"
wire = [{ size = "16 mm2", length = "0.2 m" }, { size = "16 mm2", length = "0.3 m", end = { terminal = "ring_22" } }]
[circuit.a]
feed = "post"
earth = "body"
earth_wire = [{ size = "1 mm2", length = "1 m", number = "7", end = { stud = "M6" } }]
load = [{ current = "2 A" }]
[circuit.b]
feed = "post"
earth = "body"
earth_wire = [{ size = "1.5 mm2", length = "1 m", number = "7" }]
load = [{ current = "2 A" }]
"""


def test_a_stud_carries_the_ends_that_lie_on_it_each_with_its_own_terminal() -> None:
    """Wires of one number are told apart, and what goes on from a strap's joint lies elsewhere."""
    assessment = assess(parse_plan(TWO_ON_A_STUD))
    [paper] = paper_set(assessment, ["earth-map"]).papers
    found = {table.about: list(zip(column(table, "what"), column(table, "terminal"), strict=True))
             for table in tables(paper, "lugs")}
    assert found["body"] == [("16 mm²", "ring terminal M8"), ("1.5 mm²", "ring terminal M8"),
                             ("1 mm²", "ring terminal M6")]
    points = {point.title: point.lugs for point in build_facts(assessment).earths}
    assert points == {"negative": 1, "body": 3}


def test_what_is_not_known_to_be_dead_with_the_key_off_is_taken_for_live() -> None:
    text = TWO_ON_A_STUD.replace('feed = "post"\n', "", 1)
    for plan, said in ((TWO_ON_A_STUD, 0), (text, 1)):
        [paper] = paper_set(assess(parse_plan(plan)), ["owner-summary"]).papers
        told = [text for text in texts_of(paper.blocks) if "Treat it as live" in text]
        assert len(told) == said
        assert all(": a. Treat" in each for each in told)


@pytest.mark.parametrize(("rows", "columns"), [(6, 5), (1, 5), (None, None)])
def test_the_card_in_the_lid_has_every_position_and_what_stands_against_it(rows: int | None, columns: int | None
                                                                           ) -> None:
    """However the box looks, and whether or not all positions lie in its rows."""
    data = tomllib.loads((EXAMPLES[0].parent / "coupe_turbo.toml").read_text(encoding="utf-8"))
    box = data["fuse_box"]["cabin"]
    box["position"] = {f"F{number}": {} for number in range(1, 31)}
    for key, value in (("rows", rows), ("columns", columns)):
        box.pop(key)
        if value is not None:
            box[key] = value
    del box["numbered"]
    box["largest"] = "10 A"
    assessment = assess(plan_of(data))
    [card] = paper_set(assessment, ["lid-card"]).papers
    told = [" ".join(texts_of(cell)) for block in card.blocks if isinstance(block, BoxGrid) for cell in block.cells]
    told += [" ".join(map(str, row)) for table in tables(card, "card") for row in table.rows]
    slots = [slot for box in build_facts(assessment).boxes for slot in box.slots]
    assert len(told) == len(slots)
    for slot in slots:
        verdicts = {verdict_words(assessment, fuse.owner) for fuse in slot.fuses}
        own = next(each for each in told if f" {slot.way.position} " in f" {each} ")
        assert slot.wrong in own
        assert ("✗ DANGER" in own) == ("✗ DANGER" in verdicts)
        assert ("? unknown" in own) == ("? unknown" in verdicts)
    assert any(slot.wrong for slot in slots)


def test_every_relay_and_switch_is_listed() -> None:
    plan: Plan = assessed("coupe_turbo").plan
    paper = papers("coupe_turbo")["relays"]
    parts = [*plan.feed.values(), *plan.circuit.values()]
    [relays] = tables(paper, "relays")
    [pins] = tables(paper, "pins")
    [switches] = tables(paper, "switches")
    assert len(relays.rows) == len(pins.rows) == sum(part.relay is not None for part in parts)
    assert len(switches.rows) == sum(part.switch is not None for part in parts)


def test_the_load_analysis_lists_every_load() -> None:
    plan = assessed("coupe_turbo").plan
    listed = sum(len(table.rows) for key in ("continuous_loads", "intermittent_loads")
                 for table in tables(papers("coupe_turbo")["load-analysis"], key))
    assert listed == sum(len(circuit.load) for circuit in plan.circuit.values() if circuit.out_of_scope is None) > 30


def test_the_same_assessment_gives_the_same_papers() -> None:
    again = paper_set(assess(assessed("coupe_turbo").plan)).papers
    assert {paper.name: paper for paper in again} == papers("coupe_turbo")


@pytest.mark.parametrize("name", ["coupe_turbo", "van_24v", "hostile"])
def test_a_paper_as_text_fits_any_window_and_the_lines_of_a_box_stay_in_it(name: str) -> None:
    head, drawn = head_of(assessed(name)), 0
    for sheet in ("fuse-map", "lid-card", "run-table", "earth-map", "owner-summary"):
        for room in (38, 56, 76):
            lines = paper_lines(head, papers(name)[sheet], room)
            assert max(map(width, lines)) <= room
            for one, other in itertools.pairwise(lines):
                if one.startswith(("|", "+-")) and other.startswith("|"):
                    assert width(one) == width(other)
                    drawn += 1
    assert drawn or not any(box.columns for box in facts(name).boxes)

"""The loom drawing: runs to scale, branches, wires in each section, connectors and splices."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.connections import SpliceLine
from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.ways import place_on_run
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.loom_svg import Mark, draw
from fuseplan.papers.paper import Block, Drawing, Sheet, Table, TableColumn, Wishes, Words

_RUNS = (
    TableColumn("run", "Run"), TableColumn("name", "Name"), TableColumn("from", "From"), TableColumn("to", "To"),
    TableColumn("length_mm", "Length", "mm", True), TableColumn("wires", "Wires", "", True),
    TableColumn("diameter_mm", "Diameter", "mm", True, "burden"), TableColumn("sleeve", "Sleeve"),
    TableColumn("wire_numbers", "Wire numbers"))
_PLACES = (
    TableColumn("place", "Place"), TableColumn("wire", "Wire"), TableColumn("connector", "Connector"),
    TableColumn("to", "Its end here goes to"))
_SPLICES = (
    TableColumn("splice", "Splice"), TableColumn("name", "Joins"), TableColumn("run", "In run"),
    TableColumn("from_start_mm", "From the wire's start", "mm", True), TableColumn("method", "Method"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The drawing, then what its numbers stand for."""
    facts = build_facts(assessment)
    layout = facts.layout
    if not layout.sections:
        yield Words("The plan has no runs, so there is no loom to draw. A run is a length of loom between two places; "
                    "the wires that go along it name it.", "note")
        return
    numbers = {f"run:{section.bundle.id}": f"R{number}" for number, section in enumerate(layout.sections, 1)}
    numbers |= {f"place:{place.name}": str(number) for number, place in enumerate(layout.places, 1)}
    splices, marks = _splices(facts)
    drawn = draw(layout, numbers, marks)
    joined = "; ".join(f"{numbers[f'run:{each.bundle.id}']} {each.bundle.title} from {each.start.name} to "
                       f"{each.end.name}" for each in layout.sections)
    yield Drawing("loom", drawn.svg, drawn.width_mm, drawn.height_mm, f"the loom laid out flat: {joined}")
    outside = [piece for piece in facts.pieces if not piece.runs]
    if outside:
        yield Words(f"{len(outside)} of {len(facts.pieces)} wires name no run and are not on the drawing; the cut list "
                    "has them all.", "note")
    yield Table("runs", _RUNS, tuple(
        (numbers[f"run:{each.bundle.id}"], each.bundle.title, _spaced(each.start.name), _spaced(each.end.name),
         None if each.bundle.run.length is None else float(each.bundle.run.length) * 1000.0,
         float(len(each.bundle.pieces)), each.bundle.diameter_mm, each.bundle.run.sleeve or "not stated",
         ", ".join(piece.number for piece in each.bundle.pieces)) for each in layout.sections), "Runs",
        note="Diameter of the bundle by calculation; it may come out a tenth thicker or thinner.")
    yield Table("places", _PLACES, tuple(
        (f"{numbers[f'place:{place.name}']}  {_spaced(place.name)}", each.piece.number, each.end.connector or "",
         each.end.words if each.known else f"? {each.end.words}")
        for place in layout.places for each in place.ends), "Places, and the wires that leave the loom there",
        group="place", note="? before an end: the wire lies in one run alone, and the plan does not say which of its "
        "two ends is here; it may be the other one.")
    if splices:
        yield Table("splices", _SPLICES, tuple(splices), "Splices and joints")


def _spaced(name: str) -> str:
    return name.replace("_", " ")


def _splices(facts: BuildFacts) -> tuple[list[tuple[str, str, str, float | None, str]], list[Mark]]:
    """A row for each splice, and a mark for those whose place in a run is known."""
    rows: list[tuple[str, str, str, float | None, str]] = []
    marks: list[Mark] = []
    for number, line in enumerate(facts.splices, 1):
        found = _run_of(line, facts)
        run = "not known" if found is None else _title(facts, found[0])
        rows.append((f"S{number}", line.name if line.place_m is None else ", ".join(
            piece.number for piece in line.pieces), run, None if line.place_m is None else line.place_m * 1000.0,
            line.method))
        if found is not None:
            marks.append(Mark(f"S{number}", *found))
    return rows, marks


def _run_of(line: SpliceLine, facts: BuildFacts) -> tuple[str, float] | None:
    if line.place_m is None or not line.pieces:
        return None
    way = facts.ways.get(line.pieces[0].key)
    return None if way is None else place_on_run(way, line.place_m, facts.assessment.plan.run)


def _title(facts: BuildFacts, run: str) -> str:
    """Name of a run."""
    return next(bundle.title for bundle in facts.bundles if bundle.id == run)


SHEET = Sheet("loom-drawing", "Loom drawing", 120, "runs to scale, branches, wires in each section, connectors, "
              "splices", blocks, landscape=True)

"""The loom drawing: runs to scale, branches, wires in each section, connectors and splices."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fuseplan.build.bundles import JACKETS, SPREAD
from fuseplan.build.connections import SpliceLine
from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.ways import parted, parted_words, place_on_run
from fuseplan.build.wires import Piece
from fuseplan.checks.assessment import Assessment
from fuseplan.grouping import grouped
from fuseplan.papers.build_cells import idle_left_out
from fuseplan.papers.loom_svg import Mark, draw
from fuseplan.papers.paper import Block, Drawing, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.quantities import writing

_RUNS = (
    TableColumn("run", "Run"), TableColumn("name", "Name"), TableColumn("from", "From"), TableColumn("to", "To"),
    TableColumn("length_mm", "Length", "mm", True), TableColumn("wires", "Wires", "", True),
    TableColumn("diameter_mm", "Diameter", "mm", True, "burden"), TableColumn("sleeve", "Sleeve"),
    TableColumn("wire_numbers", "Wire numbers"))
_PLACES = (TableColumn("place", "Place"), TableColumn("wire", "Wire"), TableColumn("to", "Its end here goes to"))
_JOINTS = (
    TableColumn("joint", "Joint"), TableColumn("joins", "Joins"), TableColumn("where", "Where"),
    TableColumn("from_start_mm", "From the wire's start", "mm", True), TableColumn("method", "Method"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The drawing, then what its numbers stand for."""
    facts = build_facts(assessment)
    layout = facts.layout
    if not layout.sections:
        yield Words("The plan has no runs, so there is no loom to draw. A run is a length of loom between two places; "
                    "the wires that go along it name it.", "note")
        return
    numbers = {f"run:{section.bundle.id}": section.bundle.number for section in layout.sections}
    numbers |= {f"place:{place.name}": str(number) for number, place in enumerate(layout.places, 1)}
    joints, marks = _joints(facts, numbers)
    drawn = draw(layout, numbers, marks)
    joined = "; ".join(f"{each.bundle.number} {each.bundle.title} from {_spaced(each.start.name)} to "
                       f"{_spaced(each.end.name)}" for each in layout.sections)
    yield Drawing("loom", drawn.svg, drawn.width_mm, drawn.height_mm, f"the loom laid out flat: {joined}")
    for one, other in parted(facts.ways):
        yield Words(parted_words(one, other), "caution")
    yield from idle_left_out(facts)
    outside = [piece for piece in facts.needed if not piece.runs]
    if outside:
        yield Words(f"{len(outside)} of {len(facts.needed)} wires name no run and are not on the drawing; the cut list "
                    "has them all.", "note")
    yield Table("runs", _RUNS, tuple(
        (each.bundle.number, each.bundle.title, _spaced(each.start.name), _spaced(each.end.name),
         None if each.bundle.run.length is None else float(each.bundle.run.length) * 1000.0,
         float(len(each.bundle.pieces)), each.bundle.diameter_mm, each.bundle.run.sleeve or "not stated",
         _numbers(facts, each.bundle.pieces)) for each in layout.sections), "Runs",
        note=f"Diameter of the bundle by calculation; it may come out {writing.stated(SPREAD, 'share')} thicker or "
        f"thinner. Cores of one cable stand in brackets. {JACKETS}")
    yield Table("places", _PLACES, tuple(
        (f"{numbers[f'place:{place.name}']}  {_spaced(place.name)}", each.piece.number,
         each.end.words if each.known else f"? {each.end.words}")
        for place in layout.places for each in place.ends), "Places, and the wires that leave the loom there",
        group="place", note="? before an end: the wire lies in one run alone, and the plan does not say which of its "
        "two ends is here; it may be the other one.")
    if joints:
        yield Table("joints", _JOINTS, tuple(joints), "Splices and joints", note="J on the drawing: a joint whose "
                    "place in a run is known. A splice in [ ] beside a place is made there.")


def _numbers(facts: BuildFacts, members: Sequence[Piece]) -> str:
    """The wires of a run; those of one cable in brackets behind its name."""
    lines = ((facts.cable_of.get(piece.key), piece) for piece in members)
    cables = grouped(("" if line is None else line.name, piece.number) for line, piece in lines)
    return ", ".join([*cables.pop("", []), *(f"{name} ({', '.join(inside)})" for name, inside in cables.items())])


def _spaced(name: str) -> str:
    return name.replace("_", " ")


def _joints(facts: BuildFacts, numbers: Mapping[str, str]
            ) -> tuple[list[tuple[str, str, str, float | str | None, str]], list[Mark]]:
    """A row for each joint, and a mark for those whose place in a run is known. A splice keeps the name it has in the
    plan; a joint in a wire is numbered here."""
    rows: list[tuple[str, str, str, float | str | None, str]] = []
    marks: list[Mark] = []
    for number, line in enumerate((each for each in facts.splices if each.place_m is not None), 1):
        found = _run_of(line, facts)
        where = "not known" if found is None else f"run {numbers[f'run:{found[0]}']} {_title(facts, found[0])}"
        rows.append((f"J{number}", ", ".join(piece.number for piece in line.pieces), where,
                     None if line.place_m is None else line.place_m * 1000.0, line.method))
        if found is not None:
            marks.append(Mark(f"J{number}", *found))
    for line in (each for each in facts.splices if each.place_m is None):
        places = [f"place {numbers[f'place:{place.name}']} {_spaced(place.name)}" for place in facts.layout.places
                  if any(each.known and each.end.splice == line.name for each in place.ends)]
        where = "not known" if not places else f"not known: by its wires at {' and at '.join(places)}" \
            if len(places) > 1 else places[0]
        rows.append((line.name, ", ".join(piece.number for piece in line.pieces), where, writing.NONE, line.method))
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

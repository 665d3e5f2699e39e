"""The runs of the loom: bundle diameter, sleeve, grommet, clips, bends, and which wires lie in each."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.bundles import BASIS, SPREAD, Bundle, clip_mm, hole_clearance_mm
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import idle_left_out, in_mm, unsettled, wire_words
from fuseplan.papers.paper import Block, Cell, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import part_name
from fuseplan.quantities import writing
from fuseplan.tables.pullout import clip_spacing

_RUNS = (TableColumn("run", "Run"), TableColumn("name", "Name"), TableColumn("from", "From"), TableColumn("to", "To"),
         TableColumn("length_mm", "Length", "mm", True), TableColumn("zone", "Zone"),
         TableColumn("wires", "Wires", number=True), TableColumn("bundle_mm", "Bundle", "fine mm", True, "burden"),
         TableColumn("thickest_mm", f"With {writing.stated(SPREAD, 'share')} more", "fine mm", True, "burden"),
         TableColumn("clips", "Clips", number=True, side="burden"),
         TableColumn("bend_mm", "Bend radius, at least", "mm", True, "burden"))
_COVERS = (TableColumn("run", "Run"), TableColumn("sleeve", "Sleeve"),
           TableColumn("inside_mm", "Its inside diameter", "fine mm", True),
           TableColumn("least_mm", "Needed at least", "fine mm", True, "burden"),
           TableColumn("tube_mm", "Narrowest tube on file, inside", "fine mm", True), TableColumn("fill", "Fill"),
           TableColumn("grommet", "Hole and grommet"))
_WIRES = (TableColumn("run", "Run"), TableColumn("wire", "Wire"), TableColumn("what", "Size, colour"),
          TableColumn("outside_mm", "Outside", "fine mm", True, "burden"), TableColumn("label", "Label"))
_CLIPS = (TableColumn("rule", "Rule"), TableColumn("mm", "No further apart than", "mm", True, "limit"),
          TableColumn("source", "Source"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The runs, then the wires in each."""
    facts = build_facts(assessment)
    if not facts.bundles:
        yield Words("The plan has no runs: wires have lengths of their own, and no bundle is known.", "note")
        return
    yield from unsettled(assessment)
    yield from idle_left_out(facts)
    yield Table("runs", _RUNS, tuple(_run(assessment.plan, each) for each in facts.bundles),
                note=f"{BASIS} Clips: one at each end, no further apart than {writing.stated(clip_mm(), 'mm')}; the "
                     "rules differ, see below. Holes are rolled or bushed, or leave "
                     f"{writing.burden(hole_clearance_mm(), 'fine mm')} round the loom (AC 43.13-1B par. 11-115).")
    yield Table("covers", _COVERS, tuple(map(_cover, facts.bundles)), "Sleeves and grommets")
    yield Table("wires", _WIRES, tuple(
        (f"{bundle.number}  {bundle.title}", piece.number, wire_words(piece), piece.outside_mm, piece.label)
        for bundle in facts.bundles for piece in bundle.pieces), "Wires in each run", group="run")
    beside = [piece.number for piece in facts.needed if not piece.runs]
    if beside:
        yield Words(f"In no run by the plan: {', '.join(beside)}.", "note")
    yield Table("clip_rules", _CLIPS, tuple(
        (str(row["words"]), float(str(row["spacing_mm"])), str(row["document"])) for row in clip_spacing().rows()),
        "Distances between supports")


def _run(plan: Plan, bundle: Bundle) -> tuple[Cell, ...]:
    run, empty = bundle.run, not bundle.pieces
    length = None if run.length is None else float(run.length)
    return bundle.number, bundle.title, run.start.replace("_", " "), run.end.replace("_", " "), in_mm(length), \
        "not stated" if run.zone is None else part_name(plan, ("zone", run.zone)), float(len(bundle.pieces)), \
        writing.NONE if empty else bundle.diameter_mm, writing.NONE if empty else bundle.thickest_mm, \
        None if bundle.clips is None else float(bundle.clips), \
        writing.NONE if empty else bundle.bend_mm


def _cover(bundle: Bundle) -> tuple[Cell, ...]:
    run, empty = bundle.run, not bundle.pieces
    fill: Cell = writing.NONE if run.sleeve_inside is None else None if bundle.fill is None else \
        writing.burden(bundle.fill, "share") + (", too full" if bundle.is_too_full else "")
    tube = bundle.tube_mm
    return bundle.number, run.sleeve or "not stated", \
        writing.NONE if run.sleeve_inside is None else float(run.sleeve_inside) * 1000.0, \
        writing.NONE if empty else bundle.sleeve_inside_mm, \
        writing.NONE if empty else tube[0] if tube is not None else "none on file", fill, _hole(bundle)


def _hole(bundle: Bundle) -> Cell:
    if bundle.run.hole is None:
        return "no hole stated"
    size = writing.stated(float(bundle.run.hole) * 1000.0, "mm")
    if bundle.hole_is_tight is None:
        return f"{size}: not known whether it needs a grommet"
    return f"{size}: grommet" if bundle.hole_is_tight else f"{size}: room enough, bush the edge"


SHEET = Sheet("run-table", "Runs", 90, "bundle diameter, sleeve, grommet, clips and bends of every run", blocks,
              landscape=True)

"""The cut list: every wire with its length, ends and terminals; what is in the car already; in the order of cutting."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.buying import wire_item
from fuseplan.build.cutting import BASIS
from fuseplan.build.ends import EndPoint
from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.pairs import PairLine
from fuseplan.build.terminals import pull_out
from fuseplan.build.wires import Piece, end_joined
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import (
    CHECK,
    DONE,
    coil_wires_left_out,
    idle_left_out,
    in_mm,
    runs_note,
    runs_words,
    verdict_words,
    wire_words,
)
from fuseplan.papers.paper import Block, Cell, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.part_names import owner_title
from fuseplan.quantities import writing
from fuseplan.tables.building import cut_tolerance_mm

_CUT = (TableColumn("wire", "Wire"), TableColumn("material", "Size, insulation, colour"), TableColumn("of", "Of"),
        TableColumn("path_mm", "Path", "mm", True, "burden"), TableColumn("cut_mm", "Cut", "mm", True, "burden"),
        TableColumn("longer_mm", "May be longer by", "mm", True, "limit"),
        TableColumn("strip_start_mm", "Strip, start", "mm", True),
        TableColumn("strip_end_mm", "Strip, end", "mm", True), TableColumn("runs", "Runs"), CHECK, DONE)
_ENDS = (TableColumn("wire", "Wire"), TableColumn("label", "Label"), TableColumn("size", "Size"),
         TableColumn("from", "From"),
         TableColumn("terminal_start", "Terminal at the start"), TableColumn("to", "To"),
         TableColumn("terminal_end", "Terminal at the end"),
         TableColumn("pull_out_n", "Crimp holds at least", "N", True, "burden"), TableColumn("joints", "Joints"), DONE)
_THERE = (TableColumn("wire", "Wire"), TableColumn("label", "Label"),
          TableColumn("material", "Size, insulation, colour"), TableColumn("origin", "From which loom"),
          TableColumn("of", "Of"), TableColumn("from", "From"), TableColumn("to", "To"),
          TableColumn("joints", "Joints"), CHECK)


_PAIRS = (TableColumn("cable", "Cable"), TableColumn("wires", "Wires"), TableColumn("colours", "Colours"),
          TableColumn("twists", "Turns per metre", number=True), TableColumn("shield", "Shield"), DONE)


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Lengths first, sorted as they come off the reels; then the ends; then what is not cut."""
    facts = build_facts(assessment)
    cut = sorted((piece for piece in facts.needed if piece.is_cut),
                 key=lambda piece: (piece.area_mm2 or 0.0, wire_item(piece)))
    there = [piece for piece in facts.pieces if not piece.is_cut]
    yield Words("A wire is never cut shorter than stated. Read the verdict first: what fails is not built before it is "
                "put right.", "caution")
    if cut:
        alone = [piece for piece in cut if piece.key not in facts.cable_of]
        yield Table("cut", _CUT, (*(_cut(facts, piece) for piece in alone),
                                  *(_cable(facts, line) for line in facts.cables)), "Wires to cut",
                    group="material", note=f"{BASIS}{runs_note(facts)}")
        yield Table("ends", _ENDS, tuple(_ends(piece) for piece in cut), "Their ends", group="size",
                    note="Crimps: TE 114-2161 rev. F, commercial column, of the next thinner gauge; pulled for a "
                         "minute.")
    if facts.pairs:
        yield Table("pairs", _PAIRS, tuple(map(_pair, facts.pairs)), "Wires that stay together", note="Twisted up to "
                    "the splice and behind it, in one sleeve, in neighbouring cavities. New ones are cut and bought as "
                    "one length of cable, the longest any of their wires needs. A shield is earthed at one end alone, "
                    "that of the control unit; at the other it is cut back and insulated.")
    if there:
        yield Table("not_cut", _THERE, tuple(
            (piece.number, piece.label, wire_item(piece) if piece.segment.insulation else wire_words(piece),
             str(piece.segment.origin),
             owner_title(assessment.plan, piece.owner), piece.start.words, piece.end.words, _joints(piece),
             verdict_words(assessment, piece.owner))
            for piece in there), "Wires that are there: labelled and connected, not cut")
    yield from idle_left_out(facts)
    yield from coil_wires_left_out(facts)


def _cut(facts: BuildFacts, piece: Piece) -> tuple[Cell, ...]:
    # Joints part a wire: each length is cut by itself, and all of them stand in the cell.
    many = len(piece.cuts) > 1
    cut: Cell = " + ".join(writing.bare(each.cut_m * 1000.0, "mm", "burden") for each in piece.cuts) if many else \
        in_mm(piece.cut_m)
    over: Cell = " + ".join(writing.bare(each.over_mm, "mm", "limit") for each in piece.cuts) if many else \
        piece.cuts[0].over_mm if piece.cuts else None
    return piece.number, wire_item(piece), owner_title(facts.assessment.plan, piece.owner), in_mm(piece.path_m), cut, \
        over, piece.start.strip_mm, piece.end.strip_mm, runs_words(piece, facts), \
        verdict_words(facts.assessment, piece.owner), ""


def _cable(facts: BuildFacts, line: PairLine) -> tuple[Cell, ...]:
    """A cable as one length; how far each core is stripped stands at its end."""
    over = None if line.cut_m is None else cut_tolerance_mm(line.cut_m).value
    first = line.wires[0]
    return f"{line.name}: {', '.join(piece.number for piece in line.pieces)}", line.item, \
        owner_title(facts.assessment.plan, first.owner), in_mm(line.path_m), in_mm(line.cut_m), over, writing.NONE, \
        writing.NONE, runs_words(first, facts), verdict_words(facts.assessment, first.owner), ""


def _pair(line: PairLine) -> tuple[Cell, ...]:
    shield: Cell = f"{line.shield.number}: {'; '.join(line.earthed)}" if line.shield is not None else \
        None if line.is_shielded else writing.NONE
    twists: Cell = line.twists if line.twists is not None else None if len(line.wires) > 1 else writing.NONE
    return line.name, ", ".join(piece.number for piece in line.wires), \
        ", ".join(piece.colour for piece in line.wires), twists, shield, ""


def _ends(piece: Piece) -> tuple[Cell, ...]:
    force = None if piece.area_mm2 is None else pull_out(piece.area_mm2)
    return piece.number, piece.label, piece.size, piece.start.words, _terminal(piece.start), piece.end.words, \
        _terminal(piece.end), None if force is None else force.commercial_n, _joints(piece), ""


def _terminal(end: EndPoint) -> Cell:
    """What is crimped on; what the plan does not say is a question."""
    return None if "terminal" in end.lacking else end.crimped.words


def _joints(piece: Piece) -> Cell:
    """The joints on the way of a wire: how, and how far from its start; how far a wire of a loom is cut back for its
    joint. One at an end that is made into a splice stands with that splice."""
    back = [f"cut back {writing.bare(metres * 1000.0, 'mm', 'stated')} mm at {splice}"
            for splice, metres in (() if piece.draft is None else piece.draft.cut_back)]
    return "; ".join([*back, *(f"{joint.method or 'method not stated'} at " + (
        writing.UNKNOWN if joint.place is None else f"{writing.bare(float(joint.place) * 1000.0, 'mm', 'stated')} mm")
        for joint in piece.joints if end_joined(piece.segment, joint, piece.path_m) is None)]) or writing.NONE


SHEET = Sheet("cut-list", "Cut list", 40, "every wire: length, strip, terminals, from and to, in the order of cutting",
              blocks, landscape=True)

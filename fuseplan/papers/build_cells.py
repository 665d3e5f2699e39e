"""Cells that several papers for building share: whose a part is, what its verdict is, its fuse and its wire."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.coil_gaps import coil_gaps
from fuseplan.build.facts import BuildFacts
from fuseplan.build.fuse_maps import AnyFuse, FittedFuse
from fuseplan.build.wires import Piece
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.columns import PROPOSED, VERDICT_WORDS
from fuseplan.papers.paper import MEMORY_MARK, Cell, Marked, TableColumn, Words
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing

Owner = tuple[str, str]
DANGER = "✗ DANGER"
WARNING = "✗ FAILS"


def verdict_words(assessment: Assessment, owner: Owner) -> str:
    """What the checks say of the part: the verdict of a circuit, the worst finding about any other."""
    kind, name = owner
    levels = {finding.level for finding in assessment.findings_for(kind, name or kind) if not finding.measure}
    if "danger" in levels:
        return DANGER
    if kind == "circuit":
        return VERDICT_WORDS[assessment.verdict(name)]
    if "warning" in levels:
        return WARNING
    measures = any(finding.measure for finding in assessment.findings_for(kind, name or kind))
    return VERDICT_WORDS["measure"] if measures else writing.NONE


def unsettled(assessment: Assessment) -> Iterator[Words]:
    """Which circuits are not to be built yet, for papers whose rows bear no verdict; nothing where none is."""
    for kind, title in (("fails", "Put right before any of it is bought or built"),
                        ("unknown", "Not known to be safe: find out before any of it is bought or built")):
        names = [view.name for view in assessment.circuits
                 if view.verdict == kind and view.circuit.out_of_scope is None]
        if names:
            yield Words(f"{title}: {'; '.join(names)}.", "caution")
    names = [view.name for view in assessment.circuits if view.circuit.out_of_scope is not None]
    if names:
        yield Words(f"Not for this program, nothing on this paper is for it: {'; '.join(names)}.", "danger")


def coil_wires_left_out(facts: BuildFacts) -> Iterator[Words]:
    """Of whose relays the plan lacks coil wires, which are then in no list of wires; nothing where it has them all."""
    names = [each.title for each in facts.relays if any(coil_gaps(facts.assessment.plan, each.relay))]
    if names:
        yield Words("Not all coil wires of these relays are in the plan: what is missing is neither in the cut list "
                    f"nor in the buy list: {'; '.join(names)}.", "note")


def idle_left_out(facts: BuildFacts) -> Iterator[Words]:
    """That nothing is listed for feeds with nothing on them yet; nothing where there are none."""
    plan = facts.assessment.plan
    names = [title_of(plan, "feed", name) for name in plan.feed if name in facts.idle]
    if names:
        yield Words(f"Nothing on these feeds yet, so nothing is listed for them, not even wire: {'; '.join(names)}.",
                    "note")


def fuse_text(fuse: FittedFuse) -> str:
    """Rating and colour word of a fuse with its marks: ``15 A blue``, ``10 A red*``."""
    rating = fuse.result.rating_a
    if rating is None:
        return f"{writing.UNKNOWN} A"
    colour = f" {fuse.colour}{MEMORY_MARK if fuse.colour_from_memory else ''}" if fuse.colour else ""
    return f"{writing.rating(rating)}{colour}{'' if fuse.result.entered else PROPOSED}"


def rating_cell(fuse: AnyFuse) -> Cell:
    """The rating of a fuse in A."""
    rating = fuse.rating_a
    if rating is None:
        return None
    return rating if fuse.entered else Marked(rating, PROPOSED)


def colour_cell(fuse: AnyFuse) -> Cell:
    """The colour word of a fuse."""
    if not fuse.colour:
        return writing.NONE
    return Marked(fuse.colour, MEMORY_MARK) if fuse.colour_from_memory else fuse.colour


def wire_words(piece: Piece) -> str:
    """A wire shortly: ``2.5 mm² RDYE``."""
    return f"{piece.size} {piece.segment.colour or ''}".rstrip()


def runs_words(piece: Piece, facts: BuildFacts) -> str:
    """The numbers of the runs a wire lies in, in order: ``R1, R4``; a wire in none lies beside them."""
    numbers = {bundle.id: bundle.number for bundle in facts.bundles}
    return ", ".join(numbers[name] for name in piece.runs) or "no run stated"


def runs_note(facts: BuildFacts) -> str:
    """Where those numbers are found, behind another note; nothing where the plan has no runs."""
    return " R: number of a run, on the loom drawing and in the list of runs." if facts.bundles else ""


def in_mm(length_m: float | None) -> float | None:
    """A length in mm."""
    return None if length_m is None else length_m * 1000.0


CHECK = TableColumn("verdict", "Verdict")
DONE = TableColumn("done", "Done", fill_in=True)

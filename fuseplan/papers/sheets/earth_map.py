"""The earth map: every earth point, what lands on it in which order, its current, its torque."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.earth_map import STACKING, EarthPoint
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rules.too_many_wires_on_stud import MOST, RULE
from fuseplan.papers.build_cells import idle_left_out, unsettled, verdict_words, wire_words
from fuseplan.papers.paper import MEMORY_MARK, Block, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.part_names import owner_title, title_of
from fuseplan.quantities import writing
from fuseplan.tables.building import stud_drop

_LUGS = (TableColumn("order", "Order from the face", number=True), TableColumn("wire", "Wire"),
         TableColumn("what", "Size, colour"), TableColumn("of", "Of"), TableColumn("terminal", "Terminal"),
         TableColumn("torqued", "Tight", fill_in=True), TableColumn("read_mv", "mV read", fill_in=True))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The points from the battery outwards."""
    facts = build_facts(assessment)
    points = facts.earths
    yield from unsettled(assessment)
    yield from idle_left_out(facts)
    yield Words(STACKING, "note")
    yield Words(f"{RULE.source[0].upper()}{RULE.source[1:]}. The part's own torque comes first; published ones differ "
                "and are shown side by side.", "note")
    if not points:
        yield Words("The plan has no earth points yet.", "note")
    for point in points:
        yield Words(point.title, "heading")
        yield Pairs(tuple(_facts(assessment, point)))
        if point.lugs > MOST:
            yield Words(f"{point.lugs} lugs on one stud: fit a second stud.", "caution")
        lugs = sorted((*((piece, piece.end) for piece in (*point.landing, *point.straps)),
                       *((piece, piece.start) for piece in point.leaving)),
                      key=lambda lug: -(lug[0].area_mm2 or 0.0))
        if lugs:
            yield Table("lugs", _LUGS, tuple(
                (float(place), piece.number, wire_words(piece), owner_title(assessment.plan, piece.owner),
                 None if "terminal" in end.lacking else end.crimped.words, "", "")
                for place, (piece, end) in enumerate(lugs, 1)), about=point.title)


def _facts(assessment: Assessment, point: EarthPoint) -> Iterator[tuple[str, str]]:
    plan, earth = assessment.plan, assessment.plan.earth[point.result.id]
    yield "Leads to", title_of(plan, "earth", earth.upstream) if earth.upstream else \
        "nothing further: it is the battery's own post"
    yield "Most current", writing.burden(point.current_a, "A")
    highest = [each.highest_v for each in point.result.in_condition.values()]
    known = [abs(each) for each in highest if each is not None]
    yield "Earth drop", writing.EARTH_DROP(max(known)) if len(known) == len(highest) and known else writing.UNKNOWN
    yield "Earthed by their own body", "; ".join(point.bodies) or writing.NONE
    yield "Stud", earth.stud or "not stated"
    if earth.stud is not None:
        torques = [f"{each.what}: {_newton_metres(each.least_nm, each.most_nm)}"
                   f"{MEMORY_MARK if each.source.how == 'memory' else ''} ({each.source.document})"
                   for each in point.torques]
        yield "Published torques", "; ".join(torques) or "none on file for this thread"
        drop = stud_drop(earth.stud)
        if drop is not None:
            amps, volts = drop.value
            yield "Drop at the stud", f"at most {writing.stated(volts * 1000.0, 'mV')} at " \
                f"{writing.stated(amps, 'A')} ({drop.source.line()})"
    yield "Verdict", verdict_words(assessment, ("earth", point.result.id))


def _newton_metres(least: float, most: float) -> str:
    low, high = writing.typed(least), writing.typed(most)
    return f"{low} N m" if low == high else f"{low} to {high} N m"


SHEET = Sheet("earth-map", "Earth map", 60, "every earth point: what lands on it, stack order, torque, current", blocks)

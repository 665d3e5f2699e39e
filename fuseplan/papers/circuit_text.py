"""One circuit in detail as plain text."""

from __future__ import annotations

from collections.abc import Sequence

from fuseplan.build.coil_gaps import coil_gaps
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.papers.assumption_text import assumption_lines
from fuseplan.papers.columns import COLUMNS
from fuseplan.papers.device_columns import opens_words, order_words, survives_words
from fuseplan.papers.findings import source_words
from fuseplan.papers.harmless import shown, width
from fuseplan.papers.layout import table
from fuseplan.papers.not_checked_text import not_checked_lines
from fuseplan.papers.not_said_text import not_said_lines
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.supply_columns import SEGMENT_COLUMNS, place_words
from fuseplan.papers.text import findings_by_cause, notice_lines, title_lines, unknown_lines, verdict_lines
from fuseplan.plan.part_names import in_words
from fuseplan.plan.roles import roles
from fuseplan.quantities import writing
from fuseplan.results.coil import CoilResult
from fuseplan.results.segment import SegmentResult
from fuseplan.results.short_circuit import ShortCircuit


def circuit_report(assessment: Assessment, name: str, room: int = 100, paint: Paint = unpainted) -> str:
    """One circuit: its line of the table, its wires, its loads, its currents by condition, its findings."""
    view = assessment.circuit(name)
    parts = [
        [*title_lines(assessment, room, paint), *verdict_lines(assessment, room, paint, "The whole car: ")],
        _facts(view, room, paint),
        unknown_lines([view], room, paint),
        not_checked_lines(((shown(view.name), shown(words)) for words in view.not_checked), room, paint),
        not_said_lines(view.questions, assessment, room, paint),
        wire_lines(view.segments, "Wires", room, paint),
        _coil(view, room, paint),
        _loads(view, room, paint),
        _conditions(view, room, paint),
        findings_by_cause(view.findings, assessment, room, paint) or ["No findings about this circuit."],
        assumption_lines(view.assumed, assessment.plan, room, paint),
        notice_lines(assessment, room),
    ]
    return joined_parts(parts)


def _facts(view: JudgedCircuit, room: int, paint: Paint) -> list[str]:
    lines = [paint(f"{shown(view.name)} (circuit {shown(view.id)})", "heading")]
    size = max(width(column.heading) for column in COLUMNS)
    for column in COLUMNS[1:]:
        lines += paragraph(column.cell(view), room, f"  {column.heading:<{size}}  ")
    if view.current_known and view.circuit.out_of_scope is None:
        lines += paragraph(view.relay_need[1], room, f"  {'Why':<{size}}  ")
        demands = ", ".join(f"{writing.burden(view.demand_a(interval), 'A')} {words}" for interval, words in enumerate(
            ("for 5 s", "for 5 min", "continuous")))
        lines += paragraph(demands, room, f"  {'Demands':<{size}}  ")
    role = view.role or view.role_proposed
    if role is not None:
        confirmed = "" if view.role else "; taken from its name, to be confirmed"
        lines += paragraph(f"{roles()[role].title} ({role}){confirmed}", room, f"  {'Role':<{size}}  ")
    drop = view.drop
    if drop is not None:
        supply, back = writing.burden(drop.supply_v, "V"), writing.burden(drop.return_v, "V")
        where = shown(in_words(view.assessment.plan, "condition", drop.condition))
        lines += paragraph(f"{supply} supply, {back} return, in {where}", room, f"  {'Drop, where':<{size}}  ")
    for words, text in (("Short circuit", short_words(view.fault)), ("Caution", view.circuit.caution),
                        ("Note", view.circuit.note)):
        if text:
            lines += paragraph(shown(text), room, f"  {words:<{size}}  ")
    return lines


def _coil(view: JudgedCircuit, room: int, paint: Paint) -> list[str]:
    """The coil of its relay: its figures, and its wires where the plan has any."""
    coil = view.coil
    if coil is None:
        return []
    lines = paragraph(f"{coil_words(coil)}.", room, "  ")
    gaps = () if view.circuit.relay is None else coil_gaps(view.solved.results.plan, view.circuit.relay)
    return [paint("Relay coil", "heading"), *lines, *wire_lines(coil.segments, "", room, paint),
            *(line for gap in gaps for line in paragraph(f"Not in the plan: {gap}.", room, "  "))]


def wire_lines(segments: Sequence[SegmentResult], heading: str, room: int, paint: Paint) -> list[str]:
    """The wires of a part as a table, with what heats each."""
    if not segments:
        return []
    lines = table(segments, SEGMENT_COLUMNS, room, paint)[0]
    return [*([paint(heading, "heading")] if heading else []), *lines, *(
        line for segment in segments for line in paragraph(heat_words(segment), room, "  • ", "    "))]


def _loads(view: JudgedCircuit, room: int, paint: Paint) -> list[str]:
    lines = []
    for number, load in enumerate(view.circuit.load, 1):
        figure = load.current if load.current is not None else load.power
        words = [shown(load.name or f"load {number}"), f"{shown(figure) if figure is not None else writing.UNKNOWN}"
                 + (f" at {shown(load.at)}" if load.at is not None else ""), load.kind or "kind not given",
                 view.use_of(number - 1),
                 f"on with {shown(', '.join(load.when))}", f"current known by: {load.evidence or 'guess'}"]
        if load.source:
            words.append(f"source: {source_words(load.source)}")
        lines += paragraph("; ".join(words), room, "  • ", "    ")
    return [paint("Loads", "heading"), *lines] if lines else []


def _conditions(view: JudgedCircuit, room: int, paint: Paint) -> list[str]:
    if not view.has_figures:
        return []
    lines = []
    for condition in view.assessment.conditions:
        here = view.in_condition[condition.id]
        if not here.live:
            words = "dead"
        elif here.current_a == 0:
            words = "live, off"
        else:
            at_loads = ", ".join(writing.limit(volt, "V") for volt in here.load_v)
            words = f"{writing.burden(here.current_a, 'A')}, {at_loads} at its loads"
        lines += paragraph(f"{shown(condition.name)}: {words}", room, "  ", "    ")
    return [paint("By condition", "heading"), *lines]


def coil_words(coil: CoilResult) -> str:
    """``fed from 'Coils 87': 0.14 A, 11.4 V across it at the lowest; largest fuse for its wires 7.7 A``."""
    feed = shown(in_words(coil.solved.results.plan, "feed", coil.feed))
    words = f"fed from {feed}: {writing.burden(coil.current_a, 'A')}, " \
            f"{writing.limit(coil.volts, 'V')} across it at the lowest"
    if coil.wires is None:
        return words
    return f"{words}; largest fuse for its wires {writing.LARGEST_FUSE(coil.wires.largest_fuse_a)}, " \
           f"a short at its terminals draws {writing.limit(coil.wires.far_end_a, 'A')}"


def heat_words(view: SegmentResult) -> str:
    """Table and heat balance beside one another, the steady temperature, and the end of a short."""
    return f"{place_words(view)}: {'; '.join([_allowances(view), _steady(view), _short(view)])}"


def _allowances(view: SegmentResult) -> str:
    if view.table_ampacity_a is None:
        return "no ampacity on file"
    words = f"alone {writing.limit(view.table_ampacity_a, 'A')} by the table"
    if view.heat_balance_ampacity_a is None:
        return words
    words += f", {writing.limit(view.heat_balance_ampacity_a, 'A')} by heat balance"
    share = view.heat_balance_over_table
    if share is not None and view.disagrees:
        gap = writing.burden(abs(share - 1.0), "share")
        return f"{words}, {gap} {'LESS' if share < 1 else 'more'} than the table; the lower holds"
    return words


def _steady(view: SegmentResult) -> str:
    if view.temperature_c is None:
        return "steady temperature not known"
    return f"steady {writing.burden(view.temperature_c, '°C')} by heat balance"


def _short(view: SegmentResult) -> str:
    if view.fault_a is None:
        return "short: not known" if view.side == "supply" else "short: several fuses protect it together"
    fault = writing.limit(view.fault_a, "A")
    if view.fault_temperature_c is None:
        return f"short of {fault}: no published limits on file"
    reached = writing.burden(view.fault_temperature_c, "°C")
    end = {True: "survives", False: "DOES NOT survive", None: "not shown to survive"}[view.survives]
    return f"short of {fault}: at most {reached}, {end}"


def short_words(fault: ShortCircuit) -> str:
    """A circuit's short at the far end: current, clearing time, wire, selectivity."""
    words = [f"{writing.limit(fault.far_end_a, 'A')} at the far end", f"clears {opens_words(fault)}",
             f"wire {survives_words(fault)}"]
    if fault.prospective_a is not None:
        words.insert(0, f"{writing.burden(fault.prospective_a, 'A')} prospective")
    if fault.selectivity is not None:
        words.append(f"with the fuse above: {order_words(fault)}")
    return ", ".join(words)

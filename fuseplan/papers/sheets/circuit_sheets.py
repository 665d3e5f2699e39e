"""Circuit sheets: one a circuit, the whole way from the battery to the loads and back, with what to expect on it."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.paths import Step
from fuseplan.build.terminals import holder_words
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.relays import switch_rated
from fuseplan.papers.build_cells import in_mm, runs_note, runs_words, wire_words
from fuseplan.papers.cautions import stop
from fuseplan.papers.columns import PROPOSED, VERDICT_WORDS, fuse_words, range_words
from fuseplan.papers.findings import LEVEL_WORDS, figure_words, finding_level, fix_words, source_words
from fuseplan.papers.limits_text import NO_CIRCUITS
from fuseplan.papers.paper import Block, Cell, NewPage, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.tables.fuses import kind_words

_WAY = (TableColumn("part", "Part"), TableColumn("where", "Which, and where"), TableColumn("wire", "Wire"),
        TableColumn("cut_mm", "Cut", "mm", True, "burden"), TableColumn("runs", "Runs"),
        TableColumn("volts_v", "Expected", "V", True, "limit"), TableColumn("amps_a", "Expected", "A", True, "burden"),
        TableColumn("read", "Read", fill_in=True))
_FINDINGS = (TableColumn("level", "Level"), TableColumn("message", "What is wrong"), TableColumn("figures", "Figure"),
             TableColumn("fix", "Fix"), TableColumn("source", "Source"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The circuits in the order of the plan, a page each."""
    facts = build_facts(assessment)
    if not assessment.plan.circuit:
        yield Words(NO_CIRCUITS, "note")
    for number, (name, circuit) in enumerate(assessment.plan.circuit.items(), 1):
        if number > 1:
            yield NewPage()
        yield Words(title_of(assessment.plan, "circuit", name), "heading")
        if circuit.out_of_scope is not None:
            yield Words(f"Out of scope ({circuit.out_of_scope.replace('_', ' ')}): no figures. {stop()}", "danger")
        else:
            yield from _circuit(facts, name)


def _circuit(facts: BuildFacts, name: str) -> Iterator[Block]:
    way = facts.path(name)
    view, circuit, plan = way.view, way.view.circuit, facts.assessment.plan
    relay, switch, drop = circuit.relay, circuit.switch, view.drop
    items = [("Verdict", VERDICT_WORDS[view.verdict]),
             ("Feed", title_of(plan, "feed", circuit.feed) if circuit.feed else writing.UNKNOWN),
             ("Load current", writing.burden(view.load_a, "A")),
             ("Fuse", _fuse(facts, name)),
             ("Wire", writing.wire_size(view.wire) or writing.UNKNOWN),
             ("Voltage drop / limit", writing.UNKNOWN if drop is None else writing.drop(drop.judged_v, drop.limit_v))]
    if relay is not None:
        items.append(("Relay", f"{relay.contact.replace('_', ' ')}, coil suppression: {relay.suppression or '?'}"))
    elif switch is not None:
        items.append(("Switch", "rating not stated" if switch.rating is None else
                      switch_rated(float(switch.rating), switch.rated_for)))
    items += [("Must be live", ", ".join(circuit.must_run) or "not stated"),
              ("Must be dead", ", ".join(circuit.must_stop) or "not stated"),
              ("Expected values", way.condition.called if way.condition is not None else
               "not known: never on in any condition, or something is missing")]
    yield Pairs(tuple(items))
    if view.verdict == "unknown":
        yield Words("Not known: " + "; ".join((*view.missing, *view.why_unknown)) +
                    ". Nothing below says that it is safe.", "danger")
    yield Table("way", _WAY, tuple(_step(facts, step) for step in way.steps),
                note=f"Voltages: of a feed against battery {plan.vehicle.earthed}, across a load, between an earth "
                     f"point and battery {plan.vehicle.earthed}.{runs_note(facts)}", about=view.name)
    if way.coil:
        yield Table("coil", _WAY, tuple(_step(facts, step) for step in way.coil), "The coil of its relay",
                    about=view.name)
    for gap in way.gaps:
        yield Words(f"Not in the plan: {gap}.", "note")
    if view.findings:
        yield Table("findings", _FINDINGS, tuple(
            (LEVEL_WORDS[finding_level(each)], each.message, figure_words(each), fix_words(each, facts.assessment),
             source_words(each.source))
            for each in view.findings), "Findings", about=view.name)
    for text in dict.fromkeys((*((circuit.caution,) if circuit.caution else ()),
                               *(each.caution for each in view.findings if each.caution))):
        yield Words(text, "caution")
    if circuit.note:
        yield Words(f"Note: {circuit.note}", "note")


def _fuse(facts: BuildFacts, name: str) -> str:
    view = facts.assessment.circuit(name)
    fuse = view.circuit.fuse
    if fuse is None or view.fuse is None:
        return fuse_words(view.fuse, view.is_unfused)
    where = f"position {fuse.position}" if fuse.position else holder_words(fuse.holder) if fuse.holder else \
        "position not stated"
    colour = f" {view.fuse.colour}" if view.fuse.colour else ""
    words = writing.UNKNOWN if view.fuse.rating_a is None else \
        f"{writing.rating(view.fuse.rating_a)}{colour}{'' if view.fuse.entered else PROPOSED}"
    between = view.fuse.range_a
    fits = f"no fuse fits: smallest for the load {writing.SMALLEST_FUSE(between.low)}, largest behind it " \
        f"{writing.LARGEST_FUSE(between.high)}" if between.is_empty else f"range {range_words(view.fuse)} A"
    return f"{words}, {kind_words(fuse.kind)}, {where}; {fits}"


def _step(facts: BuildFacts, step: Step) -> tuple[Cell, ...]:
    piece = step.piece
    volts: Cell = step.volts if step.what in ("feed", "load", "earth point") else writing.NONE
    amps: Cell = writing.NONE if step.amps is None and step.what not in ("feed", "load", "earth point") else step.amps
    if piece is None:
        return step.what, step.words, writing.NONE, writing.NONE, writing.NONE, volts, amps, ""
    cut: Cell = in_mm(piece.cut_m) if piece.is_cut else "not cut"
    return step.what, f"{piece.number}: {step.words}", wire_words(piece), cut, runs_words(piece, facts), volts, amps, ""


SHEET = Sheet("circuit-sheets", "Circuit sheets", 30, "one a circuit: the whole path with expected volts and amps",
              blocks)

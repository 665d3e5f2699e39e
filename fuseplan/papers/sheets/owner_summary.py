"""The owner's summary: what whoever opens the bonnet next must know, on a page or two."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.facts import build_facts
from fuseplan.build.terminals import holder_words
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.isolators import (
    alternator_left,
    earth_isolators,
    fed_before,
    fed_by_second_batteries,
    supply_isolators,
)
from fuseplan.papers.build_cells import fuse_text
from fuseplan.papers.cautions import cautions, notice
from fuseplan.papers.paper import Block, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.papers.summary import verdict
from fuseplan.plan.part_names import owner_title, part_name, title_of
from fuseplan.plan.parts import Switch
from fuseplan.plan.words import STATES, CutOff
from fuseplan.quantities import writing

_FUSES = (TableColumn("protects", "Protects"), TableColumn("fuse", "Fuse"), TableColumn("where", "Where"))
_LIVE = (TableColumn("what", "What"), TableColumn("fuse", "Fuse"), TableColumn("note", "Note"))
_CHANGES = (TableColumn("date", "Date"), TableColumn("what", "What was changed"))
_TOPICS = 4
STOPPED_BY: dict[CutOff, str] = {
    "ecu": "the control unit", "oil_pressure": "an oil pressure switch",
    "tachometric_relay": "a relay that holds while ignition pulses come",
    "alternator": "a relay that holds while the alternator charges", "inertia": "a crash (inertia) switch",
    "none": "nothing besides the key"}
"""What stops a pump, in words."""


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Battery and main fuses, what is live with the key off, unfused wires, what to leave alone, the last changes."""
    facts, plan = build_facts(assessment), assessment.plan
    role, words = verdict(assessment)
    yield Words(words, "danger" if role == "danger" else "plain")
    battery = plan.battery
    zone = None if battery is None or battery.zone is None else part_name(plan, ("zone", battery.zone))
    yield Pairs((("Car", plan.vehicle.name or "not named"),
                 ("System", f"{plan.vehicle.system}, {plan.vehicle.earthed} earth"),
                 ("Battery stands in", zone or "not stated"),
                 ("To make it dead", "key off; wait until pumps and fans have stopped; then the battery's earth lead "
                  "off, before any other"),
                 *(("Second battery", f"{title_of(plan, 'circuit', name)}: its wire stays live from that end; take the "
                    "earth lead off there, too")
                   for name, circuit in plan.circuit.items() if circuit.second_battery is not None),
                 ("Fuse boxes", "; ".join(box.title for box in facts.boxes) or "none in the plan")))
    main = [fuse for fuse in facts.fuses if fuse.owner[0] != "circuit"]
    if main:
        yield Table("main_fuses", _FUSES, tuple(
            (fuse.title, fuse_text(fuse), fuse.position or (holder_words(fuse.holder) if fuse.holder else "not stated"))
            for fuse in main), "Main fuses and feeds")
    if facts.far_fuses:
        yield Table("far_fuses", _FUSES, tuple(
            (fuse.title, None if fuse.rating_a is None else writing.rating(fuse.rating_a),
             holder_words(fuse.holder) if fuse.holder else fuse.position or "not stated")
            for fuse in facts.far_fuses), "Fuses at second batteries")
    off = STATES.index("off")
    live = [line for line in facts.states if line.live[off]]
    if live:
        fuses = {fuse.owner: fuse_text(fuse) for fuse in facts.fuses}
        yield Table("live_off", _LIVE, tuple(
            (owner_title(assessment.plan, (line.kind, line.id)), fuses.get((line.kind, line.id), "no fuse of its own"),
             (plan.circuit[line.id].caution or "") if line.kind == "circuit" else "") for line in live),
            "Has voltage with the key off", note="A relay that is off still has voltage on pin 30 where its feed has.")
    unfed = [line.title for line in facts.states if not line.fed]
    if unfed:
        yield Words("Not known whether it has voltage with the key off, as what feeds it is not stated: "
                    f"{'; '.join(unfed)}. Treat it as live.", "caution")
    stopped = [(f"{title_of(plan, 'circuit', name)} is stopped by",
                ", ".join(map(STOPPED_BY.__getitem__, circuit.cut_off)))
               for name, circuit in plan.circuit.items() if circuit.cut_off]
    stopped += [("Battery isolator", f"switch of {title_of(plan, 'feed', name)}; it also opens: "
                 + _also_opens(feed.switch))
                for name, feed in plan.feed.items() if feed.switch is not None and feed.switch.also_opens]
    stopped += [("Battery isolator", f"in the earth lead from {title_of(plan, 'earth', name)}; it also opens: "
                 f"{_also_opens(switch)}; every supply wire stays live with it open")
                for name in earth_isolators(plan) if (switch := plan.earth[name].switch) is not None]
    isolators = supply_isolators(plan)
    if isolators and (before := fed_before(plan, isolators)):
        stopped.append(("Live with it open", "fed from before the isolator: "
                        + ", ".join(title_of(plan, "circuit", name) for name in before)))
    if left := alternator_left(plan, isolators):
        stopped.append(("Live with it open", left))
    stopped += [("Live with it open", f"fed by the second battery of {title_of(plan, 'circuit', still.link)} while the "
                 "two are joined: " + ", ".join(title_of(plan, "circuit", name) for name in still.circuits))
                for still in fed_by_second_batteries(plan)]
    if stopped:
        yield Pairs(tuple(stopped))
    yield from _unfused(assessment)
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is not None:
            yield Words(f"{title_of(plan, 'circuit', name)} ({circuit.out_of_scope.replace('_', ' ')}): leave it "
                        "alone. Its maker's procedure and a qualified person.", "danger")
    if plan.change:
        yield Table("changes", _CHANGES, tuple((each.date, each.what) for each in plan.change), "Changes")
    for each in cautions()[:_TOPICS]:
        yield Words(f"{each.title}: {each.text}", "caution")
    yield Words(notice(), "note")


def _also_opens(switch: Switch) -> str:
    """What an isolator opens beside the battery lead."""
    if switch.also_opens is None:
        return "not stated"
    return ", ".join("nothing" if each == "none" else each.replace("_", " ") for each in switch.also_opens)


def _unfused(assessment: Assessment) -> Iterator[Block]:
    """Wires no fuse protects."""
    found = [f"{title_of(assessment.plan, 'feed', view.id)} (feed)" for view in assessment.feeds if view.is_unfused]
    found += [view.name for view in assessment.circuits if view.is_unfused]
    if found:
        yield Words(f"No fuse protects the wires of: {', '.join(found)}. A short there burns until the battery is off.",
                    "danger")
    else:
        yield Pairs((("Wires without a fuse", writing.NONE),))


SHEET = Sheet("owner-summary", "For whoever opens the bonnet next", 140, "main fuses, what is live with the key off, "
              "what to leave alone", blocks, tagged=True)

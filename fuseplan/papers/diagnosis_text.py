"""A diagnosis as text and as a document: the suspects in order with their evidence, and the reading to take next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from fuseplan.bench.diagnosis_points import SUPPLY
from fuseplan.bench.diagnosis_records import Diagnosis, Evidence, NextReading, Suspect
from fuseplan.bench.drain_hunt import DRAIN
from fuseplan.bench.meter_figures import about, band
from fuseplan.bench.meter_figures import shown as figure
from fuseplan.bench.sheet import condition_words
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.bench_text import CAUTION
from fuseplan.papers.bench_words import where_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.results.address import split

MOST_SHOWN, LEAST_WEIGHT = 3, 0.02
FAR = 2.0
"""A reading this many standard deviations from what a car in good order shows speaks for a fault."""
FIX = {
    "holder": "Pull the fuse, look at both contacts: clean and tighten them, or replace the holder.",
    "fuse": "Replace the fuse by one of the same rating.",
    "contact": "Replace the relay or switch; look at its socket for a loose or burnt terminal.",
    "wire": "Look at plugs and joints first, then at the wire where it bends, rubs or gets hot.",
    "own_wire": "Look at plugs and joints first, then at the wire where it bends, rubs or gets hot.",
    "return": "Undo the earth joint, clean it to bare metal, tighten it, grease it; then look at the plug.",
    "own_return": "Undo the earth joint, clean it to bare metal, tighten it, grease it; then look at the plug.",
    "cable": "Clean and tighten both ends of the cable; look at its fuse and terminals.",
    "strap": "Look whether strap or cable is there at all; clean both ends to bare metal and tighten them.",
}
FIX_BY_KIND = {
    "healthy": "Nothing to do; what was not read is not judged.",
    "open_fuse": "Find out why it blew before you fit another: never a larger one.",
    "short_to_earth": "Never fit a larger fuse. Unplug the loads, find where the wire rubs or is pinched; the ohms "
                      "from the fuse to the short over those of the whole wire tell how far along.",
    "short_across_load": "Unplug its loads one at a time: the short goes with the one that has it. Never fit a larger "
                         "fuse.",
    "load_strong": "Compare the part with the plan: wrong bulb or motor, or it is stiff. If the part is right, let the "
                   "plan take the reading over.",
    "load_weak": "Compare the part with the plan: wrong bulb, worn brushes, a string that is dead. If the part is "
                 "right, let the plan take the reading over.",
    "load_open": "Look whether it is plugged in; then replace it.",
    "coil_open": "Replace the relay; look at terminals 85 and 86 of its socket.",
    "coil_not_driven": "Look at what drives the coil: switch, control unit output, coil wire and coil fuse.",
    "contact_87a": "Move the wire in the relay socket from 87a to 87.",
    "diode_reversed": "Pull the relay: volts that come back at its socket mean the diode. Turn it round: the marked "
                      "end to the coil's positive side.",
    "feeds_swapped": "Swap the wires at 30 and at the coil terminal fed from the other feed.",
    "wires_swapped": "Unplug both loads, switch on one circuit: the volts must be at its own plug.",
    "sneak_path": "Switch the other circuit off: what is left on this wire must go to 0 V. Part the wires or fit a "
                  "diode.",
    "drain": "Unplug what is on it one at a time, watching the drain; do not pull fuses: that wakes control units.",
    "weak_battery": "Charge it, let it rest for two hours, read it again; then a load test.",
    "weak_battery_ohm": "Clean and tighten both post clamps; then a load test.",
    "not_charging": "Belt, exciter wire and its lamp, fuse and ends of its cable; then brushes and regulator.",
    "diode_failed": "Have the alternator overhauled or replace it.",
    "contact_stuck": "Pull the relay: if the load goes off, replace it or see what keeps its coil fed; if not, another "
                     "live wire reaches this one.",
}


def subject_words(assessment: Assessment, circuit: str) -> str:
    """What a diagnosis is about: a circuit by its name, or battery and alternator."""
    if circuit == DRAIN:
        return "Parked car"
    return "Battery and alternator" if circuit == SUPPLY else shown(title_of(assessment.plan, "circuit", circuit))


def fix_words(suspect: Suspect) -> str:
    """What to do about a suspect."""
    fault = suspect.fault
    steps = [each for each in split(fault.place) if not each.isdigit()]
    what = steps[-1] if steps else ""
    if fault.kind == "open" and what == "fuse":
        return FIX_BY_KIND["open_fuse"]
    return FIX_BY_KIND.get(fault.kind) or FIX.get(what, "")


def size_words(suspect: Suspect) -> str:
    """How large a fault is: ``about 310 mΩ``; empty where it has no size."""
    if suspect.size is None:
        return ""
    if suspect.fault.kind == "drain":
        return f"about {writing.stated(_two_digits(suspect.size * 1e3), 'mA')} too much"
    if suspect.fault.kind == "weak_battery":
        return f"about {writing.stated(_two_digits(suspect.size), 'V')} too low"
    if suspect.fault.kind == "diode_failed":
        return f"about {writing.stated(math.floor(100.0 * suspect.size), '%')} of its output left"
    if suspect.fault.kind in ("resistance", "weak_battery_ohm"):
        large = suspect.size >= 1.0
        return f"about {writing.stated(_two_digits(suspect.size * (1.0 if large else 1e3)), 'Ω' if large else 'mΩ')}"
    return f"about {writing.stated(_two_digits(suspect.size))} times the planned current"


def share_words(weight: float) -> str:
    """How probable a fault is among all that were tried."""
    percent = math.floor(weight * 100.0)
    return "over 99 %" if percent >= 99 else "under 1 %" if percent < 1 else writing.stated(float(percent), "%")


def diagnosis_lines(found: Diagnosis, assessment: Assessment, room: int = 100, paint: Paint = unpainted,
                    command: bool = True) -> list[str]:
    """The suspects in order with the evidence for the first ones, and what to read next; with the command, if asked."""
    return [*_body(found, assessment, room, paint, command), "", *paragraph(CAUTION, room, "⚠ ")]


def _body(found: Diagnosis, assessment: Assessment, room: int, paint: Paint, command: bool = True) -> list[str]:
    title = subject_words(assessment, found.circuit)
    count = len(found.suspects[0].evidence)
    lines = [paint(f"Diagnosis of '{title}' from {writing.counted(count, 'reading')}", "heading")]
    if not count:
        lines += paragraph("Nothing was read yet that tells anything about this circuit.", room, "  ")
    else:
        lines += _suspect_lines(found, room, paint)
    if found.next is not None and not found.settled:
        lines += _next_lines(found.next, assessment, found.circuit, room, paint, command)
    elif count and not found.settled and len(found.alike) > 1:
        lines += paragraph("No reading tells these apart: the list is the order to look in.", room, "  ")
    if count:
        lines += [paint("Evidence for the first of them", "heading"), *evidence_lines(found.suspects[0].evidence, room)]
    if found.unused:
        lines += paragraph("Not used here: " + ", ".join(each.point.address for each in found.unused) + ".", room, "  ")
    return lines


def likely(found: Diagnosis) -> list[Suspect]:
    """The suspects that are named: the first few, as far as they are probable at all; one at least."""
    return [each for each in found.suspects[:MOST_SHOWN] if each.weight >= LEAST_WEIGHT] or [found.suspects[0]]


def by_what_they_say(evidence: Sequence[Evidence]) -> list[Evidence]:
    """Readings with those first that speak for a fault."""
    return sorted(evidence, key=lambda each: not speaks(each))


def _suspect_lines(found: Diagnosis, room: int, paint: Paint) -> list[str]:
    lines: list[str] = []
    for number, each in enumerate(likely(found), 1):
        size = size_words(each)
        head = paragraph(f"{shown(each.fault.words)}{f', {size}' if size else ''} ({share_words(each.weight)})", room,
                         f"  {number}. ", " " * 5)
        role = "ok" if each.fault.kind == "healthy" else "danger" if number == 1 else "warning"
        lines += [paint(line, role) for line in head]
        lines += paragraph(fix_words(each), room, " " * 5)
    return lines


def evidence_lines(evidence: Sequence[Evidence], room: int) -> list[str]:
    """What was read, what a car in good order shows, what this fault shows; what speaks for a fault first."""
    lines: list[str] = []
    for each in by_what_they_say(evidence):
        mark = "! " if speaks(each) else "  "
        lines += paragraph(
            f"{shown(each.point.title)}, {shown(each.point.words)}: read {figure(each.read, each.point)}; in good "
            f"order {good_words(each)}; with this fault {about(each.with_fault, each.point.unit)}", room,
            f"  {mark}", " " * 6)
    return lines


def speaks(each: Evidence) -> bool:
    """Whether a reading is not what a car in good order shows."""
    if each.point.unit == "ohm":
        read, good = (min(max(value, 0.0), 1e7) + 1.0 for value in (each.read, each.healthy))
        return abs(math.log(read / good)) > FAR * max(each.healthy_spread, 0.2)
    return abs(each.read - each.healthy) > FAR * each.healthy_spread


def good_words(each: Evidence) -> str:
    """What a car in good order shows, with its band."""
    if each.point.unit == "ohm":
        return about(each.healthy, each.point.unit)
    spread = FAR * each.healthy_spread
    return band(each.healthy, each.healthy - spread, each.healthy + spread, each.point.unit)


def _two_digits(value: float) -> float:
    """A figure to two digits."""
    if not value:
        return value
    digit = 1 - math.floor(math.log10(abs(value)))
    tens: float = 10.0**abs(digit)
    return math.floor(value * tens + 0.5) / tens if digit > 0 else math.floor(value / tens + 0.5) * tens


def _next_lines(asked: NextReading, assessment: Assessment, circuit: str, room: int, paint: Paint, command: bool
                ) -> list[str]:
    point = asked.point
    lines = [paint(line, "heading") for line in paragraph(
        f"Read next: {shown(point.title)}, {shown(point.words)}; {asked_condition(asked, assessment, circuit)}", room,
        "  ", " " * 4)]
    lines += paragraph(shown(where_words(point)), room, " " * 4)
    for fault, value in asked.shows:
        lines += paragraph(f"{about(value, point.unit)}: {shown(fault.words)}", room, " " * 4, " " * 8)
    if not command:
        return [*lines, *paragraph(f"Back on the test sheet type it into its row, or {point.address}=…", room, " " * 4)]
    condition = f" --condition {asked.condition}" if asked.condition not in ("unpowered",) else ""
    of = f" {circuit}" if circuit not in (SUPPLY, DRAIN) else ""
    return [*lines, *paragraph(f"fuseplan bench PLAN{condition} --read {point.address}=… --diagnose{of}", room,
                               " " * 4, " " * 8)]


def asked_condition(asked: NextReading, assessment: Assessment, circuit: str) -> str:
    """The condition of the next reading in words."""
    if asked.condition == "alone" and asked.point.kind != "circuit":
        return f"'{subject_words(assessment, circuit)}' on alone"
    return condition_words(assessment, asked.point, asked.condition)


def diagnosis_document(found: Diagnosis) -> dict[str, Any]:
    """A diagnosis as a document; figures in V, A and ohm, sizes in ohm or as multiples of the planned current."""
    return {
        "circuit": found.circuit, "settled": found.settled,
        "suspects": [{"fault": each.fault.kind, "place": each.fault.place, "words": each.fault.words,
                      "weight": each.weight, "size": each.size, "fix": fix_words(each),
                      "evidence": [{"point": one.point.address, "condition": one.condition, "read": _number(one.read),
                                    "in_good_order": _number(one.healthy), "spread": one.healthy_spread,
                                    "with_fault": _number(one.with_fault)} for one in each.evidence]}
                     for each in found.suspects[:10]],
        "next": None if found.next is None else {
            "point": found.next.point.address, "condition": found.next.condition, "bits": found.next.bits,
            "shows": [{"fault": fault.id, "value": _number(value)} for fault, value in found.next.shows]},
        "unused": [each.point.address for each in found.unused]}


def _number(value: float) -> float | str:
    """A figure, or that it is open."""
    return "open" if math.isinf(value) else value


def overview_lines(found: Sequence[Diagnosis], refused: Sequence[str], assessment: Assessment, room: int = 100,
                   paint: Paint = unpainted) -> list[str]:
    """The first suspect of every circuit that was read, faults first, and why others that were read have none; battery
    and alternator whole, at the end."""
    whole = (SUPPLY, DRAIN)
    circuits = [each for each in found if each.circuit not in whole]
    count = len(circuits) + len(refused)
    lines = [paint(f"{writing.counted(count, 'circuit')} read", "heading")]
    for each in sorted(circuits, key=lambda one: one.suspects[0].fault.kind == "healthy"):
        first = each.suspects[0]
        size = size_words(first)
        told = paragraph(f"{subject_words(assessment, each.circuit)}: {shown(first.fault.words)}"
                         f"{f', {size}' if size else ''} ({share_words(first.weight)})", room, "  ", " " * 4)
        lines += told if first.fault.kind == "healthy" else [paint(line, "danger") for line in told]
    for why in refused:
        lines += [paint(line, "warning") for line in paragraph(shown(why), room, "  ", " " * 4)]
    for each in found:
        if each.circuit in whole:
            lines += ["", *_body(each, assessment, room, paint)]
    if not found and not refused:
        lines += paragraph("Store readings first: fuseplan bench PLAN --read circuit.ID.current=…", room, "  ")
    return [*lines, "", *paragraph(CAUTION, room, "⚠ ")]

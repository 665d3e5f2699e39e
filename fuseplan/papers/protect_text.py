"""What ``fuseplan protect`` prints: the picture of one circuit with its figures, or the table of all devices."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import asdict
from typing import Any

import numpy as np

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.rule import Finding
from fuseplan.engine.clearing import limits
from fuseplan.engine.inrush import MAY_BLOW, WITHSTOOD
from fuseplan.engine.picture import Picture as Curves
from fuseplan.papers.cautions import caution, notice, stop
from fuseplan.papers.columns import PROPOSED_NOTE
from fuseplan.papers.device_columns import (
    DEVICE_COLUMNS,
    NOTHING,
    device_rows,
    opens_words,
    order_words,
    survives_words,
)
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import section
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.plots import text_plot
from fuseplan.papers.text import findings_lines, title_lines
from fuseplan.papers.time_current import device_words, time_current
from fuseplan.quantities import writing
from fuseplan.results.document import to_document
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.results.solved_plan import known
from fuseplan.tables import fuses as fuse_tables

PROTECTION_CHECKS = frozenset({
    "alternator-cable-unfused", "automatic-reset-breaker", "blows-at-switch-on", "breaking-capacity",
    "connection-overloaded", "fuse-exceeds-equipment", "fuse-exceeds-strap", "fuse-exceeds-wire",
    "fuse-far-from-battery", "fuse-too-small", "fuse-voltage-too-low", "no-fuse", "no-fuse-fits", "no-such-fuse-rating",
    "no-trip-far-end", "not-selective", "second-battery-unprotected", "thinner-wire-unprotected",
    "unsuitable-fusible-link", "wire-damaged-by-short", "wire-overloaded", "wrong-fuse-position",
})
PLOT_ROWS = 18
_WITHSTOOD = {WITHSTOOD: "the fuse withstands it", MAY_BLOW: "the fuse may blow"}
_HEATING = ("Wire: adiabatic heating up to 5 s, K = 226 A·√s/mm² for copper (IEC 60949, from memory); final "
            "temperatures of IEC 60364-4-43 table 43A (from memory).")
_BOUND = ("Above the last printed multiple the greatest time follows from the heat I²t, which does not grow with the "
          "current (derived, no table prints it). Where no times of a type are on file, its time follows from its "
          "maker's sheet, as the plan states it (blows_at). Far-end shorts: battery alone and cold, wires hot.")


def protect_report(assessment: Assessment, circuit: str, room: int = 100, paint: Paint = unpainted) -> str:
    """The picture of one circuit, what it says in words, its findings, sources and cautions."""
    title = "\n".join(title_lines(assessment, room, paint))
    return f"{title}\n\n{circuit_text(assessment, circuit, room, paint)}"


def circuit_text(assessment: Assessment, circuit: str, room: int = 100, paint: Paint = unpainted,
                 drawn: bool = True) -> str:
    """The same without the title of the plan; without the picture, where that is drawn beside it."""
    view, silent = assessment.circuit(circuit), silent_words(assessment.circuit(circuit))
    parts: list[list[str]] = []
    if silent is not None:
        parts.append(paragraph(silent, room))
    else:
        picture, curves = time_current(assessment, circuit)
        parts += [text_plot(picture, min(room, 100), PLOT_ROWS) if drawn else [], _facts(view, curves, room, paint)]
    found = protection_findings(view)
    parts.append(findings_lines(found, assessment, room, paint) or ["No findings about its protection."])
    parts.append(_sources(assessment, [view.fault.device, view.fault.upstream], room, paint) if silent is None else [])
    parts.append([*paragraph(caution("fuses").text, room, "⚠ "), *paragraph(notice(), room, "⚠ ")])
    return joined_parts(parts)


def protection_findings(view: JudgedCircuit) -> list[Finding]:
    """Findings about a circuit's protection: its own, those of the device that guards it, and the order above that."""
    own = [each for each in view.findings if each.check in PROTECTION_CHECKS]
    return [*own, *(each for each in device_findings(view.assessment, view.fault) if each not in own)]


def device_findings(assessment: Assessment, fault: ShortCircuit) -> list[Finding]:
    """Findings about a device: its own, the order with the one above where that is not assured, and what was found of
    the short nearer the battery where it cannot break that either."""
    found = _of(assessment, fault.device, PROTECTION_CHECKS)
    if fault.selectivity == "not assured":
        found += _of(assessment, fault.upstream, {"not-selective"})
    return [*found, *(each for each in _breaking(assessment, fault.device) if each not in found)]


def _of(assessment: Assessment, device: int, checks: Set[str]) -> list[Finding]:
    if device < 0:
        return []
    kind, name = assessment.results.network.fuses[device].owner
    return [each for each in assessment.findings_for(kind, name or kind) if each.check in checks]


def _breaking(assessment: Assessment, device: int) -> list[Finding]:
    """What is found of a device that cannot break the largest short at its place: told once, at the first such device
    on the way from the battery, it holds for those behind it."""
    network = assessment.results.network
    if device < 0:
        return []
    capacity = fuse_tables.breaking_capacity_a(network.fuses[device].fuse.kind)
    if capacity is None or not assessment.results.faults.prospective_a[device] > capacity.value:
        return []
    at, seen = device, set[int]()
    while at >= 0 and at not in seen:
        seen.add(at)
        found = _of(assessment, at, {"breaking-capacity"})
        if found:
            return found
        at = int(network.guard[network.supply.parent[network.fuse_node[at]]])
    return []


def silent_words(view: JudgedCircuit) -> str | None:
    """Why a circuit has no picture; None where it has one."""
    if view.circuit.out_of_scope is not None:
        return f"{shown(view.name)}: no figures for this kind of circuit. {stop()}"
    if view.missing:
        return f"{shown(view.name)}: no picture, missing: {shown('; '.join(view.missing))}"
    return None


def _facts(view: JudgedCircuit, curves: Curves, room: int, paint: Paint) -> list[str]:
    assessment, fault = view.assessment, view.fault
    rows = [("Fuse", "none protects it" if fault.device < 0 else device_words(assessment, fault.device))]
    if fault.prospective_a is not None:
        rows.append(("Prospective", f"up to {writing.burden(fault.prospective_a, 'A')}; {_breaks(view, fault)}"))
    rows += [("Short at far end", f"{writing.limit(fault.far_end_a, 'A')} at least; maximum clearing time "
              f"{opens_words(fault)}"), ("Wire in a short", _wire_words(view, fault))]
    for surge in curves.surges:
        load = view.circuit.load[int(assessment.results.network.consumers.number[surge.consumer])]
        usual = " (typical for its kind, none is entered)" if surge.assumed else ""
        through, held = ("", "") if fault.device < 0 else (
            " through the fuse", f": {_WITHSTOOD.get(surge.withstood, NOTHING)}")
        rows.append(("Switching on", f"{shown(load.name or 'load')}: {writing.burden(surge.current_a, 'A')}{through} "
                                     f"for {writing.burden(surge.time_s, 's')}{usual}{held}"))
    if fault.upstream >= 0:
        rows.append(("Upstream", f"{device_words(assessment, fault.upstream)}: {order_words(fault)}"))
    size = max(len(head) for head, _ in rows)
    return [paint("In words", "heading"),
            *(line for head, words in rows for line in paragraph(words, room, f"  {head:<{size}}  "))]


def _breaks(view: JudgedCircuit, fault: ShortCircuit) -> str:
    kind = view.assessment.results.network.fuses[fault.device].fuse.kind
    found = fuse_tables.breaking_capacity_a(kind)
    if found is None:
        return "breaking capacity: nothing on file"
    return f"breaking capacity {writing.limit(found.value, 'A')}"


def _wire_words(view: JudgedCircuit, fault: ShortCircuit) -> str:
    hottest = max((segment for segment in view.segments if segment.fault_temperature_c is not None), default=None,
                  key=lambda segment: segment.fault_temperature_c or 0.0)
    words = survives_words(fault)
    if hottest is None:
        return words
    return f"{words}; at most {writing.burden(hottest.fault_temperature_c, '°C')} in the copper"


def _sources(assessment: Assessment, devices: list[int], room: int, paint: Paint) -> list[str]:
    lines: dict[str, None] = {}
    for device in devices:
        if device < 0:
            continue
        row, rating = assessment.results.network.fuses[device], float(assessment.results.fusing.rating_a[device])
        found = limits(row.fuse.kind, rating) if rating == rating else None
        if found is None:
            lines[f"{row.fuse.kind}: no published limits on file"] = None
        else:
            lines |= dict.fromkeys(f"{row.fuse.kind}: {source.line()}" for source in found.sources)
    out = [paint("Opening times from", "heading")]
    for line in lines:
        out += paragraph(shown(line), room, "  ", "    ")
    return out + paragraph(_HEATING, room, "  ", "    ") + paragraph(_BOUND, room, "  ", "    ")


def devices_report(assessment: Assessment, room: int = 100, paint: Paint = unpainted) -> str:
    """All protective devices in a table, the findings about them, and the cautions."""
    rows = device_rows(assessment)
    parts = [title_lines(assessment, room, paint)]
    if rows:
        lines = section("Protective devices", rows, DEVICE_COLUMNS, room, paint, "--json too")
        if not all(row.fuse.entered for row in rows):
            lines += paragraph(PROPOSED_NOTE, room, "  ")
        parts.append([*lines, *paragraph(_BOUND, room, "  ")])
    else:
        parts.append(["The plan holds no protective devices."])
    found = [each for each in assessment.findings if each.check in PROTECTION_CHECKS]
    parts.append(findings_lines(found, assessment, room, paint) or ["No findings about protection."])
    parts.append([*paragraph(caution("fuses").text, room, "⚠ "), *paragraph(notice(), room, "⚠ ")])
    return joined_parts(parts)


def devices_document(assessment: Assessment) -> dict[str, Any]:
    """The table of devices as plain data."""
    return {
        "plan": assessment.plan.vehicle.name, "limits": assessment.limit_set.name,
        "devices": [
            {"owner": row.owner, "upstream": row.upstream, "fuse": to_document(row.fuse),
             "fault": to_document(row.fault)}
            for row in device_rows(assessment)],
        "findings": [asdict(each) | {"fields": list(each.fields)} for each in assessment.findings
                     if each.check in PROTECTION_CHECKS],
    }


def circuit_document(assessment: Assessment, circuit: str) -> dict[str, Any]:
    """The picture of one circuit as plain data: the arrays that are drawn, None for what is not known."""
    view = assessment.circuit(circuit)
    document: dict[str, Any] = {"plan": assessment.plan.vehicle.name, "limits": assessment.limit_set.name,
                                "circuit": circuit, "missing": list(view.missing)}
    if silent_words(view) is not None:
        return document | {"picture": None}
    _, curves = time_current(assessment, circuit)
    bands = {
        name: None if band is None or not band.known else {
            "device": device_words(assessment, band.device), "current_a": band.current_a.tolist(),
            "least_s": band.least_s.tolist(), "greatest_s": _listed(band.greatest_s),
            "sources": [source.line() for source in band.sources]}
        for name, band in (("fuse", curves.own), ("upstream", curves.upstream))}
    wire = None if curves.wire is None else {
        "place": assessment.results.network.segments.place[curves.wire.segment], "start_c": curves.wire.start_c,
        "limit_c": curves.wire.limit_c, "current_a": curves.wire.current_a.tolist(),
        "time_s": _listed(curves.wire.time_s)}
    return document | {"picture": {
        **bands, "wire": wire, "ampacity_a": known(curves.ampacity_a), "load_a": curves.load_a,
        "surges": [{"load": int(assessment.results.network.consumers.number[surge.consumer]),
                    "current_a": surge.current_a, "time_s": surge.time_s, "assumed": surge.assumed,
                    "withstood": {WITHSTOOD: True, MAY_BLOW: False}.get(surge.withstood)} for surge in curves.surges],
        "far_end_a": known(curves.far_end_a), "prospective_a": known(curves.prospective_a)}}


def _listed(values: np.ndarray[Any, np.dtype[np.float64]]) -> list[float | None]:
    return [known(value) for value in values.tolist()]

"""What is asked of contacts in connectors: the terminal at the end of a wire, or what the maker rates a contact for."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.pins import area_mm2
from fuseplan.checks.subjects import continuous_a, segment_path, segment_subject, segment_words
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.plan.nets import GONE
from fuseplan.plan.part_names import in_words
from fuseplan.plan.parts import End
from fuseplan.quantities import writing
from fuseplan.tables import terminals

_MELTS = "a contact that is too small melts its connector without blowing the fuse"


def terminals_asked(results: Results) -> Iterator[NotSaid]:
    """The terminal in a connector: its current limit is not known. What every terminal on file carries is no question
    of safety."""
    segments = results.network.segments
    for index in segments.marked.get("end", ()):
        segment, area = segments.segment[index], float(segments.area_mm2[index])
        for key, end in (("start", segment.start), ("end", segment.end)):
            if end is None or end.terminal is not None or not _plugs_in(results, end):
                continue
            kind, name = segment_subject(results, index)
            load = float(continuous_a(results, index).max())
            carries = f"it carries {writing.burden(load, 'A')}" if np.isfinite(load) else "what it carries is not known"
            where = "the connector" if end.connector is None else in_words(results.plan, "connector", end.connector)
            where += f", pin {end.pin}" if end.pin else ""
            yield NotSaid(kind, name, f"the terminal in {where}, on {segment_words(results, index)}",
                          f"{carries}; {_MELTS}", "terminal", segment_path(results, index, f"{key}.terminal"),
                          not at_most(load, _weakest_a(area)))


def _plugs_in(results: Results, end: End) -> bool:
    """Whether an end is in a connector of which no contact current is stated."""
    known = results.plan.connector.get(end.connector or "")
    return (end.connector is not None or end.pin is not None) and (known is None or known.contact_current is None)


def _weakest_a(area_mm2: float) -> float:
    """What every terminal on file carries on a wire [A]; of one that is thinner than any printed for it, or of a size
    that is NaN, the thinnest printed answers."""
    limits = [terminals.terminal_limit_a(name, float(np.fmax(area_mm2, terminals.wires_taken_mm2(name).value[0])))
              for name in terminals.TERMINALS]
    return min(each.value for each in limits if each is not None)


def contacts_asked(results: Results) -> Iterator[NotSaid]:
    """What one contact of a connector may carry, where more than every terminal on file carries is entered for one of
    its pins: what circuits bring to a pin asks for their terminals."""
    for name, connector in results.plan.connector.items():
        if connector.contact_current is not None or connector.out_of_scope is not None:
            continue
        over = [(float(pin.current), number) for number, pin in connector.pin.items() if pin.current is not None
                and pin.fate not in GONE and not at_most(float(pin.current), _weakest_a(area_mm2(pin.size)))]
        if over:
            current, number = max(over, key=lambda each: each[0])
            yield NotSaid("connector", name, "the rated current of one of its contacts, from its maker's sheet "
                          "(contact_current)", f"pin {number} carries {writing.burden(current, 'A')}; {_MELTS}",
                          "contact", f"connector.{name}.contact_current", True)

"""What heats a wire, in service and in a short, in words."""

from __future__ import annotations

from fuseplan.papers.device_columns import opens_words, order_words, survives_words
from fuseplan.papers.supply_columns import place_words
from fuseplan.quantities import writing
from fuseplan.results.segment import SegmentResult
from fuseplan.results.short_circuit import ShortCircuit


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

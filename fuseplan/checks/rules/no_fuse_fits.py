"""No fuse fits: the smallest the load needs is larger than the largest the wire allows.

The load sets the smallest fuse, the thinnest wire the largest. Where no rating sold lies between, fit a thicker wire or
split the load. A rating in the fuse range that fails another check is not proposed either.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.coil_fuses import coil_fuse_fix
from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import (
    LEAVE_OUT,
    ask_the_maker,
    carries_nothing,
    insulation_without_current,
    or_split,
    wire_field,
)
from fuseplan.checks.fuse_to_fit import Named, carrying, larger_type_words, over_makers_limit
from fuseplan.checks.fuse_with_wire import insulation_and_wires, sizes_on_file
from fuseplan.checks.protected import FUSE_SOURCE
from fuseplan.checks.rejected import rejected_fix, rejected_words
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import current_known, fuse_path, fuse_subject, maker_words, segment_words
from fuseplan.checks.too_large_fuse import what_else_needs
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.results import Results
from fuseplan.engine.stock import ladder
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseRange, FuseResult
from fuseplan.tables.fuses import kind_words


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    fusing, network = results.fusing, results.network
    candidates = np.flatnonzero(np.isnan(fusing.rating_a)).tolist()
    if not candidates:
        return
    known = dict(zip(network.circuit_ids, current_known(results).tolist(), strict=True))
    for index in candidates:
        row = network.fuses[index]
        kind, owner = row.owner
        steps = ladder(row.fuse.kind)
        if row.fuse.rating is not None or not steps or (kind == "circuit" and not known[owner]):
            continue
        low, high, binding = float(fusing.low_a[0, index]), float(fusing.high_a[index]), int(fusing.binding[index])
        if math.isnan(low):
            yield rule.finding(
                results, fuse_subject(row),
                f"no published ambient factor for a fuse at {writing.burden(row.ambient_c, '°C')}: none can be "
                "proposed", figure=row.ambient_c, unit="°C", source="fuse makers' ambient curves end at 125 °C",
                fix="move the holder to a cooler place", fields=(fuse_path(row, "zone"),))
            continue
        if index in fusing.rejected and math.isnan(fusing.proposed_a[index]):
            yield rule.finding(
                results, fuse_subject(row), f"no {kind_words(row.fuse.kind)} fits: {rejected_words(results, index)}",
                figure=low, limit=high if math.isfinite(high) else steps[-1], unit="A",
                consequence="fails_in_use" if fusing.against_shorts[index] or all(
                    "switch-on" in each.reason for each in fusing.rejected[index]) else None,
                fix=rejected_fix(results, index), source=_OTHER_SOURCE,
                fields=(*((wire_field(results, binding),) if binding >= 0 else ()), fuse_path(row, "kind")))
            continue
        if fusing.silent[index] and any(low <= step <= high for step in steps):
            continue  # a rating would fit, but there is no published limit for a wire it protects: unknown
        capped = maker_words(results, index)
        weakest = segment_words(results, binding) if capped is None else capped
        needs, allows = writing.SMALLEST_FUSE(low), writing.LARGEST_FUSE(high)
        # A wire of another part carries no more than its own share of the load.
        thin = "" if capped is not None else ": the wire is too thin for the load" \
            if network.segments.owner[binding] == row.owner else f": {weakest} is too thin for that fuse"
        message = f"smallest fuse for the load: {needs}; {weakest} allows {allows}{thin}"
        largest = f"the largest for {weakest}" if capped is None else f"which {capped} allows"
        if capped is None and carries_nothing(results, binding):
            message = f"{weakest} may carry no current at that temperature, so no fuse protects it; smallest fuse " \
                      f"for the load: {needs}"
        elif low <= high:
            message = f"no {kind_words(row.fuse.kind)} is sold between {needs}, the smallest for the load, and " \
                      f"{allows}, {largest}" if math.isfinite(high) else \
                      f"smallest fuse for the load: {needs}; the largest {kind_words(row.fuse.kind)} on file is " \
                      f"{writing.rating(steps[-1])}"
        # Between the two no rating is sold: the next one sold is what the wire does not allow.
        figure = low if low > high else next((step for step in steps if step >= low), low)
        over = over_makers_limit(results, index, low) if capped is None else ask_the_maker(results, index)
        fix = Fix(over, (fuse_path(row, "kind"),)) if over else _fix(results, index, row, low, high, binding)
        yield rule.finding(
            results, fuse_subject(row), message, figure=figure, unit="A",
            limit=high if math.isfinite(high) else steps[-1],
            consequence="fails_in_use" if fusing.against_shorts[index] else None,
            fix=fix, source=results.limit_set.fuse.wire_source)


def _fix(results: Results, index: int, row: FuseRow, low: float, high: float, binding: int) -> Fix:
    found = carrying(results, index, low) or Named(row.fuse.kind, low, larger_type_words(row.fuse, low))
    needed, fuse, may_blow = found.rating_a, found.words, found.may_blow
    wires, kind = (wire_field(results, binding),) if binding >= 0 else (), fuse_path(row, "kind")
    if needed <= high:
        either = f", or {LEAVE_OUT}" if results.fusing.against_shorts[index] else or_split(results, index)
        return Fix(f"fit {fuse}{either}{may_blow}", (*wires, kind))
    coil = coil_fuse_fix(results, binding)
    if coil is not None:
        return Fix(coil, (*wires, kind))
    owner = results.network.segments.owner[binding]
    sizes: tuple[tuple[int, str | None], ...] = ()
    if owner == row.owner or insulation_without_current(results, binding) is not None:
        others = what_else_needs(results, index, needed, owner)
        first, sizes = insulation_and_wires(results, index, binding, needed)
        fitted = f"{first}, and then {fuse}{others.words}"
    else:
        others = what_else_needs(results, index, needed)
        fitted = f"fit {fuse}{others.words}"
    return Fix(f"{fitted}{or_split(results, index)}{may_blow}", (*wires, *others.fields, kind),
               sizes=(*sizes_on_file(sizes), *others.sizes))


_OTHER_SOURCE = ("the checks of a short at the far end, of the wire in a short, of inrush current, holder and "
                 "position, each with its own source")

RULE = Rule(
    consequence="burns",
    title="No fuse fits",
    source=FUSE_SOURCE,
    caution="Never fit a bigger fuse without a thicker wire: the wire then burns instead of the fuse.",
    fix="a thicker wire, or two fuses",
    example="fails: 15 A continuous on 1.5 mm²; passes: on 4 mm²",
    find=find,
    ambient=True,
    figures=((FuseRange.low, FuseRange.high), (FuseResult.ambient_c, None)),
)

"""Many wires, or very unlike ones, are joined in one splice.

Published car harnesses join two to five wires in nearly every splice, eight at the most. Beyond that the strands inside
are not gripped, and beside a thick wire a thin one is not either.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import cast

from fuseplan.checks.pins import area_mm2
from fuseplan.checks.rule import Finding, Rule, SubjectKind
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
from fuseplan.plan.nets import splices_of
from fuseplan.quantities import writing

USUAL, MOST = 5, 8
UNLIKE = 8.0
"""Thickest conductor to thinnest in one splice."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    if not results.plan.connector and not results.network.segments.marked.get("end"):
        return
    for name, wires in splices_of(results.plan).items():
        areas = [area for wire in wires if not math.isnan(area := area_mm2(wire.size))]
        at = wires[0].path
        kind = cast(SubjectKind, at[0])
        subject = (kind, kind if kind == "alternator" else str(at[1]))
        path = ".".join(map(str, (*at, "splice") if kind == "connector" else at))
        total = f", {writing.stated(math.fsum(areas), 'mm²')} together" if len(areas) == len(wires) else ""
        if len(wires) > USUAL:
            split = len(wires) > MOST
            yield rule.finding(
                results, subject, f"{len(wires)} wires in splice {name}{total}; more than {USUAL} are unusual, more "
                f"than {MOST} are in no published harness", figure=float(len(wires)),
                limit=float(MOST if split else USUAL), unit="wires",
                consequence="fails_in_use" if split else "good_practice", fields=(path,))
        if areas and exceeds(max(areas), UNLIKE * min(areas)):
            yield rule.finding(
                results, subject, f"splice {name} joins {writing.stated(max(areas), 'mm²')} with "
                f"{writing.stated(min(areas), 'mm²')}; in published harnesses the thickest is up to "
                f"{writing.stated(UNLIKE, '-')} times the thinnest", figure=max(areas) / min(areas), limit=UNLIKE,
                unit="-", consequence="good_practice", fields=(path,),
                fix="a stud or a terminal block instead of the splice, with each wire on a terminal of its own")


RULE = Rule(
    consequence="fails_in_use",
    title="Crowded splice",
    source="counts in a published harness description: of 37 splices 34 join up to 5 wires, none more than 8; the "
           "bounds drawn from it are common practice, no source",
    caution="A strand that is not gripped heats the whole splice, and a splice is where nobody looks.",
    fix="two splices, 51 mm or more apart along the loom, with a wire between them as thick as the thickest",
    example="fails: nine wires in one splice; passes: four",
    find=find,
)

"""What the contacts of relays break above 12 V: what is on file for them was measured at 14 V at most, and an arc that
goes out there goes on burning at 28 V."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rule import SubjectKind
from fuseplan.engine.results import Results
from fuseplan.plan.coils import relays_of
from fuseplan.quantities import writing
from fuseplan.tables.drops import BETWEEN_12_AND_24_V


def breaking_asked(results: Results) -> Iterator[NotSaid]:
    """The current each relay's contact is made to break at the voltage of the car."""
    system_v = results.network.system_v
    if system_v <= BETWEEN_12_AND_24_V:
        return
    for (kind, name), relay in relays_of(results.plan):
        if relay.breaks is None:
            yield NotSaid(
                cast(SubjectKind, kind), name, f"the current its relay's contact may break at "
                f"{writing.stated(system_v, 'V')}, from its maker's sheet (breaks)", "what is on file for relay "
                "contacts is for 14 V at most: a contact that cannot put out the arc welds shut or burns", "breaks",
                f"{kind}.{name}.relay.breaks", True)

"""The assessments a proposal is found by: of the plan with some of its values changed, each made once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from typing import Any

from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.plan.putting import Plain
from fuseplan.plan.references import Path

MOST_KEPT = 24
"""So many assessments are kept: those of the way a draft went that is gone again, afresh or for the worst case."""
TABLES = ("circuit", "feed", "earth")
"""The tables of the plan whose parts have names; the alternator is alone of its kind."""
Values = tuple[tuple[Path, object], ...]


class Trials:
    """Assessments of one plan with values changed.

    A part with the same values is one and the same object in every plan made here, so that an assessment can begin from
    the one before.
    """

    def __init__(self, plan: Plan, limit_set: LimitSet) -> None:
        self.plan = plan
        self.limit_set = limit_set
        self._known: OrderedDict[tuple[Values, tuple[Path, ...]], Assessment] = OrderedDict()
        self._parts: dict[Values, Any] = {}

    def of(self, changes: Mapping[Path, Plain]) -> Assessment:
        """The assessment of the plan with values put in their places."""
        added = tuple(path for path in changes if path[0] == "feed" and len(path) == 2)
        key = _values(changes), added
        found = self._known.get(key)
        if found is None:
            found = assess(self._changed(changes), self.limit_set, next(reversed(self._known.values()), None))
        self._known[key] = found
        self._known.move_to_end(key)
        if len(self._known) > MOST_KEPT:
            self._known.popitem(last=False)
        return found

    def _changed(self, changes: Mapping[Path, Plain]) -> Plan:
        """The plan with the changes made; the parts that were made before are taken as they are."""
        of_parts: dict[Path, dict[Path, Plain]] = {}
        for path, value in changes.items():
            of_parts.setdefault(path[:2] if path[0] in TABLES else path[:1], {})[path] = value
        tables: dict[str, Any] = {}
        for part, own in of_parts.items():
            values, table = _values(own), str(part[0])
            if values not in self._parts:
                whole = getattr(changed(self.plan, own), table)
                self._parts[values] = whole[part[1]] if table in TABLES else whole
            if table in TABLES:
                tables.setdefault(table, dict(getattr(self.plan, table)))[str(part[1])] = self._parts[values]
            else:
                tables[table] = self._parts[values]
        return self.plan.model_copy(update=tables) if tables else self.plan


def _values(changes: Mapping[Path, Plain]) -> Values:
    """Changes in an order that is always the same."""
    return tuple(sorted(((path, value if isinstance(value, str) else tuple(value.items()))
                         for path, value in changes.items()), key=lambda each: str(each[0])))

"""Keeps plan, plain data and text in step after an edit, reading anew only what was touched."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from fuseplan.errors import EditError
from fuseplan.plan.model import FORMAT, Plan
from fuseplan.plan.references import ENTRIES, Path
from fuseplan.planfile.locate import layout_of
from fuseplan.planfile.plain import MISSING, get, same, without
from fuseplan.planfile.validation_messages import sentences

_MANY = 20
"""From so many touched parts on, reading the whole text is quicker."""


def in_order(text: str, data: Mapping[str, Any], kinds: set[str]) -> dict[str, Any]:
    """The data with named parts in the order in which the text has them."""
    ordered = dict(data)
    for kind in kinds & set(ENTRIES) & ordered.keys():
        named = layout_of(text).names(kind)
        if named.keys() == ordered[kind].keys():
            ordered[kind] = {name: ordered[kind][name] for name in named}
    return ordered


def validated(plan: Plan, data: Mapping[str, Any], heads: set[Path]) -> Plan:
    """The plan with only the touched parts read anew."""
    small: dict[str, Any] = {"fuseplan": data.get("fuseplan", MISSING)}
    if small["fuseplan"] != FORMAT or type(small["fuseplan"]) is not int:
        raise EditError(f"`fuseplan` is the format's version; accepted is {FORMAT}")
    for head in heads:
        value = get(data, head)
        if value is MISSING:
            continue
        if len(head) == 2:
            small.setdefault(str(head[0]), {})[head[1]] = value
        else:
            small[str(head[0])] = value
    try:
        fresh = Plan.model_validate(small)
    except ValidationError as error:
        raise EditError("; ".join(message for _, message in sentences(error, data=small))) from None
    update: dict[str, Any] = {}
    for kind in {str(head[0]) for head in heads}:
        if kind in ENTRIES:
            old, new = getattr(plan, kind), getattr(fresh, kind)
            update[kind] = {name: new[name] if name in new else old[name] for name in data.get(kind, {})}
        else:
            update[kind] = getattr(fresh, kind)
    return plan.model_copy(update=update)


_NAMED_FROM_EVERYWHERE = {"run", "condition", "connector"}
"""Parts whose own keys decide whether others hold together: segments join runs and end on pins of connectors, loads
list words of conditions."""


def changed_parts(old: Mapping[str, Any], new: Mapping[str, Any], heads: set[Path]) -> dict[str, Any] | None:
    """The parts an edit touched, which are all that can have come apart by it; None where any part may have: a name
    is no longer there, or others rest on what the part says."""
    found: dict[str, Any] = {}
    for head in heads:
        kind = str(head[0])
        if kind in _NAMED_FROM_EVERYWHERE:
            return None
        if kind not in ENTRIES:
            found[kind] = new.get(kind)
            continue
        before, now = old.get(kind, {}), new.get(kind, {})
        if len(head) != 2 or before.keys() - now.keys():
            return None
        found.setdefault(kind, {})[head[1]] = now[head[1]]
    return found


def says(text: str, data: Mapping[str, Any], heads: set[Path]) -> bool:
    """Whether the text, read again where it was touched, says what the data say."""
    try:
        return _says(text, data, heads)
    except tomllib.TOMLDecodeError:
        return False


def _says(text: str, data: Mapping[str, Any], heads: set[Path]) -> bool:
    layout = layout_of(text)
    if len(heads) > _MANY:
        return same(tomllib.loads(text), dict(data))
    for head in heads:
        wanted = get(data, head)
        if wanted is MISSING:
            if layout.under(head) or layout.holder(head) or layout.dotted(head):
                return False
            continue
        if not layout.at(head) or layout.holder(head) or layout.dotted(head):
            return same(tomllib.loads(text), dict(data))
        read = tomllib.loads("".join(text[section.start : section.last] for section in layout.under(head)))
        if not same(get(read, head), wanted):
            return False
    return True


def without_traces(text: str, data: Mapping[str, Any], path: Path) -> Mapping[str, Any]:
    """The data without a path, and without the tables and lists around it that no longer stand in the text."""
    data = without(data, path)
    layout = layout_of(text)
    for length in range(len(path) - 1, 0, -1):
        around = path[:length]
        if get(data, around) not in ({}, []) or layout.holder(around) or layout.under(around):
            break
        data = without(data, around)
    return data

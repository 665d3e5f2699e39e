"""Edits of a plan's text that touch nothing but what is edited.

Every function takes a text and returns a new one. Values are replaced where they stand, new keys follow the
last key of their table, named parts get a table of their own, small tables stay inline; comments, order and
spelling of everything else remain.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fuseplan.errors import EditError
from fuseplan.plan.model import Plan
from fuseplan.plan.references import ENTRIES, Path, place
from fuseplan.planfile.locate import layout_of
from fuseplan.planfile.plain import (
    MISSING,
    get,
    is_tables,
    key_text,
    literal,
    own_section,
    same,
    section_text,
    with_value,
)
from fuseplan.planfile.sections import Section
from fuseplan.planfile.toml_text import elements, end_of_value, read_key
from fuseplan.quantities.amounts import clean

_RANKS = {name: rank for rank, name in enumerate(Plan.model_fields)}
NOT_EDITED = " is laid out in a way that cannot be edited here; change it in the file"


def put(text: str, data: Mapping[str, Any], path: Path, value: Any) -> str:
    """The text with a value set; tables and lists of tables are compared, and only what differs is rewritten."""
    old = get(data, path)
    if same(old, value):
        return text
    if isinstance(old, dict) and isinstance(value, dict):
        for key in old:
            if key not in value:
                text = drop(text, (*path, key))
        kept: dict[str, Any] = {key: item for key, item in old.items() if key in value}
        for key, item in value.items():
            text = put(text, _nested(path, kept, data), (*path, key), item)
            kept = {**kept, key: item}
        return text
    if old and value and is_tables(old) and is_tables(value):
        return _put_tables(text, data, path, old, value)
    layout = layout_of(text)
    span = layout.value(path)
    if span is not None:
        return text[: span[0]] + literal(value) + text[span[1] :]
    if old is not MISSING:
        text = drop(text, path)
    return _add(text, data, path, value)


def _nested(path: Path, value: object, data: Mapping[str, Any]) -> Mapping[str, Any]:
    return with_value(data, path, value) if path else value if isinstance(value, dict) else {}


def _put_tables(text: str, data: Mapping[str, Any], path: Path, old: list[Any], new: list[Any]) -> str:
    """Change a list of tables with the fewest entries touched: what is alike at both ends stays as it is."""
    head = 0
    while head < min(len(old), len(new)) and same(old[head], new[head]):
        head += 1
    tail = 0
    while tail < min(len(old), len(new)) - head and same(old[-1 - tail], new[-1 - tail]):
        tail += 1
    shared = min(len(old), len(new)) - head - tail
    for index in range(head, head + shared):
        text = put(text, data, (*path, index), new[index])
    for index in reversed(range(head + shared, len(old) - tail)):
        text = drop(text, (*path, index))
    for index in range(head + shared, len(new) - tail):
        text = _insert(text, (*path, index), new[index])
    return text


def _add(text: str, data: Mapping[str, Any], path: Path, value: Any) -> str:
    """Write something that is not there yet."""
    parent, key = path[:-1], path[-1]
    around = get(data, parent)
    if isinstance(key, int):
        count = 0 if around is MISSING else len(around) if isinstance(around, list) else -1
        if key != count:
            raise EditError(f"{place(path)} is not there; accepted is a position there is, or the next free one")
        if not count and not layout_of(text).holder(parent):
            return _add(text, data, parent, [value])
        return _insert(text, path, value)
    if around is not MISSING and not isinstance(around, dict):
        raise EditError(f"{place(parent)} is no table, so `{clean(key)}` cannot stand in it")
    layout = layout_of(text)
    held = layout.holder(parent) if parent else None
    if held:
        span = layout.value(parent)
        if span and text[span[0]] == "{":
            return _insert_key(text, span, key, value)
        relative = parent[len(held[0]) :]
        return _in_statement(text, held[1].start, held[1].end, relative, lambda table: _append(table, key, value))
    if own_section(path, value):
        return _add_sections(text, path, value)
    at = layout.at(parent)
    if at:
        return _insert_line(text, at[0].last, (key,), value)
    dotted = layout.dotted(parent)
    if dotted:
        section, statement = dotted[-1]
        end = text.find("\n", statement.end) + 1
        return _insert_line(text, end, (*parent[len(section.path) :], key), value)
    below = layout.under(parent)
    if below:
        return text[: below[0].lead] + section_text(parent, {key: value}) + "\n" + text[below[0].lead :]
    return _add(text, data, parent, {key: value})


def _insert_line(text: str, at: int, keys: Path, value: Any) -> str:
    name = ".".join(key_text(str(key)) for key in keys)
    return f"{text[:at]}{name} = {literal(value)}\n{text[at:]}"


def _insert_key(text: str, span: tuple[int, int], key: str, value: Any) -> str:
    """Add a key behind the last one of an inline table."""
    written = f"{key_text(key)} = {literal(value)}"
    ends = [end_of_value(text, at) for _, _, at in elements(text, span[0])]
    if not ends:
        return f"{text[: span[0]]}{{ {written} }}{text[span[1] :]}"
    return f"{text[: ends[-1]]}, {written}{text[ends[-1] :]}"


def _cut_key(text: str, span: tuple[int, int], key: str | int) -> str:
    """Take a key out of an inline table, with the comma that parts it from its neighbour."""
    found = list(elements(text, span[0]))
    index = next((number for number, entry in enumerate(found) if entry[0] == key), None)
    if index is None:
        raise EditError(f"`{clean(key)}`{NOT_EDITED}")
    if len(found) == 1:
        return f"{text[: span[0]]}{{}}{text[span[1] :]}"
    if index + 1 < len(found):
        return text[: found[index][1]] + text[found[index + 1][1] :]
    return text[: end_of_value(text, found[index - 1][2])] + text[end_of_value(text, found[index][2]) :]


def _add_sections(text: str, path: Path, value: Any) -> str:
    if len(path) == 1 and path[0] in ENTRIES:
        for key, item in value.items():
            text = insert_block(text, (path[0], key), section_text((path[0], key), item))
        return text
    if isinstance(value, list):
        block = "\n".join(section_text(path, item, True) for item in value)
        return insert_block(text, path, block)
    return insert_block(text, path, section_text(path, value))


def insert_block(text: str, path: Path, block: str, after: Path | None = None) -> str:
    """Put a table's text where it belongs: after a given part, after its like, or after what precedes its like."""
    layout = layout_of(text)
    before: Section | None = None
    for around in (after, path[:-1] if len(path) > 1 else None):
        if around is not None and before is None:
            before = next(reversed(layout.under(around)), None)
    if before is None:
        rank = _RANKS.get(str(path[0]), len(_RANKS))
        ranked = [s for s in layout.sections if not s.path or _RANKS.get(str(s.path[0]), 0) <= rank]
        before = ranked[-1]
    # Short parts written without blank lines between them stay so.
    like = [section for section in layout.sections if section.path[:1] == path[:1] == section.path[:-1]]
    compact = before in like[1:] and not text[: before.lead].endswith("\n\n")
    # At the very end, comments that stand by themselves keep their place before what is added.
    at = len(text) if before is layout.sections[-1] and len(path) <= 2 else before.last
    rest = text[at:]
    head = text[:at] if compact or at == 0 or text[:at].endswith("\n\n") else text[:at] + "\n"
    return head + block + ("" if compact or rest.startswith("\n") or not rest else "\n") + rest


def insert_before(text: str, path: Path, block: str) -> str:
    """Put a table's text before another table."""
    following = layout_of(text).under(path)
    if not following:
        raise EditError(f"{place(path)} has no header of its own, so nothing can be put before it")
    return text[: following[0].lead] + block + "\n" + text[following[0].lead :]


def _insert(text: str, path: Path, value: Mapping[str, Any]) -> str:
    """Insert an entry in a list that is there: an array of tables, or an array on its line or lines."""
    parent, index = path[:-1], path[-1]
    layout = layout_of(text)
    held = layout.holder(parent)
    if held:
        relative = parent[len(held[0]) :]
        return _in_statement(
            text, held[1].start, held[1].end, relative, lambda array: array.insert(index, _inline(value))
        )
    block = section_text(parent, value, True)
    return insert_before(text, path, block) if layout.under(path) else insert_block(text, path, block)


def drop(text: str, path: Path) -> str:
    """The text without what a path leads to, its header comments and its line included."""
    layout = layout_of(text)
    held = layout.holder(path)
    if held and held[0] != path:
        span = layout.value(path[:-1])
        if span and text[span[0]] == "{":
            return _cut_key(text, span, path[-1])
        relative, key = path[len(held[0]) : -1], path[-1]
        return _in_statement(text, held[1].start, held[1].end, relative, lambda inner: _delete(inner, key))
    cuts = [(section.lead, section.last) for section in layout.under(path)]
    cuts += [(statement.start, text.find("\n", statement.end) + 1) for _, statement in layout.dotted(path)]
    if held:
        cuts.append((held[1].start, text.find("\n", held[1].end) + 1))
    if not cuts:
        raise EditError(f"{place(path)} is not there, so it cannot be removed")
    for start, end in sorted(cuts, reverse=True):
        before, rest = text[:start], text[end:]
        if (not before or before.endswith("\n\n")) and rest.startswith("\n"):
            rest = rest[1:]
        elif not rest and before.endswith("\n\n"):
            before = before[:-1]
        text = before + rest
    return text


def block_of(text: str, path: Path) -> str | None:
    """The tables at and below a path with their comments; None if they are not all written under headers."""
    layout = layout_of(text)
    sections = layout.under(path)
    if not sections or layout.holder(path) or layout.dotted(path):
        return None
    return "\n".join(text[section.lead : section.last] for section in sections)


def _inline(value: Any) -> Any:
    """A value as tomlkit keeps it, written the way `literal` writes it."""
    import tomlkit

    return tomlkit.parse(f"v = {literal(value)}")["v"]


def _in_statement(text: str, start: int, end: int, relative: Path, change: Callable[[Any], None]) -> str:
    """Let tomlkit change something inside the value of one statement."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    keys, _ = read_key(text, start)
    try:
        document = tomlkit.parse(text[start:end])
        inner: Any = document
        for step in (*keys, *relative):
            inner = inner[step]
        change(inner)
    except (TOMLKitError, LookupError, TypeError, AttributeError):
        raise EditError(f"`{'.'.join(map(clean, keys))}`{NOT_EDITED}") from None
    return text[:start] + document.as_string() + text[end:]


def _append(table: Any, key: str, value: Any) -> None:
    table[key] = _inline(value)


def _delete(inner: Any, key: str | int) -> None:
    del inner[key]

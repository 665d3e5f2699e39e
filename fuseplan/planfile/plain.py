"""Plain values of a plan: looked up and changed by path, and written as TOML."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from typing import Any

from fuseplan.errors import EditError
from fuseplan.plan.references import ENTRIES, Path

_OWN_TABLE = ("vehicle", "battery", "alternator", "tolerance", "stock")
_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")
MISSING = object()
"""Stands for a value that is not there."""


def key_text(key: str) -> str:
    """A key as it is written: bare where TOML allows."""
    return key if _BARE.match(key) else literal(key)


def literal(value: object) -> str:
    """A value as it is written on one line."""
    if isinstance(value, Mapping):
        inner = ", ".join(f"{key_text(str(key))} = {literal(item)}" for key, item in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(literal(item) for item in value)}]"
    if isinstance(value, (str, bool, int, float)):
        import tomlkit

        # Units and gauges derive from str and float; the file gets the plain value.
        plain = str(value) if isinstance(value, str) else value
        return tomlkit.item(plain).as_string()
    raise EditError(f"{type(value).__name__} cannot stand in a plan; accepted are text, numbers, lists and tables")


def plain_value(value: object) -> Any:
    """A value as a TOML reader would give it back; raises EditError for what TOML cannot hold."""
    written = literal(value)
    try:
        written.encode("utf-8")
    except UnicodeEncodeError:
        raise EditError("half a character cannot stand in a plan; accepted is text in UTF-8") from None
    return tomllib.loads(f"v = {written}")["v"]


def get(data: object, path: Path) -> Any:
    """The value under a path, or `MISSING`."""
    for step in path:
        held = step in data if isinstance(data, dict) else (
            isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data)
        )
        if not held:
            return MISSING
        data = data[step]  # type: ignore[index]  # held: a table with the key or a list with the position
    return data


def same(one: object, other: object) -> bool:
    """Equal in value and type, all the way down; 1, 1.0 and true are three values."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return type(one) is type(other) and one == other


def with_value(data: Any, path: Path, value: Any) -> Any:
    """Plain data with a value set: what is on the way is copied, everything else shared; a position past the end of a
    list is its next one."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        items = list(data) if isinstance(data, list) else []
        step = min(step, len(items))
        items[step:step + 1] = [with_value(items[step] if step < len(items) else MISSING, rest, value)]
        return items
    table = dict(data) if isinstance(data, dict) else {}
    table[step] = with_value(table.get(step, MISSING), rest, value)
    return table


def without(data: Any, path: Path) -> Any:
    """Plain data without what a path leads to."""
    step, rest = path[0], path[1:]
    copied: Any = list(data) if isinstance(data, list) else dict(data)
    if rest:
        copied[step] = without(copied[step], rest)
    else:
        del copied[step]
    return copied


def is_tables(value: object) -> bool:
    """Whether a value is a list of tables."""
    return isinstance(value, list) and all(isinstance(item, dict) for item in value)


def own_section(path: Path, value: object) -> bool:
    """Whether a new value is by its nature written under a header rather than on one line."""
    length = len(path)
    if isinstance(value, dict):
        return (
            (length == 1 and (path[0] in _OWN_TABLE or path[0] in ENTRIES))
            or (length == 2 and path[0] in ENTRIES)
            or (length == 3 and (path[0], path[2]) in (("fuse_box", "position"), ("connector", "pin")))
        )
    inside = length == 3 and (path[0], path[2]) in (("circuit", "load"), ("trip", "leg"))
    return is_tables(value) and value != [] and (path in (("reading",), ("signed",), ("change",)) or inside)


def section_text(path: Path, value: Mapping[str, Any], array: bool = False) -> str:
    """A table with its header, the tables below it after its own keys."""
    head = ".".join(key_text(step) for step in path if isinstance(step, str))
    lines, below = "", ""
    for key, item in value.items():
        if not own_section((*path, key), item):
            lines += f"{key_text(key)} = {literal(item)}\n"
        elif isinstance(item, list):
            below += "".join("\n" + section_text((*path, key), entry, True) for entry in item)
        else:
            below += "\n" + section_text((*path, key), item)
    if path and path[0] in ENTRIES and len(path) == 1 and not lines:
        return below.removeprefix("\n")
    return (f"[[{head}]]\n" if array else f"[{head}]\n") + lines + below

"""Reads a plan, and names everything that is wrong with it together."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from fuseplan.errors import PlanError, Problem
from fuseplan.plan.model import FORMAT, Plan
from fuseplan.plan.references import Path, accepted, parts, place, reference_problems
from fuseplan.quantities.amounts import clean
from fuseplan.store.files import clean_path, read_text, refused
from fuseplan.store.locate import Layout
from fuseplan.store.sentences import kind_of, sentences

_WHERE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)\Z")


def read_plan(path: str | os.PathLike[str]) -> Plan:
    """The plan in a file.

    Raises
    ------
    PlanError
        The file cannot be read, or with all of its problems, each with its line, in the order of the file.
    """
    return parse_plan(read_text(os.fspath(path)).text, os.fspath(path))


def parse_plan(text: str, file: str = "plan") -> Plan:
    """The plan in a text; `file` is what problems are reported under. Raises PlanError as `read_plan` does."""
    return plan_of(parse_data(text, file), text, file)


def parse_data(text: str, file: str) -> dict[str, Any]:
    """A text as plain dicts and lists; raises PlanError for what is no TOML."""
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise refused(file, "lists or tables lie too deep in one another; accepted is a plan in TOML") from None
    except ValueError as error:
        said = str(error)
        found = _WHERE.search(said)
        line, column = text.count("\n", 0, len(text) - 1) + 1, ""
        if found and found[1]:
            line, column = int(found[1]), f" at column {found[2]}"
        what = clean_path(said[: found.start()] if found else said)[:200]
        raise refused(file, f"this is not TOML{column}: {what}; accepted is one `key = value` a line", line) from None


def plan_of(data: dict[str, Any], text: str, file: str) -> Plan:
    """The plan of a text already parsed; raises PlanError with everything that is wrong."""
    check_format(data, text, file)
    plan: Plan | None = None
    problems: list[tuple[Path, str]] = []
    try:
        plan = Plan.model_validate(data)
    except ValidationError as error:
        problems += sentences(error)
    problems += reference_problems(data)
    problems += name_problems(data)
    if plan is None or problems:
        layout = Layout(text)
        shown = clean_path(file)
        raise PlanError({Problem(shown, layout.line(path), message): None for path, message in problems})
    return plan


def check_format(data: Mapping[str, Any], text: str, file: str) -> None:
    """A file of another format gets one problem, not a hundred that follow from it."""
    accepts = f"accepted is `fuseplan = {FORMAT}`"
    if not data:
        raise refused(file, f"the file holds no keys; the smallest plan is the one line `fuseplan = {FORMAT}`", 1)
    if "fuseplan" not in data:
        raise refused(file, f"the key `fuseplan`, the format's version, is missing; {accepts} as the first line", 1)
    version = data["fuseplan"]
    if type(version) is int and version == FORMAT:
        return
    line = Layout(text).line(("fuseplan",))
    if type(version) is int and version > FORMAT:
        raise refused(file, f"format {version} is newer than this program reads; {accepts}, or a newer program", line)
    raise refused(file, f"`fuseplan` is {kind_of(version)}; {accepts}", line)


def name_problems(data: Mapping[str, Any]) -> list[tuple[Path, str]]:
    """Relay contacts, sockets, insulations, terminals and fuse holders that no table has on file."""
    problems: list[tuple[Path, str]] = []
    for kind, path, part in parts(data):
        for step, key, words in _ON_FILE.get(kind, ()):
            inner, where = (part.get(step), (*path, step)) if step else (part, path)
            name = inner.get(key) if isinstance(inner, dict) else None
            if isinstance(name, str) and name not in _on_file(key):
                problems.append(((*where, key), f"{place(where)}: no {words} '{clean(name)}' is on file; "
                                 f"{accepted(name, sorted(_on_file(key)), 20)}"))
    return problems


_ON_FILE: dict[str, tuple[tuple[str, str, str], ...]] = {
    "relay": (("", "contact", "relay contact"), ("", "socket", "socket terminal")),
    "segment": (("", "insulation", "insulation"), ("start", "terminal", "terminal"), ("end", "terminal", "terminal")),
    "fuse": (("", "holder", "fuse holder"),),
}
"""Which key of which part, or of what it holds under another key, names a row of a table."""


@lru_cache(maxsize=8)
def _on_file(key: str) -> frozenset[str]:
    """The names a key may take. The tables are loaded when a plan first names one."""
    if key == "contact":
        from fuseplan.tables.relays import CONTACTS

        return frozenset(CONTACTS)
    if key == "insulation":
        from fuseplan.tables.insulations import INSULATIONS

        return frozenset(INSULATIONS)
    if key in ("terminal", "socket"):
        from fuseplan.tables.terminals import TERMINALS

        return frozenset(TERMINALS)
    from fuseplan.tables.terminals import holders

    return frozenset(holders())

"""Reads a plan, and names everything that is wrong with it together. What finds the words for that is imported where
something is wrong."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import islice
from typing import Any

from pydantic import BaseModel, ValidationError

from fuseplan.errors import PlanError, Problem
from fuseplan.plan.model import FORMAT, Plan
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.references import Path, accepted, parts, place
from fuseplan.planfile.files import clean_path, read_text, refused
from fuseplan.planfile.old_words import has_renamed_name, renamed
from fuseplan.quantities.amounts import clean, kind_of

_WHERE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)\Z")

_DEEP = re.compile(r"""(?<![\w"'-])(?:[\w"'-]+[ \t]*\.[ \t]*){40}""")
MOST_PROBLEMS = 50
"""How many problems of one file are listed."""
_MANY_DETAILS = 20_000


def read_plan(path: str | os.PathLike[str]) -> Plan:
    """The plan in a file.

    Raises:
        PlanError: The file cannot be read, or with all of its problems, each with its line, in the order of the file.
    """
    return parse_plan(read_text(os.fspath(path)).text, os.fspath(path))


def parse_plan(text: str, file: str = "plan") -> Plan:
    """The plan in a text; `file` is what problems are reported under. Raises PlanError as `read_plan` does."""
    return plan_of(parse_data(text, file), text, file)


def parse_data(text: str, file: str) -> dict[str, Any]:
    """A text as plain dicts and lists; raises PlanError for what is no TOML."""
    deep = _DEEP.search(text)
    if deep:
        line = text.count("\n", 0, deep.start()) + 1
        raise refused(file, "a key of more than 40 parts; accepted is a plan in TOML", line)
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
    """The plan of a text already parsed; raises PlanError with everything that is wrong, or the first of very much."""
    check_format(data, text, file)
    try:
        plan, wrong = Plan.model_validate(data), None
    except ValidationError as error:
        plan, wrong = None, error
    others = [*reference_problems(data, most=MOST_PROBLEMS + 1), *name_problems(data, MOST_PROBLEMS + 1)]
    if plan is None or others or has_renamed_name(data):
        check_words(data, text, file)
        raise refusal(file, text, data, wrong, others)
    return plan


def check_words(data: Mapping[str, Any], text: str, file: str) -> None:
    """Refuses a file that uses old words, with the new ones: what else is wrong with it is looked at after that."""
    words = renamed(data)
    if not words:
        return
    from fuseplan.planfile.locate import Layout

    layout, shown = Layout(text), clean_path(file)
    problems = [Problem(shown, layout.line(word.path), word.sentence()) for word in words[:MOST_PROBLEMS]]
    count = f"{len(words)} words of this file have new names" if len(words) > 1 else \
        "one word of this file has a new name"
    raise PlanError([Problem(shown, 0, f"{count}; `fuseplan upgrade PLAN` writes them and leaves all else as it is"),
                     *dict.fromkeys(problems)])


def refusal(file: str, text: str, data: Mapping[str, Any], wrong: ValidationError | None,
            others: list[tuple[Path, str]], root: type[BaseModel] = Plan) -> PlanError:
    """What a validation and other looks at a file found wrong, each with its line.

    At most `MOST_PROBLEMS` are listed: nobody reads more before mending those, and each takes its time. `others` may be
    cut off after one more than that.
    """
    from fuseplan.planfile.locate import Layout
    from fuseplan.planfile.validation_messages import sentences

    count = len(others)
    problems: list[tuple[Path, str]] = []
    if wrong is not None:
        count += wrong.error_count()
        problems += sentences(_fewer(wrong, data, root), root, most=MOST_PROBLEMS, data=data)
    layout = Layout(text)
    shown = clean_path(file)
    listed = [Problem(shown, layout.line(path), message) for path, message in [*problems, *others][:MOST_PROBLEMS]]
    if count > MOST_PROBLEMS:
        about = "at least " if len(others) > MOST_PROBLEMS else ""
        listed.append(Problem(shown, 0, f"{about}{count} entries with errors; {len(listed)} of them follow"))
    return PlanError(dict.fromkeys(listed))


def _fewer(wrong: ValidationError, data: Mapping[str, Any], root: type[BaseModel]) -> ValidationError:
    """The same verdict with fewer details where there are very many: all of them together take a gigabyte."""
    for most in (200, 10):
        if wrong.error_count() <= _MANY_DETAILS:
            break
        try:
            root.model_validate(_cut(data, most, (), root))
        except ValidationError as error:
            wrong = error
    return wrong


def _cut(value: Any, most: int, path: Path, root: type[BaseModel]) -> Any:
    """Data with only the first items of every table and list, besides the keys that a table is known to have."""
    from fuseplan.planfile.validation_messages import keys_of, model_at

    if isinstance(value, dict):
        model = model_at(path, root)
        known = set(keys_of(model)) if model else set()
        kept = {*islice(value, most), *(known & value.keys())}
        return {key: _cut(each, most, (*path, key), root) for key, each in value.items() if key in kept}
    if isinstance(value, list):
        return [_cut(each, most, (*path, index), root) for index, each in enumerate(value[:most])]
    return value


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
    from fuseplan.planfile.locate import Layout

    line = Layout(text).line(("fuseplan",))
    if type(version) is int and version > FORMAT:
        raise refused(file, f"format {version} is newer than this program reads; {accepts}, or a newer program", line)
    raise refused(file, f"`fuseplan` is {kind_of(version)}; {accepts}", line)


def name_problems(data: Mapping[str, Any], most: int | None = None) -> list[tuple[Path, str]]:
    """Relay contacts, sockets, insulations, terminals and fuse holders that no table has on file; so many at most."""
    return list(islice(_name_problems(data), most))


def _name_problems(data: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    for kind, path, part in parts(data):
        for step, key, words in _ON_FILE.get(kind, ()):
            inner, where = (part.get(step), (*path, step)) if step else (part, path)
            name = inner.get(key) if isinstance(inner, dict) else None
            if isinstance(name, str) and name not in _on_file(key):
                yield (*where, key), (f"{place(where)}: no {words} '{clean(name)}' is on file; "
                                      f"{accepted(name, sorted(_on_file(key)), 20)}")


_ON_FILE: dict[str, tuple[tuple[str, str, str], ...]] = {
    "relay": (("", "contact", "relay contact"), ("", "socket", "socket terminal")),
    "segment": (("", "insulation", "insulation"), ("start", "terminal", "terminal"), ("end", "terminal", "terminal")),
    "fuse": (("", "holder", "fuse holder"),),
    "pin": (("", "insulation", "insulation"),),
    "extension": (("", "insulation", "insulation"),),
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

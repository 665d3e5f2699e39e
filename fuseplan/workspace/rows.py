"""The rows of a form: fields, headings of parts, and what can be added."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Literal

from fuseplan.plan.references import Path, place
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.fuse import fuse_result
from fuseplan.workspace import entry as entries_text
from fuseplan.workspace.fields import Entry, entries, is_common, model_at
from fuseplan.workspace.session import Session

RowKind = Literal["field", "heading", "add_part", "add_item", "more", "id"]

_NAMES = {"earth_wire": "earth wire", "cable": "alternator cable", "fuse_box": "fuse box", "start": "supply end",
          "end": "far end", "curve": "measured point", "join_to": "joined to",
          "wire_86": "coil wire 86", "wire_85": "coil wire 85"}
_SINGULAR = {"wire": "wire segment", "earth_wire": "earth wire segment", "cable": "alternator cable segment",
             "splice": "further joint", "wire_86": "coil wire 86 segment",
             "wire_85": "coil wire 85 segment"}


@dataclass(frozen=True)
class Row:
    """One line of a form.

    Attributes:
        kind: what Enter does on it: edit a field, open the menu of a part, add a part or item, show rare keys, rename
        path: of the field or part
        depth: how far it is set in
        label, value, help: texts to show
        entry: for a field
        message: why what is typed was not taken
        hint: what holds while the field is empty
        waiting: the text shown is not in the plan
    """

    kind: RowKind
    path: Path
    depth: int
    label: str
    value: str = ""
    help: str = ""
    entry: Entry | None = None
    message: str = ""
    waiting: bool = False
    hint: str = ""


def part_words(key: str) -> str:
    """A key that holds a part, in words."""
    return _NAMES.get(key, key.replace("_", " "))


def item_words(key: str) -> str:
    """One item of a key that holds several parts, in words."""
    return _SINGULAR.get(key, part_words(key))


def rows_of(session: Session, root: Path) -> list[Row]:
    """The rows of the part under `root`."""
    found: list[Row] = []
    if len(root) == 2:
        found.append(Row("id", root, 0, "id", str(root[1]),
                         "name in the file; Enter renames it, and everything that names it follows"))
    found.extend(_part(session, root, 0))
    return found


def _part(session: Session, path: Path, depth: int) -> Iterator[Row]:
    model = model_at(path)
    if model is None:
        raise KeyError(path)
    unfolded = (*path, "…") in session.drafts.opened
    hidden = []
    for each in entries(model):
        here = (*path, each.key)
        if not (unfolded or is_common(each) or session.has(here) or session.drafts.touches(here)):
            hidden.append(each.label)
            continue
        if each.kind == "part":
            yield from _group(session, here, each, depth)
        elif each.kind == "list":
            yield from _items(session, here, each, depth)
        elif each.kind == "named":
            yield from _named(session, here, each, depth)
        else:
            yield _field(session, here, each, depth)
    if hidden:
        yield Row("more", path, depth, "more", ", ".join(hidden), "Enter shows these keys as well")


def _field(session: Session, path: Path, entry: Entry, depth: int) -> Row:
    kept = session.drafts.texts.get(path)
    value = entries_text.shown(session.value(path)) if kept is None else kept
    message = session.drafts.messages.get(path, "")
    # Where it is, is plain from where the message stands.
    for known in (f"{place(path[:-1])}: ", f"{place(path[:-1])} ", f"`{entry.key}` is wrong: "):
        message = message.removeprefix(known)
    message = re.sub(rf"^`{re.escape(entry.key)} (\d+)`( is wrong:)?",
                     lambda found: f"entry {found[1]}{':' if found[2] else ''}", message)
    return Row("field", path, depth, entry.label, value, _help(entry), entry, message, kept is not None,
               "" if value else _hint(session, path, entry))


def _hint(session: Session, path: Path, entry: Entry) -> str:
    """What holds while a field is empty: the default, a proposed fuse, the runs a segment lies in."""
    if (entry.owner, entry.key) == ("fuse", "rating") and session.has(path[:-1]):
        owner = ("alternator", "") if path[0] == "alternator" else (str(path[0]), str(path[1]))
        fuse = fuse_result(session.assessment, owner)
        if fuse is not None and fuse.proposed_a is not None:
            surge = ", for the inrush current" if fuse.for_surge else ""
            return f"{writing.rating(fuse.proposed_a)} is proposed{surge}"
        return "" if fuse is None else "no standard rating suits both load and wire" if fuse.range_a.is_empty \
            else "no rating passes every check" if fuse.none_fits else ""
    if entry.owner == "segment" and entry.key in ("length", "zone") and session.has((*path[:-1], "along")):
        return "from the runs it lies in"
    if (entry.owner, entry.key) == ("load", "use") and session.has(path[:-1]):
        return session.assessment.circuit(str(path[1])).use_of(int(path[3]))
    if entry.required:
        return "needed"
    default = entry.default
    if isinstance(default, tuple):
        default = list(map(str, default))
    return entries_text.shown(default) if default not in (None, [], "") else ""


def _help(entry: Entry) -> str:
    words = entry.help or {"name": "what it is called on screens and papers"}.get(entry.key, "")
    if entry.span:
        words += f"; {entry.span}"
    if entry.dimension is not None:
        words += f", like {' or '.join(entry.dimension.fitting)}"
    elif entry.kind == "size":
        words += "; like 2.5 mm2 or AWG 14"
    elif entry.kind == "words":
        words += "; several, with commas"
    return words.removeprefix("; ")


def _group(session: Session, path: Path, entry: Entry, depth: int) -> Iterator[Row]:
    if not session.has(path) and not session.drafts.touches(path):
        yield Row("add_part", path, depth, f"+ {part_words(entry.key)}", "", entry.help or "")
        return
    yield Row("heading", path, depth, part_words(entry.key).capitalize(), _unready(session, path), entry.help)
    yield from _part(session, path, depth + 1)


def _unready(session: Session, path: Path) -> str:
    return "" if session.has(path) else "not in the plan yet: fill in what is needed"


def _items(session: Session, path: Path, entry: Entry, depth: int) -> Iterator[Row]:
    held = session.value(path)
    number = len(held) if isinstance(held, list) else 0
    at = len(path)
    started = {int(each[at]) for each in (*session.drafts.texts, *session.drafts.opened)
               if each[:at] == path and len(each) > at and isinstance(each[at], int)}
    words = item_words(entry.key)
    for index in range(max([number, *(each + 1 for each in started)], default=number)):
        item = (*path, index)
        if index >= number and index not in started:
            continue
        yield Row("heading", item, depth, f"{words.capitalize()} {index + 1}",
                  _summary(held[index]) if index < number and isinstance(held, list) else _unready(session, item),
                  entry.help)
        yield from _part(session, item, depth + 1)
    yield Row("add_item", path, depth, f"+ {words}", "", entry.help)


def _named(session: Session, path: Path, entry: Entry, depth: int) -> Iterator[Row]:
    held = session.value(path)
    for name in held if isinstance(held, dict) else ():
        yield Row("heading", (*path, name), depth, f"{part_words(entry.key).capitalize()} {name}", "", entry.help)
        yield from _part(session, (*path, name), depth + 1)
    yield Row("add_item", path, depth, f"+ {item_words(entry.key)}", "", entry.help)


def _summary(item: Any) -> str:
    """An item of a list in a few words: its name, or its size and length."""
    if not isinstance(item, dict):
        return ""
    if "name" in item:
        return str(item["name"])
    along = item.get("along")
    where = "along " + ", ".join(map(str, along)) if isinstance(along, list) else item.get("length")
    return writing.as_printed(", ".join(str(each) for each in (item.get("size"), where) if each))

"""An opened plan: its text, the plan the text says, and edits that keep both in step."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from copy import copy
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any

from fuseplan.errors import EditError, PlanError
from fuseplan.plan.model import Plan
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.references import ENTRIES, Path, a_part, ends_naming, names_in, place
from fuseplan.planfile import edits
from fuseplan.planfile.consistency import changed_parts, in_order, says, validated, without_traces
from fuseplan.planfile.files import read_text
from fuseplan.planfile.merge import merged
from fuseplan.planfile.own_file import OwnFile
from fuseplan.planfile.plain import MISSING, get, plain_value, section_text, with_value
from fuseplan.planfile.read import name_problems, parse_data, plan_of
from fuseplan.planfile.renaming import readings_renamed, rename_keys, splice
from fuseplan.quantities.amounts import clean
from fuseplan.records import dataclass


@dataclass(frozen=True, eq=False)
class Snapshot:
    """A document at one moment: its text, the plan, and the plain data they stand for. Not to be changed."""

    text: str
    plan: Plan
    data: Mapping[str, Any]

    @cached_property
    def seen_texts(self) -> dict[tuple[str, str], tuple[str, ...]]:
        """The texts it holds, as far as they were looked for, by kind of part and key."""
        return {}


class PlanDocument:
    """A plan open for editing. Always holds a valid plan: an edit that would break it is refused.

    Every edit returns the new `Snapshot`; `restore` goes back to any of them, so undo is a list of snapshots.
    """

    def __init__(self, now: Snapshot, file: OwnFile) -> None:
        self._now = now
        self._file = file

    def __copy__(self) -> PlanDocument:
        """A document that goes its own way, also in what it last read and saved."""
        return PlanDocument(self._now, copy(self._file))

    @classmethod
    def open(cls, path: str | os.PathLike[str]) -> PlanDocument:
        """Open a plan's file; raises PlanError with all of its problems."""
        file = read_text(os.fspath(path))
        own = OwnFile(FilePath(path))
        own.took(file)
        return cls(_snapshot(file.text, os.fspath(path)), own)

    @classmethod
    def from_text(cls, text: str, path: str | os.PathLike[str] | None = None) -> PlanDocument:
        """A plan that is on no disk yet; raises PlanError with all of its problems."""
        text = text.replace("\r\n", "\n")
        text = text if text.endswith("\n") else text + "\n"
        return cls(_snapshot(text, str(path or "plan")), OwnFile(FilePath(path) if path else None))

    @property
    def path(self) -> FilePath | None:
        """The file it was read from or saved to last; None for a plan that has none yet."""
        return self._file.path

    @property
    def text(self) -> str:
        """The text, lines ending in LF, with a final newline."""
        return self._now.text

    @property
    def plan(self) -> Plan:
        """The plan the text says."""
        return self._now.plan

    @property
    def is_changed(self) -> bool:
        """Whether the text differs from what was last read or saved."""
        return self._file.text != self._now.text

    def snapshot(self) -> Snapshot:
        """The document as it is now."""
        return self._now

    def restore(self, earlier: Snapshot | str) -> None:
        """Go back to a snapshot, at once, or to a text, read again; raises PlanError for a text that is no plan."""
        self._now = earlier if isinstance(earlier, Snapshot) else _snapshot(earlier, str(self.path or "plan"))

    def set(self, path: Path, value: object) -> Snapshot:
        """Set one value; a table or list replaces what is there, rewriting only what differs.

        Raises:
            EditError: The plan would not hold together; nothing is changed.
        """
        return self.change([(path, value)])

    def remove(self, path: Path) -> Snapshot:
        """Remove a key, an entry of a list or a whole part; raises EditError if it is not there or is needed."""
        return self.change([(path, None)])

    def change(self, changes: Iterable[tuple[Path, object]]) -> Snapshot:
        """Several edits at once, judged after the last of them; a value of None removes."""
        text, data = self._now.text, self._now.data
        touched: list[Path] = []
        for steps, value in changes:
            path = tuple(steps)
            if not path or not all(isinstance(step, (str, int)) for step in path):
                raise EditError("an edit needs the path of a key")
            if value is None:
                if get(data, path) is MISSING:
                    raise EditError(f"{place(path)} is not there, so it cannot be removed")
                text = edits.drop(text, path)
                data = without_traces(text, data, path)
            else:
                plain = plain_value(value)
                text, data = edits.put(text, data, path, plain), with_value(data, path, plain)
            touched.append(path)
        return self._accept(text, data, touched)

    def insert_circuit(self, name: str, table: Mapping[str, Any] | str, after: str | None = None) -> Snapshot:
        """Add a circuit, behind another or behind the last.

        `table` holds its keys, or is a text with one ``[circuit.…]``, whose comments come along.
        """
        self._check_free("circuit", name)
        if after is not None:
            self._check_there("circuit", after)
        if isinstance(table, str):
            block, plain = _circuit_of_text(table, name)
        else:
            plain = plain_value(table)
            block = section_text(("circuit", name), plain)
        text = edits.insert_block(self.text, ("circuit", name), block, ("circuit", after) if after else None)
        return self._accept(text, with_value(self._now.data, ("circuit", name), plain), [("circuit", name)])

    def duplicate_circuit(self, name: str, new: str) -> Snapshot:
        """Copy a circuit, comments included, and put the copy behind it."""
        self._check_there("circuit", name)
        block = edits.block_of(self.text, ("circuit", name))
        return self.insert_circuit(new, block or self._now.data["circuit"][name], after=name)

    def move_circuit(self, name: str, before: str | None) -> Snapshot:
        """Put a circuit before another, or behind the last for None."""
        self._check_there("circuit", name)
        if before is not None:
            self._check_there("circuit", before)
        if before == name:
            return self._now
        path: Path = ("circuit", name)
        block = edits.block_of(self.text, path) or section_text(path, self._now.data["circuit"][name])
        text = edits.drop(self.text, path)
        if before is None:
            text = edits.insert_block(text, path, block)
        else:
            text = edits.insert_before(text, ("circuit", before), block)
        return self._accept(text, dict(self._now.data), [path])

    def rename(self, kind: str, old: str, new: str) -> Snapshot:
        """Rename a named part; everything that names it follows."""
        if kind not in ENTRIES:
            raise EditError(f"'{clean(kind)}' cannot be renamed; accepted are {', '.join(ENTRIES)}")
        self._check_there(kind, old)
        if old == new:
            return self._now
        self._check_free(kind, new)
        data: Mapping[str, Any] = self._now.data
        spots: list[tuple[Path, str]] = [
            (path, new) for path, name, target in names_in(data) if target == kind and name == old]
        if kind == "connector":
            spots += [(path, new) for path in ends_naming(data, old)]
        spots += readings_renamed(data, kind, old, new)
        text = rename_keys(splice(self.text, spots), (kind, old), new)
        for path, value in spots:
            data = with_value(data, path, value)
        data = {**data, kind: {new if name == old else name: part for name, part in data[kind].items()}}
        moved = [(kind, new) if path[:2] == (kind, old) else path for path, _ in spots]
        return self._accept(text, data, [*moved, (kind, new)])

    def _check_there(self, kind: str, name: str) -> None:
        if name not in self._now.data.get(kind, {}):
            raise EditError(f"there is no {kind} '{clean(name)}' in this plan")

    def _check_free(self, kind: str, name: str) -> None:
        if not 1 <= len(name) <= 64 or not name.isprintable():
            raise EditError(f"'{clean(name)}' is no name; accepted are 1 to 64 characters that can be printed")
        if name in self._now.data.get(kind, {}):
            raise EditError(f"there is {a_part(kind)} '{clean(name)}' already; accepted is a name that is not taken")

    def _accept(self, text: str, data: Mapping[str, Any], touched: list[Path]) -> Snapshot:
        """Take an edited text, if the plan still holds together and the text says what the data say."""
        heads = {path[:2] if path[0] in ENTRIES and len(path) > 1 else path[:1] for path in touched}
        data = in_order(text, data, {str(head[0]) for head in heads})
        plan = validated(self._now.plan, data, heads)
        looked_at = changed_parts(self._now.data, data, heads)
        problems = [*reference_problems(data, looked_at), *name_problems(data if looked_at is None else looked_at)]
        if problems:
            raise EditError("; ".join(message for _, message in problems))
        if not says(text, data, heads):
            raise EditError(f"{', '.join(place(head) for head in sorted(heads, key=str))}{edits.NOT_EDITED}")
        self._now = Snapshot(text, plan, data)
        return self._now

    def changed_on_disk(self) -> bool:
        """Whether the file is no longer what was read or saved; also when it is gone."""
        return self._file.has_changed()

    @property
    def base(self) -> str:
        """The text as it was last read or saved; empty for a plan that is on no disk yet."""
        return self._file.text or ""

    def merge_disk(self) -> bool:
        """Take another program's change to the file into the text, beside what was changed here.

        Returns:
            False where both changed the same lines or the two together are no plan; nothing is changed then.
        Raises:
            PlanError: The file cannot be read.
        """
        file = read_text(os.fspath(self._file.named()))
        text = merged(self.base, self.text, file.text)
        if text is None:
            return False
        try:
            now = _snapshot(text, str(self.path))
        except PlanError:
            return False
        self._now = now
        self._file.took(file)
        return True

    def save(self, path: str | os.PathLike[str] | None = None, force: bool = False) -> None:
        """Write the text to its file, or to another; whole or not at all.

        Raises:
            ChangedOnDisk: The file is not what was read, or another file of that name is there; `force` writes all the
                same.
            StoreError: The file cannot be written; the old one is as it was.
        """
        self._file.write(self.text, None if path is None else FilePath(path), force)


def _snapshot(text: str, file: str) -> Snapshot:
    data = parse_data(text, file)
    return Snapshot(text, plan_of(data, text, file), data)


def _circuit_of_text(text: str, name: str) -> tuple[str, dict[str, Any]]:
    """The one circuit of a text under a new name, as a block with its comments and as plain data."""
    circuits = parse_data(text, "circuit").get("circuit", {})
    if not isinstance(circuits, dict) or len(circuits) != 1:
        raise EditError("accepted is a text with exactly one [circuit.NAME]")
    (old, plain), = circuits.items()
    block = edits.block_of(text if text.endswith("\n") else text + "\n", ("circuit", old))
    if block is None:
        return section_text(("circuit", name), plain), plain
    return rename_keys(block, ("circuit", old), name), plain

"""A list on its way into the open plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path as File
from types import MappingProxyType
from typing import get_args

from fuseplan.exchange.harness_into_plan import take_harness
from fuseplan.exchange.kbl_in import read_kbl
from fuseplan.exchange.lists import PINS
from fuseplan.exchange.mapping import ColumnMap, kind_of_list, proposed, read_mapping, remembered
from fuseplan.exchange.preview import harness_preview, preview_text
from fuseplan.exchange.table_files import Table, pasted_table, read_table
from fuseplan.exchange.taken import Taken
from fuseplan.exchange.taking import take
from fuseplan.plan.references import Path
from fuseplan.plan.words import LoomKind
from fuseplan.planfile.confined import check_readable
from fuseplan.quantities import writing
from fuseplan.workspace.session import Session

ENDS = (".csv", ".xlsx", ".tsv", ".txt", ".kbl", ".xml")
LOOM_KINDS = get_args(LoomKind)


class HarnessToTake:
    """A harness description read for a session as a loom of a kind; used as `ListToTake` is.

    Raises:
        FuseplanError: The file is no harness description, or may not be read from a page in a browser.
    """

    can_be_taken = True
    kind = "pins of a harness"
    looms: Mapping[str, str] = MappingProxyType({})
    """Its loom is stated already."""

    def __init__(self, session: Session, file: str, loom: str, room: int) -> None:
        path = File(file).expanduser()
        if session.is_confined:
            check_readable(session.document.path, path, ENDS)
        self._session = session
        harness = read_kbl(path)
        self._taken = take_harness(session.document.snapshot().data, harness, loom)
        self.preview = harness_preview(str(path), harness, self._taken, room)

    @property
    def words(self) -> str:
        """What is taken, to ask about: ``12 parts``."""
        return writing.counted(len(self._taken.changes), "part")

    def take(self, loom: str | None = None) -> None:
        """Put it into the plan, as one step; raises EditError where the plan no longer takes it."""
        self._session.edit("import harness", lambda: self._session.document.change(self._taken.changes))


class ListToTake:
    """A list read for a session: what it would change, as text, and the taking of it.

    How its columns are read is what was remembered beside it, else what its headings suggest. Circuits and pins that
    are in the plan already are left alone: a list that names them is refused here, and taken with
    ``fuseplan import --replace``.

    Raises:
        FuseplanError: The file is no list, or may not be read from a page in a browser.
    """

    def __init__(self, session: Session, file: str, room: int) -> None:
        path = File(file).expanduser()
        if session.is_confined:
            check_readable(session.document.path, path, ENDS)
        self._session, self._room = session, room
        self._table: Table = read_table(path)
        kept = remembered(path)
        self._mapping: ColumnMap = read_mapping(kept) if kept.is_file() else proposed(
            self._table, kind_of_list(self._table))

    @property
    def kind(self) -> str:
        """What the list holds: loads, wires or pins."""
        return self._mapping.which.name

    @property
    def words(self) -> str:
        """What is taken, to ask about: ``12 rows``."""
        return writing.counted(len(self._table.rows), "row")

    @cached_property
    def _taken(self) -> Taken:
        return take(self._session.document.snapshot().data, self._table, self._mapping)

    @property
    def can_be_taken(self) -> bool:
        """Whether nothing is wrong with it."""
        return not self._taken.problems

    @property
    def preview(self) -> str:
        """How it is read, its first rows, and what is wrong with it."""
        return preview_text(self._table, self._mapping, self._taken, self._room)

    @property
    def looms(self) -> Mapping[str, str]:
        """The looms its connectors may be of, those of the plan first, then one of each kind, with words on each; none
        where it brings no connector, or each has its loom."""
        if not any(self._lacks_loom(path, value) for path, value in self._taken.changes):
            return {}
        plan = self._session.plan
        known = {name: f"{loom.kind} loom of the plan" for name, loom in plan.loom.items()}
        return known | {kind: "a new loom" for kind in LOOM_KINDS if kind not in known}

    @staticmethod
    def _lacks_loom(path: Path, value: object) -> bool:
        return path[0] == "connector" and len(path) == 2 and isinstance(value, dict) and "loom" not in value

    def take(self, loom: str | None = None) -> None:
        """Put it into the plan, as one step, connectors without a loom into the one given; raises EditError where the
        plan no longer takes it."""
        changes: list[tuple[Path, object]] = []
        if loom is not None and loom not in self._session.plan.loom:
            changes.append((("loom", loom), {"kind": loom}))
        for path, value in self._taken.changes:
            added = {"loom": loom} if loom is not None and self._lacks_loom(path, value) else {}
            changes.append((path, {**added, **value} if isinstance(value, dict) else value))
        self._session.edit("import list", lambda: self._session.document.change(changes))


class PastedPins(ListToTake):
    """A table of pins that was pasted: rows without a connector of their own belong to the one given; what it says of
    pins that are in the plan already replaces what stood there. Raises FuseplanError for what is no such table."""

    def __init__(self, session: Session, text: str, connector: str, room: int) -> None:
        self._session, self._room = session, room
        table = pasted_table(text)
        if "connector" not in proposed(table, PINS).columns:
            table = replace(table, heads=("connector", *table.heads),
                            rows=tuple((connector, *row) for row in table.rows))
        self._table, self._mapping = table, proposed(table, PINS)

    @cached_property
    def _taken(self) -> Taken:
        return take(self._session.document.snapshot().data, self._table, self._mapping, replaces=True)

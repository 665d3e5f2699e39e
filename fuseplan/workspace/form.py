"""A form on one part of the plan: its rows, and what happens when something is typed, added, removed or moved."""

from __future__ import annotations

from contextlib import AbstractContextManager
from functools import partial
from typing import Any

from fuseplan.errors import EditError
from fuseplan.plan.references import Path, place
from fuseplan.planfile.plain import with_value
from fuseplan.workspace import entry
from fuseplan.workspace.choices import in_ids
from fuseplan.workspace.fields import Entry, entry_at
from fuseplan.workspace.offers import Offer
from fuseplan.workspace.rows import Row, rows_of
from fuseplan.workspace.session import Session
from fuseplan.workspace.steps import one_step

EMPTIED = "empty: taken out of the plan when you go on to another field; Esc keeps it"
"""Said of a field that is empty while it is typed into; what stands in the plan is not dropped half-way."""
BRANCHES = {("feed", "from"), ("earth", "to")}
"""What a new branch of a tree that has its root must say besides what every part must."""


class Form:
    """The form on the part of the plan under `root`, for example ``("circuit", "fan")`` or ``("alternator",)``."""

    def __init__(self, session: Session, root: Path) -> None:
        self.session = session
        self.root = root

    def whole(self) -> AbstractContextManager[None]:
        """As of the session."""
        return self.session.whole()

    @property
    def title(self) -> str:
        """What the form is about."""
        return place(self.root)

    def rows(self) -> list[Row]:
        """Everything the form shows, from top to bottom."""
        return rows_of(self.session, self.root)

    def lacking(self) -> tuple[str, ...]:
        """What a part that is not in the plan yet still lacks: fields that must be filled in, and what is typed and not
        accepted, with what is; nothing where it is there."""
        if len(self.root) < 2 or self.session.has(self.root):
            return ()
        refused = [f"a correction of {row.label} ({row.message.removeprefix(f'`{row.path[-1]}` ')})"
                   for row in self.rows() if row.message and row.message != EMPTIED]
        return (*self._needed(self.root), *refused) or ("a first entry, in any field",)

    def unfinished(self) -> str:
        """Why a part that was begun is not in the plan, and what becomes of what was typed; empty where it is."""
        lacking = self.lacking()
        if not lacking:
            return ""
        if not self.session.drafts.under(self.root):
            return f"Nothing was entered, so there is no {self.title}"
        return (f"{self.title.capitalize()} is not in the plan yet; missing: {', '.join(lacking)}. What you typed is "
                "kept: go on with it from the list of the car's parts")

    def text(self, path: Path) -> str:
        """Text of a field: as typed last, if the plan did not take it, else as the plan has it."""
        kept = self.session.drafts.texts.get(path)
        return entry.shown(self.session.value(path)) if kept is None else kept

    @one_step
    def type_text(self, path: Path, text: str) -> str:
        """Take a text typed into a field.

        It takes the place of what was typed into the same field just before. A text the plan does not take is kept,
        together with the reason; the plan has the value it had before anything was typed. A text that is taken may make
        room for others: they are tried again.

        Returns:
            Why it was not taken; empty when it was.
        """
        with self.session.typed.begin(self.session, path):
            return self._take(path, text)

    def _take(self, path: Path, text: str) -> str:
        self.session.drafts.put(path, text)
        if not text.strip() and self.session.has(path):
            self.session.drafts.messages[path] = EMPTIED
        elif self._apply(path):
            self._retry(path[: len(self.root)])
        elif self._is_begun(path):
            # What is missing stands at the fields that are still empty, not at one that is right.
            self.session.drafts.messages.pop(path, None)
        return self.session.drafts.messages.get(path, "")

    def _is_begun(self, path: Path) -> bool:
        """Whether a text is right by itself, and the part it belongs to only lacks others."""
        top = self._missing_part(path)
        return top is not None and entry.is_right(_entry(path), self.session.drafts.texts[path]) \
            and bool(self._needed(top))

    def _needed(self, top: Path) -> list[str]:
        """Labels of the fields under a path that must be filled in and are empty."""
        # The first feed and the first earth point are the root of their tree.
        branches = {(kind, key) for kind, key in BRANCHES if getattr(self.session.plan, kind)}
        return [row.label for row in self.rows() if row.path[: len(top)] == top and row.entry is not None
                and not row.value and (row.entry.required or (row.entry.owner, row.entry.key) in branches)]

    @one_step
    def leave(self, path: Path) -> None:
        """The cursor leaves a field: one that was emptied is now taken out of the plan, parts typed by their names are
        taken by their ids, and a step to undo ends."""
        kept = self.session.drafts.texts.get(path, "")
        ids = in_ids(self.session, _entry(path), path, kept) if kept.strip() else None
        if ids is not None and ids != kept:
            self.type_text(path, ids)
        if self.session.drafts.messages.get(path) == EMPTIED and self._apply(path):
            self._retry(path[: len(self.root)])
        self.session.end_typing()

    @one_step
    def keep_emptied(self, path: Path) -> str:
        """Leave a field that was emptied as the plan has it; its text there, empty where there was nothing to keep."""
        if self.session.drafts.messages.get(path) != EMPTIED:
            return ""
        self.session.drafts.take(path)
        return entry.shown(self.session.value(path))

    def _apply(self, path: Path) -> bool:
        """Try a kept text on the plan; True when the plan took it."""
        session, field = self.session, _entry(path)
        try:
            value = entry.read(field, session.drafts.texts[path])
            top = self._missing_part(path)
            if top is not None:
                self._start_part(top)
            elif value is not None:
                changes = [(path, value), *((other, None) for other in self.giving_way(path))]
                session.edit(f"{field.label} of {place(path[:-1])}",
                             partial(session.document.change, changes), key=path)
            elif session.has(path):
                session.edit(f"clear {field.label} of {place(path[:-1])}",
                             partial(session.document.remove, path), key=path)
        except EditError as error:
            session.drafts.messages[path] = str(error)
            return False
        session.drafts.take(path)
        return True

    def take_offer(self, offer: Offer) -> None:
        """Put the texts of an offer into their fields, in one step to undo where the part is in the plan."""
        session, parts = self.session, {path[:-1] for path, _ in offer.texts}
        for path in (offer.typed_into, *offer.gives_way, *(path for path, _ in offer.texts)):
            session.drafts.take(path)
        if all(session.has(part) for part in parts):
            changes = [(path, entry.read(_entry(path), text)) for path, text in offer.texts]
            try:
                session.edit(f"take {offer.words}", partial(
                    session.document.change, [*changes, *((path, None) for path in offer.gives_way)]))
            except EditError:
                pass
            else:
                self._retry(offer.texts[0][0][: len(self.root)])
                return
        for path, text in offer.texts:
            self.type_text(path, text)
            self.leave(path)

    def giving_way(self, path: Path) -> list[Path]:
        """The fields in the plan that a value under a path takes the place of: runs, that of length and zone."""
        if _entry(path).owner != "segment" or path[-1] != "along":
            return []
        return [other for key in ("length", "zone") if self.session.has(other := (*path[:-1], key))]

    def _missing_part(self, path: Path) -> Path | None:
        """The outermost part on the way to a field that the plan does not have yet."""
        for length in range(len(self.root) if len(self.root) > 1 else 1, len(path)):
            if not self.session.has(path[:length]):
                # A list that is not there begins with its first item.
                return path[: length + 1] if isinstance(path[length], int) else path[:length]
        return None

    def _start_part(self, top: Path) -> None:
        """Put a new part into the plan with all that was typed for it."""
        session = self.session
        texts = session.drafts.under(top)
        table: dict[str, Any] = {}
        for path, text in texts.items():
            value = entry.read(_entry(path), text)
            if value is not None:
                table = with_value(table, path[len(top):], value)
        if not table:
            return
        target: Path = top
        made: object = table
        if isinstance(top[-1], int) and not session.has(top[:-1]):
            target, made = top[:-1], [table]  # a list's first item brings the list
        session.edit(f"add {place(top)}", partial(session.document.set, target, made))
        for path in texts:
            session.drafts.take(path)

    def _retry(self, under: Path) -> None:
        """Try the texts not taken so far again, as long as that helps."""
        again = True
        while again:
            waiting = list(self.session.drafts.under(under))
            taken = [self._apply(path) for path in waiting if path in self.session.drafts.texts]
            again = any(taken)

    @one_step
    def add_item(self, items: Path) -> Path:
        """Add an item at the end of a list; its path. One that needs entries first appears in the form only."""
        held = self.session.value(items)
        number = len(held) if isinstance(held, list) else 0
        item: Path = (*items, number)
        try:
            change = partial(self.session.document.set, items, [{}]) if number == 0 else partial(
                self.session.document.set, item, {})
            self.session.edit(f"add {place(item)}", change)
        except EditError:
            self.session.drafts.opened.add(item)
        return item

    def open_part(self, path: Path) -> None:
        """Show a part the plan does not have yet; it comes into the plan with its first complete entries."""
        if not self.session.has(path):
            self.session.drafts.opened.add(path)

    def unfold(self, path: Path) -> None:
        """Show all keys of a part, also the rare ones."""
        self.session.drafts.opened.add((*path, "…"))

    def reveal(self, path: Path) -> None:
        """See to it that the form shows the field under a path."""
        for length in range(len(self.root), len(path)):
            self.unfold(path[:length])
            if isinstance(path[length], str) and length + 1 < len(path) and not isinstance(path[length + 1], int):
                self.open_part(path[: length + 1])

    @one_step
    def remove(self, path: Path) -> None:
        """Remove a part or an item of a list, and whatever was typed for it."""
        if self.session.has(path):
            self.session.edit(f"remove {place(path)}", partial(self.session.document.remove, path))
        self.session.drafts.forget(path)
        if isinstance(path[-1], int):
            self.session.drafts.closed_up(path[:-1], path[-1])

    @one_step
    def move(self, item: Path, by: int) -> Path:
        """Move an item of a list up (−1) or down (+1); its new path, the old one at the end of the list."""
        items, at = item[:-1], int(item[-1])
        held = self.session.value(items)
        if not isinstance(held, list) or not 0 <= at + by < len(held):
            return item
        order = list(held)
        order.insert(at + by, order.pop(at))
        new = (*items, at + by)
        self.session.edit(f"move {place(item)}", partial(self.session.document.set, items, order),
                          moves={item: new, new: item})
        return new

    def copy(self, item: Path) -> Path:
        """Copy an item of a list to its end; the copy's path."""
        items = item[:-1]
        held = self.session.value(items)
        if not isinstance(held, list):
            raise EditError(f"{place(item)} is not in the plan yet, so it cannot be copied")
        new: Path = (*items, len(held))
        self.session.edit(f"copy {place(item)}", partial(self.session.document.set, new, held[int(item[-1])]))
        return new


def _entry(path: Path) -> Entry:
    found = entry_at(path)
    if found is None:
        raise EditError(f"{place(path)} is not a key of a plan")
    return found

"""What Enter, F4 and F6 do in a form: choose, add, move, copy, remove, rename."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fuseplan.plan.references import REFERENCES, Path, part_kind_words, place
from fuseplan.planfile.usual_parts import EXAMPLE
from fuseplan.quantities.amounts import clean
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.dialogs import Answer, Ask, Choose, ChooseSome
from fuseplan.tui.widgets.entry_line import EntryLine
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.workspace.choices import choices, complete, usual_choices
from fuseplan.workspace.circuits import add_usual
from fuseplan.workspace.entry import read, shown
from fuseplan.workspace.fields import Entry, entry_at
from fuseplan.workspace.offers import offers
from fuseplan.workspace.rows import Row, item_words

if TYPE_CHECKING:
    from fuseplan.workspace.form import Form


class PartActions(PlanScreen[None]):
    """The actions of a form on the row under its cursor. The form itself says which row that is."""

    root: Path

    if TYPE_CHECKING:
        @property
        def form(self) -> Form: ...
        @property
        def row(self) -> Row: ...
        def go_to_row(self, index: int) -> None: ...
        def go_to_path(self, path: Path) -> None: ...
        def action_row(self, by: int) -> None: ...
        def take_line(self) -> None: ...

    def action_enter(self) -> None:
        self.take_line()
        row = self.row
        if row.kind == "field":
            self._enter_field(row)
        elif row.kind == "more":
            self.form.unfold(row.path)
            self.refresh_plan()
        elif row.kind == "add_part":
            self.form.open_part(row.path)
            self.go_to_path(row.path)
        elif row.kind == "add_item":
            self._add_item(row.path)
        elif row.kind == "heading":
            self.action_part_menu()
        else:
            self.action_rename()

    def action_rename(self) -> None:
        """Ask for a new name and id of the part the form is about."""
        if len(self.root) > 2:
            self.say(f"{place(self.root).capitalize()} is called what is printed beside the cavity: remove it and add "
                     "another to change that")
        elif len(self.root) < 2:
            self.say(f"There is only one {self.root[0]}: its name is a field of this form")
        elif not self.session.has(self.root):
            self.say(f"{place(self.root).capitalize()} is not in the plan yet, so there is nothing to rename")
        else:
            self.leave_field()
            self.program.rename(self.root, self._renamed)

    def action_complete(self) -> None:
        """Take the completion, if there is one, and go on."""
        self.take_line()
        if self.row.kind == "field" and self._take_completion(self.row):
            return
        self.action_row(1)

    def _take_completion(self, row: Row) -> bool:
        """Take what a half-typed text is completed to and go on; False where there is nothing to add."""
        completed = complete(self.session, row.entry, row.path, self.query_one(EntryLine).value) \
            if row.entry is not None else None
        if completed is None:
            return False
        self.form.type_text(row.path, completed)
        self.refresh_plan()
        self.action_row(1)
        return True

    def _enter_field(self, row: Row) -> None:
        """Take the completion and go on; on an untouched choice, show the choices."""
        if self._take_completion(row) or self._ask_meant(row):
            return
        typed = self.query_one(EntryLine).value
        if self._is_choice(row) and not row.message and typed == shown(self.session.value(row.path)) \
                and not self.session.history.is_open(row.path):
            self.action_choices()
        else:
            self.action_row(1)

    def _ask_meant(self, row: Row) -> bool:
        """Ask what a text that is not taken was meant as; False where nothing can be offered."""
        found = offers(self.session, row.entry, row.path, row.value)
        if not found:
            return False

        def take(number: str) -> None:
            self.form.take_offer(found[int(number)])
            self.refresh_plan()
            self.action_row(1)

        answers = [Answer(str(number), offer.words) for number, offer in enumerate(found)]
        self.program.ask(Choose(f"What is '{clean(row.value)}'?", answers, row.message, preset=False), take)
        return True

    def _is_choice(self, row: Row) -> bool:
        return row.entry is not None and (bool(row.entry.choices) or row.entry.kind == "words" or row.entry.key in (
            "feed", "earth", "zone", "contact", "coil_feed", "coil_earth", "insulation", "limits", "loom", "mates"))

    def action_choices(self) -> None:
        row = self.row
        listed = choices(self.session, row.entry, row.path) if row.entry is not None else []
        if not listed and self._ask_meant(row):
            return
        if not listed and row.entry is not None and self._ask_usual(row, row.entry):
            return
        if row.entry is None or not listed:
            self.say(_nothing_to_choose(row))
            return
        answers = [Answer(choice.word, choice.word, choice.meaning) for choice in listed]
        if row.entry.kind == "words":
            try:
                now = read(row.entry, row.value)
            except ValueError:
                now = None
            ticked = [str(word) for word in now] if isinstance(now, list) else []
            self.program.ask(ChooseSome(f"{row.label} of {place(row.path[:-1])}", answers, ticked),
                             lambda words: self._take(row, ", ".join(words)))
            return
        if not row.entry.required and row.value:
            answers.append(Answer("", "nothing", "take the entry out"))
        self.program.ask(Choose(f"{row.label} of {place(row.path[:-1])}", answers, row.help, row.value),
                         lambda word: self._take(row, word))

    def _ask_usual(self, row: Row, entry: Entry) -> bool:
        """Offer the usual feeds, earth points or zones where the plan has none to name; False for another field."""
        found = usual_choices(self.session, entry)
        if not found:
            return False
        kind = REFERENCES[entry.owner, entry.key]

        def take(word: str) -> None:
            if self.program.attempt(lambda: add_usual(self.session, [(kind, word)]), f"Added. ⚠ {EXAMPLE}"):
                self._take(row, word)

        self.program.ask(Choose(f"{row.label} of {place(row.path[:-1])}",
                                [Answer(choice.word, choice.word, choice.meaning) for choice in found],
                                f"The plan has no {part_kind_words(kind)} yet. The one chosen is added, "
                                "with what it needs up to the battery."), take)
        return True

    def _take(self, row: Row, text: str) -> None:
        self.form.type_text(row.path, text)
        self.form.leave(row.path)
        self.refresh_plan()

    def _add_item(self, items: Path) -> None:
        entry = entry_at(items)
        if entry is not None and entry.kind == "named":
            def add(name: str | None) -> None:
                if name:
                    path = (*items, name.strip())
                    self.program.attempt(lambda: self.session.edit(
                        f"add {place(path)}", lambda: self.session.document.set(path, {})))
                    self.go_to_path(path)

            self.app.push_screen(Ask(f"New {item_words(str(items[-1]))}", words="What is printed beside it?"), add)
            return
        self.go_to_path(self.form.add_item(items))

    def _part(self) -> Path | None:
        """The innermost part with a heading that the cursor is in."""
        rows = self.query_one(FieldList).rows
        path = self.row.path
        headings = [row.path for row in rows if row.kind == "heading" and path[: len(row.path)] == row.path]
        return max(headings, key=len, default=None)

    def action_part_menu(self) -> None:
        part = self._part()
        if part is None:
            self._whole_menu()
            return
        answers = [Answer("remove", "remove it", "undo brings it back")]
        if isinstance(part[-1], int):
            answers = [Answer("up", "move it up"), Answer("down", "move it down"), Answer("copy", "copy it"), *answers]

        def act(word: str) -> None:
            if word == "remove":
                self.program.attempt(lambda: self.form.remove(part), f"Removed {place(part)}; Ctrl+Z brings it back")
                self.refresh_plan()
            elif word == "copy":
                self.program.attempt(lambda: self.go_to_path(self.form.copy(part)))
            else:
                self.program.attempt(lambda: self.go_to_path(self.form.move(part, -1 if word == "up" else 1)))

        self.program.ask(Choose(place(part).capitalize(), answers), act)

    def _whole_menu(self) -> None:
        """What can be done with the part the form is about."""
        if len(self.root) < 2 or not self.session.has(self.root):
            self.say("The cursor is in no part that could be moved or removed")
            return

        def act(word: str | None) -> None:
            if word == "rename":
                self.action_rename()
            elif word == "delete":
                self.program.delete_part(self.root)

        rename = [Answer("rename", "rename it", "everything that names it follows")] if len(self.root) == 2 else []
        self.app.push_screen(Choose(place(self.root).capitalize(), [
            *rename,
            Answer("delete", "delete it", "refused while something names it; undo brings it back")]), act)

    def action_next_part(self) -> None:
        self._to_heading(1)

    def action_previous_part(self) -> None:
        self._to_heading(-1)

    def _to_heading(self, by: int) -> None:
        rows = self.query_one(FieldList).rows
        here = rows.index(self.row)
        starts = [0] + [index for index, row in enumerate(rows) if row.kind in ("heading", "add_part", "add_item")]
        ahead = [index for index in starts if (index > here if by > 0 else index < here - 1)]
        if ahead:
            at = ahead[0] if by > 0 else ahead[-1]
            self.go_to_row(at + 1 if rows[at].kind == "heading" and at + 1 < len(rows) else at)

    def _renamed(self, new: str) -> None:
        self.root = (self.root[0], new)
        self.query_one(FieldList).rows = []
        self.refresh_plan()


def _nothing_to_choose(row: Row) -> str:
    """What is done on a row that has no list of choices."""
    if row.entry is not None:
        return f"{row.label.capitalize()} has no list to choose from: type it ({row.help})" if row.help else \
            f"{row.label.capitalize()} has no list to choose from: any text is accepted"
    if row.kind in ("add_part", "add_item"):
        return f"Nothing to choose here yet: Enter adds {row.label.removeprefix('+ ')}"
    if row.kind == "more":
        return "Nothing to choose here: Enter shows the rarer fields"
    if row.kind == "heading":
        return f"{row.label} is a heading: F6 removes or moves the part, ↓ goes to its fields"
    return "Nothing to choose here: Enter renames it"

"""What is done with a part of the plan from anywhere: its form, its name, its deletion, what is found about it."""

from __future__ import annotations

from collections.abc import Callable

from fuseplan.checks.rule import Finding
from fuseplan.plan.references import Path, form_root, part_kind_words, place
from fuseplan.tui.places import Places
from fuseplan.tui.screens.circuits import CircuitsScreen
from fuseplan.workspace.circuits import check_id
from fuseplan.workspace.entry import shown


class OfParts(Places):
    """The part of the program that opens and changes parts."""

    def open_form(self, root: Path, field: Path | None = None, said: str = "") -> None:
        """Open the form on a part, on one of its fields where one is given, with a message."""
        from fuseplan.tui.screens.form import FormScreen

        self.push_screen(FormScreen(root, field, said))

    def open_field(self, root: Path, field: Path) -> None:
        """Open the form on a part with the cursor on a field."""
        self.open_form(root, field if len(field) > len(root) else None)

    def action_next_waiting(self) -> None:
        """Go to the field of the next entry with an error."""
        from fuseplan.tui.screens.form import FormScreen

        screen = self.plan_screen
        form = screen if isinstance(screen, FormScreen) else None
        self.leave_field()
        path = self.session.drafts.following(None if form is None else form.row.path)
        if path is None:
            self.say("No entries with errors")
            return
        root = form_root(path)
        if form is not None and form.root == root:
            form.go_to_path(path)
        else:
            self.open_field(root, path)

    def open_library(self, after: str | None) -> None:
        """Open the library; what is added goes behind a circuit."""
        from fuseplan.tui.screens.library import MEASURE_WORDS, LibraryScreen

        def added(circuits: list[str] | None) -> None:
            screen = self.plan_screen
            if circuits and isinstance(screen, CircuitsScreen):
                screen.show_new(circuits[0])
                screen.say(f"Added {', '.join(circuits)}. ⚠ {MEASURE_WORDS}")

        self.push_screen(LibraryScreen(after), added)

    def delete_part(self, root: Path) -> bool:
        """Delete a named part; refused, with the reason said, while others name it."""
        words = self.session.value((*root, "name")) or place(root)
        done = self.attempt(lambda: self.session.delete(root), f"Deleted {words}; Ctrl+Z brings it back")
        self.refresh_plan()
        return done

    def rename(self, root: Path, then: Callable[[str], None]) -> None:
        """Ask for a part's new name and id; from a form, the id is what the cursor stands on."""
        from fuseplan.tui.screens.form import FormScreen
        from fuseplan.tui.screens.rename import Rename

        kind, old = str(root[0]), str(root[1])
        name, own_id = shown(self.session.value((*root, "name"))), shown(old)

        def take(answer: tuple[str, str]) -> None:
            new_name = None if answer[0] == name else answer[0]
            new = old if answer[1] == own_id else answer[1]
            if self.attempt(lambda: self.session.rename(kind, old, new, new_name)):
                then(new)

        def refuse(answer: tuple[str, str]) -> str:
            return "" if answer[1] == own_id else check_id(self.session, kind, answer[1])

        self.ask(Rename(f"Rename {part_kind_words(kind)} {old}", name, own_id, refuse,
                        isinstance(self.screen, FormScreen)), take)

    def show_finding(self, finding: Finding) -> None:
        """Show a finding that is not about a circuit, and offer to go where it is fixed."""
        from fuseplan.tui.screens.finding import FindingPage

        self.ask(FindingPage(self.session, finding), self._after_finding)

    def _after_finding(self, answer: tuple[str, Finding]) -> None:
        from fuseplan.workspace.findings import field_of

        word, finding = answer
        if word == "working":
            self.open_working(finding.owner, finding)
        elif word == "field":
            self.open_field(*field_of(self.session, finding))
        elif isinstance(self.plan_screen, CircuitsScreen):
            self.plan_screen.action_next_finding()

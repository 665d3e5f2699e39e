"""The library: choose a circuit, see what it brings and its caution, and take it into the plan."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from fuseplan.errors import FuseplanError
from fuseplan.plan.definition import group_words
from fuseplan.plan.references import part_kind_words
from fuseplan.planfile.library import Definition, Mapped, circuit_for, library
from fuseplan.planfile.usual_parts import EXAMPLE, Named, usual_parts, usual_words
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import background
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.tui.screens.narrowing import Narrowing
from fuseplan.tui.widgets.entry_line import TypedLine
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, line, lines, shortened
from fuseplan.workspace import circuits
from fuseplan.workspace.library_search import search
from fuseplan.workspace.preview import circuit_facts

MEASURE_WORDS = ("The lengths, sizes and currents are an example's. Measure the path in your car with a string, "
                 "read the plate on the part, and put both into the form.")

NARROW = 70
"""Below this width what a circuit brings stands below the list, else beside it."""


class LibraryScreen(Narrowing[list[str] | None]):
    """Gives the ids of the circuits that were added, None for none."""

    WHERE = "library"
    FOCUSED = Input
    BINDINGS = bindings("library")
    CSS = """
    LibraryScreen #left { width: 46%; min-width: 38; border-right: solid $primary 50%; }
    LibraryScreen Input { margin: 0 1; }
    LibraryScreen OptionList { height: 1fr; border: none; background: $background; text-wrap: nowrap;
        text-overflow: ellipsis; }
    LibraryScreen #preview { width: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    LibraryScreen #preview Static { height: auto; }
    LibraryScreen.-narrow #panes { layout: vertical; }
    LibraryScreen.-narrow #left { width: 1fr; height: 1fr; border-right: none; }
    LibraryScreen.-narrow #preview { height: 1fr; border-top: solid $primary 50%; }
    """

    def __init__(self, after: str | None) -> None:
        super().__init__()
        self._after = after
        self._all: list[Definition] = []
        self._listed: list[Definition | None] = []

    def parts(self) -> ComposeResult:
        with Horizontal(id="panes"):
            with Vertical(id="left"):
                yield TypedLine(placeholder="type to narrow the list")
                yield OptionList(markup=False)
            with VerticalScroll(id="preview"):
                yield Static("Reading the library …", markup=False)

    def show_plan(self) -> None:
        super().show_plan()
        self.set_class(self.app.size.width < NARROW, "-narrow")
        self.call_after_refresh(self._fit)

    def begin(self) -> None:
        super().begin()
        self._read()

    @background()
    def _read(self) -> None:
        found = library()
        self.app.call_from_thread(self._have, list(found.definitions.values()), found.problems)

    def _have(self, definitions: list[Definition], problems: tuple[object, ...]) -> None:
        self._all = definitions
        if problems:
            self.say(f"{len(problems)} problem(s) in your own definitions; the first: {problems[0]}")
        self.look_for(self.query_one(Input).value)

    def list_what_fits(self, typed: str) -> None:
        """The definitions that fit, the best first; under the heads of their groups where nothing is typed."""
        found = search(self._all, typed)
        options: list[Option] = []
        self._listed = []
        group = None
        for each in found:
            if each.group != group and not typed.strip():
                group = each.group
                self._listed.append(None)
                options.append(Option(line((group_words(group), "bold $text-accent")), disabled=True))
            self._listed.append(each)
            options.append(Option(self._title(each)))
        shown = self.query_one(OptionList)
        shown.set_options(options)
        shown.highlighted = next((at for at, each in enumerate(self._listed) if each is not None), None)
        self._preview()

    def _title(self, each: Definition) -> Content:
        """Its line of the list: what does not fit is left out in the middle, beside the indent and a scroll bar."""
        return line(f"  {shortened(each.title, max(0, self.query_one(OptionList).size.width - 3))}")

    def _fit(self) -> None:
        """The titles in the columns there are now."""
        shown = self.query_one(OptionList)
        for at, each in enumerate(self._listed):
            if each is not None:
                shown.replace_option_prompt_at_index(at, self._title(each))

    @property
    def chosen(self) -> Definition | None:
        """The definition under the cursor."""
        return self.at_cursor(self._listed)

    def _preview(self) -> None:
        chosen = self.chosen
        content = _nothing_fits(self.query_one(Input).value) if chosen is None else self._content(chosen)
        self.query_one("#preview Static", Static).update(content)
        self.query_one("#preview").scroll_home(animate=False)

    def _content(self, chosen: Definition) -> Content:
        parts = [line((chosen.title, "bold")), line((f"⚠ {chosen.caution}", CAUTION_STYLE)),
                 line((MEASURE_WORDS, "bold")), line("")]
        for facts in circuit_facts(chosen):
            parts += [line((f"{label:<11}", QUIET_STYLE), text) for label, text in facts] + [line("")]
        try:
            mapped = circuit_for(self.session.plan, chosen.id)
        except FuseplanError as error:
            return lines(*parts, line((str(error), "bold $text-error")))
        parts += [line(f"→ {report}") for report in mapped.reports]
        if chosen.note:
            parts += [line(""), line((chosen.note, QUIET_STYLE))]
        if chosen.also:
            parts += [line(""), line((f"Also found by: {', '.join(chosen.also)}", QUIET_STYLE))]
        return lines(*parts)

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        self._preview()

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        self.action_take()

    @on(Input.Submitted)
    def _submitted(self) -> None:
        self.action_take()

    def key_down(self) -> None:
        self.query_one(OptionList).action_cursor_down()

    def key_up(self) -> None:
        self.query_one(OptionList).action_cursor_up()

    def key_pagedown(self) -> None:
        self.query_one("#preview", VerticalScroll).scroll_page_down(animate=False)

    def key_pageup(self) -> None:
        self.query_one("#preview", VerticalScroll).scroll_page_up(animate=False)

    def action_take(self) -> None:
        if self.chosen is None:
            return
        try:
            mapped = circuit_for(self.session.plan, self.chosen.id)
        except FuseplanError as error:
            self.say(str(error))
            return
        self._ask_missing(mapped)

    def _ask_missing(self, mapped: Mapped) -> None:
        """Ask what stands for the feeds, earth points and zones the plan lacks, which is said at once: those of a first
        plan, or the plan's own; then add."""
        plan, lacking = self.session.plan, mapped.missing
        own = [each for each in lacking if getattr(plan, each[0])]
        none = [each for each in lacking if each not in own]
        usual, needed = usual_parts(plan, lacking), usual_parts(plan, none)
        nowhere = dict.fromkeys(kind for kind, name in none if (kind, name) not in needed)
        if nowhere:
            self.say(f"The plan has no {' and no '.join(map(part_kind_words, nowhere))} yet; add one with v on the "
                     "circuits screen first")
            return
        if not lacking or not set(lacking) <= usual.keys():
            self._ask_own(mapped, own, {}, needed)
            return
        answers = [Answer("usual", "add the usual ones:", f"{usual_words(usual)}. {EXAMPLE}")]
        if own:
            answers.append(Answer("own", "use parts of this plan", "you are asked which"))

        def took(word: str | None) -> None:
            if word == "usual":
                self._add(mapped, {}, usual)
            elif word == "own":
                self._ask_own(mapped, own, {}, needed)

        words = ", ".join(f"{part_kind_words(kind)} '{name}'" for kind, name in lacking)
        self.app.push_screen(Choose("Parts this plan does not have", answers, f"Needed: {words}."), took)

    def _ask_own(self, mapped: Mapped, lacking: list[Named], chosen: Mapping[Named, str],
                 added: Mapping[Named, Mapping[str, Any]]) -> None:
        """Ask which part of the plan to use for each, one after the other; then add."""
        if not lacking:
            self._add(mapped, chosen, added)
            return
        (kind, name), *others = lacking
        what = part_kind_words(kind)

        more = f" After this, {len(others)} more to choose." if others else ""
        self.program.ask(
            Choose(f"Which {what} instead of '{name}'?",
                   [Answer(key, key, part.name or "") for key, part in getattr(self.session.plan, kind).items()],
                   f"The library's circuit uses the {what} '{name}', which this plan does not have.{more}"),
            lambda word: self._ask_own(mapped, others, {**chosen, (kind, name): word}, added))

    def _add(self, mapped: Mapped, chosen: Mapping[Named, str], parts: Mapping[Named, Mapping[str, Any]]) -> None:
        added: list[str] = []
        if self.program.attempt(
                lambda: added.extend(circuits.add_fitted(self.session, mapped, chosen, self._after, parts))):
            self.dismiss(added)


def _nothing_fits(typed: str) -> Content:
    """That no definition fits, and what to do."""
    if not typed.strip():
        return line("The library is empty.")
    return lines(line((f"Nothing in the library is called “{typed.strip()}”.", "bold")), line(""),
                 line("Ctrl+U clears the words. Or Esc goes back, and A there begins a circuit of your own."))

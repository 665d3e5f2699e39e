"""The findings of one part of the plan, each with fix, caution and source; Enter goes to the field that fixes it."""

from __future__ import annotations

from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rule import Finding
from fuseplan.papers.not_checked_text import NOT_CHECKED
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.widgets.reading_list import ReadingList
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, finding_content, line, unanswered
from fuseplan.workspace import findings


class FindingsList(ReadingList):
    """One option a finding, followed by the part's own caution and note."""

    DEFAULT_CSS = """
    FindingsList { border: none; padding: 0 0; background: $background; }
    FindingsList:focus { border: none; }
    FindingsList > .option-list--option { padding: 0 1; }
    FindingsList > .option-list--option-disabled { color: $foreground; }
    FindingsList > .option-list--option-highlighted { background: $surface; color: $foreground; text-style: none; }
    FindingsList:focus > .option-list--option-highlighted { background: $panel; color: $foreground; text-style: none; }
    """

    class Chosen(Message):
        """A finding was chosen."""

        def __init__(self, finding: Finding) -> None:
            super().__init__()
            self.finding = finding

    def __init__(self) -> None:
        super().__init__(markup=False)
        self._found: tuple[Finding, ...] = ()
        self._shown: object = None

    def show(self, found: tuple[Finding, ...] = (), fixes: tuple[str, ...] = (), caution: str | None = None,
             note: str | None = None, lacking: tuple[str, ...] = (), limit_set: str = "",
             subjects: dict[int, str] | None = None,
             unknown: tuple[str, ...] = (), assumed: tuple[str, ...] = (), asked: tuple[NotSaid, ...] = (),
             following: tuple[bool, ...] = (), not_checked: tuple[str, ...] = ()) -> None:
        """Show findings, each with its fix, and what else there is to say; keeps the place in the list where it can.
        Those that follow from the one before stand further in."""
        now = (found, fixes, caution, note, lacking, limit_set, subjects, unknown, assumed, asked,
               following, not_checked)
        if now == self._shown:
            return
        self._shown = now
        here = self.finding
        self._found = found
        under = following or (False,) * len(found)
        prompts = [finding_content(each, fixes[index], (subjects or {}).get(index, ""), under[index])
                   for index, each in enumerate(found)]
        options: list[Option] = [Option(Hanging(line("  "), prompt) if further_in else prompt)
                                 for prompt, further_in in zip(prompts, under, strict=True)]
        extras = _extras(found, caution, note, lacking, limit_set, unknown, assumed, asked, not_checked)
        options += [Option(extra, disabled=True) for extra in extras]
        self.set_options(options)
        if found:
            self.highlighted = (findings.index_of(found, here) or 0) if here is not None else 0

    @property
    def finding(self) -> Finding | None:
        """The finding under the cursor."""
        at = self.highlighted
        return self._found[at] if at is not None and at < len(self._found) else None

    def go_to(self, finding: Finding) -> None:
        """Put the cursor on a finding."""
        at = findings.index_of(self._found, finding)
        if at is not None:
            self.highlighted = at

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option_index < len(self._found):
            self.post_message(self.Chosen(self._found[event.option_index]))


NAME_WHAT_IS_MISSING = ("figures-missing", "no-fuse", "no-earth")
"""Checks whose findings say what a circuit lacks: it stands once, there. Others may have the word in a sentence."""


def _extras(found: tuple[Finding, ...], caution: str | None, note: str | None, lacking: tuple[str, ...],
            limit_set: str, unknown: tuple[str, ...], assumed: tuple[str, ...],
            asked: tuple[NotSaid, ...] = (), not_checked: tuple[str, ...] = ()) -> list[Content]:
    extras: list[Content] = []
    is_told = bool(lacking) and any(
        each.check in NAME_WHAT_IS_MISSING and all(words in each.message for words in lacking) for each in found)
    left_open = None if is_told else unanswered(lacking, unknown)
    if left_open is not None:
        extras.append(left_open)
    elif not found and limit_set and not any(each.safety for each in asked):
        extras.append(line(("✓ No faults found ", "$text-success"), f"against the {limit_set} limits."))
    for each in asked:
        mark, style = ("?", "bold $text-warning") if each.safety else ("·", "bold")
        extras.append(line((f"{mark} Not said: ", style), each.what, (f"; {each.why_it_matters}", QUIET_STYLE)))
    extras += [line((f"· {NOT_CHECKED}: ", "bold"), words) for words in not_checked]
    extras += [line(("Assumed: ", "bold"), (words, QUIET_STYLE)) for words in assumed]
    if caution:
        extras.append(line(("⚠ ", CAUTION_STYLE), caution))
    if note:
        extras.append(line(("Note: ", "bold"), (note, QUIET_STYLE)))
    return extras

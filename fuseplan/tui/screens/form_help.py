"""What a form says about the field under the cursor, and about one finding where there is little room."""

from __future__ import annotations

from textual.content import Content

from fuseplan.checks.rule import Finding
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, finding_style, line, lines, unanswered
from fuseplan.workspace.choices import choices, complete
from fuseplan.workspace.findings import level_words
from fuseplan.workspace.offers import offers
from fuseplan.workspace.rows import Row
from fuseplan.workspace.session import Session

_MOST, _COLUMNS, _WIDTH = 12, 63, 78
"""Words to choose from that are listed at most, columns they may take, and those of the line: it is not folded at
80."""
_ENTER = {"add_part": "Enter adds it", "add_item": "Enter adds one",
          "heading": "Enter opens its menu: move, copy, remove"}
"""What Enter does on a row that nothing is typed into, where the row does not say it."""


def help_lines(session: Session, row: Row, typed: str, untouched: bool = False) -> Content:
    """Two lines: what the field means and what it may be set to; what Enter does with what is typed comes first.

    `untouched`: the next letter replaces what stands there.
    """
    first = line((row.help, QUIET_STYLE)).first_line
    if row.entry is None:
        return lines(first, line((_ENTER[row.kind], QUIET_STYLE))) if row.kind in _ENTER else first
    replaces = "Typing replaces it, → keeps it" if untouched else ""
    lead = f"{replaces}   " if replaces else ""
    completed = complete(session, row.entry, row.path, typed)
    if completed is not None:
        return lines(line("Enter takes ", (completed, "bold $text-accent")), first)
    meant = offers(session, row.entry, row.path, typed)
    if meant:
        return lines(line(("Enter asks: ", "bold $text-accent"), " · ".join(offer.words for offer in meant)), first)
    listed = choices(session, row.entry, row.path)
    if not listed:
        return lines(first, line((replaces, QUIET_STYLE))) if replaces else first
    words = [choice.word for choice in listed]
    chosen = next((choice for choice in listed if choice.word == typed and choice.meaning), None)
    if chosen is not None:
        rest = "   F4 shows all"
        room = _WIDTH - len(f"{chosen.word}: {chosen.meaning}{rest}")
        return lines(first, line((lead if len(lead) <= room else "", QUIET_STYLE), (f"{chosen.word}: ", "bold"),
                                 chosen.meaning, (rest if room >= 0 else "", QUIET_STYLE)))
    shown = words[:_MOST]
    while len(shown) > 1 and len(lead) + len(" · ".join(shown)) > _COLUMNS:
        shown.pop()
    more = f" … {len(words) - len(shown)} more" if len(words) > len(shown) else ""
    return lines(first, line((lead, QUIET_STYLE), ("F4: ", "bold $text-accent"),
                             (" · ".join(shown) + more, QUIET_STYLE)))


def finding_content(found: tuple[Finding, ...], fixes: tuple[str, ...], at: int, caution: str | None,
                    lacking: tuple[str, ...], unknown: tuple[str, ...] = (), is_checked: bool = True) -> Content:
    """One finding of the part with fix and caution, else what is missing or not known, else the part's own caution."""
    if found:
        shown = found[at]
        which = f" {at + 1} of {len(found)}" if len(found) > 1 else ""
        return lines(
            line((level_words(shown), finding_style(shown)), (which, QUIET_STYLE), f" {shown.message}"),
            line(("Fix: ", "bold"), fixes[at]),
            line(("⚠ ", CAUTION_STYLE), shown.caution),
        )
    if (left_open := unanswered(lacking, unknown)) is not None:
        return left_open
    if not is_checked:
        return line(("Checked with the parts that use it.", QUIET_STYLE))
    return line(("⚠ ", CAUTION_STYLE), caution) if caution else line(("✓ No faults found", "$text-success"))

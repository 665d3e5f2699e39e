"""What the screen of feeds and earths shows as lines: states, headroom, fuse boxes."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content

from fuseplan.checks.headroom import Headroom
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import GAP
from fuseplan.papers.supply_columns import HEADROOM_COLUMNS
from fuseplan.plan.words import STATES
from fuseplan.tui.widgets.columns_table import fitted_columns
from fuseplan.tui.words import QUIET_STYLE, VERDICT_STYLES, finding_style, line, lines, shortened
from fuseplan.workspace.boxes import Box, Seat
from fuseplan.workspace.findings import level_words
from fuseplan.workspace.supply import LIVE_SIGNS, Branch, Live

_STATE_STYLES = {"live": "bold $text-success", "dead": QUIET_STYLE, "needed": "bold $text-error",
                 "forbidden": "bold $text-error"}
_STATE_WIDTH, _LEAST_STATE = 10, 4
_LEAST_NAME = 12
"""Columns of a state and of a circuit's name; in a narrow window states are shortened to three letters."""
_LONGEST_CUT = 30
"""Columns a name keeps in a list, however much follows it."""
_SHORT_STATES = {"accessory": "acc", "ignition": "ign", "crank": "crk", "running": "run", "run_on": "r-o"}
_SHORT_SIGNS: dict[Live, str] = {**LIVE_SIGNS, "needed": "✗·", "forbidden": "✗●"}


def branch_line(branch: Branch, room: int) -> Content:
    """A feed or earth point in its tree; a long name leaves room for what was found and the first of the facts."""
    found: list[str | tuple[str, str]] = []
    if branch.findings:
        count = len(branch.findings)
        found = ["  ", (level_words(branch.findings[0]), finding_style(branch.findings[0])),
                 (f" +{count - 1}" if count > 1 else "", QUIET_STYLE)]
    first = f"  {branch.facts.split(';')[0]}"
    left = room - sum(cell_len(each if isinstance(each, str) else each[0]) for each in (branch.stem, *found, first))
    name = shortened(shown(branch.name), max(left, min(room // 3, _LONGEST_CUT)))
    return line((branch.stem, QUIET_STYLE), (name, "bold"), *found, (f"  {branch.facts}", QUIET_STYLE))


def box_line(box: Box) -> Content:
    """The head of a fuse box."""
    short = box.free < box.wanted
    wanted = f", {box.wanted} wanted" if box.wanted else ""
    return line((box.name, "bold"), (f"  {'! ' if short else ''}{box.free} of {box.ways} ways free{wanted}",
                                     "bold $text-warning" if short else QUIET_STYLE),
                (f"  on {box.feed_name}", QUIET_STYLE))


def seat_line(seat: Seat) -> Content:
    """One way of a fuse box, or a fuse that has none yet."""
    where = f"  {seat.position:<6}" if seat.position else "  –     "
    takes = (f"   {seat.takes}" if seat.takes else "", QUIET_STYLE)
    if seat.owner is None:
        return line(where, ("free", "$text-success"), takes)
    others = ", ".join(seat.others) or "none"
    if seat.wrong:
        return line(where, seat.holds, (f"  ✗ {seat.wrong}", "bold $text-error"), (f"; fits: {others}", QUIET_STYLE))
    if not seat.position:
        return line(where, seat.holds, (f"  no position yet; fits: {others}", "$text-warning"))
    return line(where, seat.holds, takes)


def _state_words(state: str, room: int) -> str:
    """A state of the key in so many letters; what begins alike is still told apart."""
    words = state.replace("_", " ")
    return words if len(words) <= room else _SHORT_STATES.get(state, words)


def states_content(rows: list[tuple[str, list[Live]]], room: int) -> Content:
    """Which circuit is live in which state of the key."""
    wide = max(_LEAST_STATE, min(_STATE_WIDTH, (room - _LEAST_NAME) // len(STATES)))
    named = max(_LEAST_NAME, min(40, room - wide * len(STATES)))
    found = [line((f"{'Live in':<{named}}", "bold $text-accent"),
                  ("".join(f"{_state_words(state, wide - 1):<{wide}}" for state in STATES), "bold"))]
    signs = LIVE_SIGNS if wide >= _STATE_WIDTH else _SHORT_SIGNS
    for name, cells in rows:
        title = shortened(name, named - 1)
        marks = [(f"{signs[cell]:<{wide}}", _STATE_STYLES[cell]) for cell in cells]
        found.append(line(f"{title:<{named}}", *marks))
    found.append(line((f"{signs['live']} live   {signs['dead']} dead   {signs['needed']}: must run   "
                       f"{signs['forbidden']}: must stop", QUIET_STYLE)))
    return lines(*found)


def headroom_content(title: str, rows: tuple[Headroom, ...], room: int) -> Content:
    """What a feed or earth point has left in each condition."""
    if not rows:
        return line(("Headroom in each condition: put the cursor on a feed or an earth point.", QUIET_STYLE))
    cells = [[column.cell(row) for column in HEADROOM_COLUMNS] for row in rows]
    widths = fitted_columns(HEADROOM_COLUMNS, cells, room)

    def aligned(at: int, text: str) -> str:
        text = shortened(text, widths[at])
        blank = " " * (widths[at] - cell_len(text))
        return (blank + text if HEADROOM_COLUMNS[at].align == "right" else text + blank) + " " * GAP

    found = [line((f"Headroom of {title}", "bold $text-accent")),
             line(("".join(aligned(at, HEADROOM_COLUMNS[at].short) for at in widths), "bold"))]
    for row, texts in zip(rows, cells, strict=True):
        parts: list[str | tuple[str, str]] = []
        for at in widths:
            role = HEADROOM_COLUMNS[at].role
            style = VERDICT_STYLES.get(role(row), "") if role is not None else "" if row.live else QUIET_STYLE
            parts.append((aligned(at, texts[at]), style))
        found.append(line(*parts))
    return lines(*found)

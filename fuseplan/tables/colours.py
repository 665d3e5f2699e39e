"""Wire colours and terminal numbers."""

from __future__ import annotations

from functools import cache

from fuseplan.records import dataclass
from fuseplan.tables.load import Source, Table, row_source, table


@dataclass(frozen=True)
class Terminal:
    """One terminal number of DIN 72552."""

    number: str
    words: str
    how: str
    source: Source


@cache
def wire_colours() -> dict[str, str]:
    """Colour words by the letters of IEC 60757."""
    printed = table("iec_60757_letters")
    return dict(zip(printed.texts("letters"), printed.texts("words"), strict=True))


def colour_purposes() -> Table:
    """Colours by purpose in old German practice (DIN 72551)."""
    return table("din_72551_purposes")


def british_colour_purposes() -> Table:
    """Colours by purpose in old British practice (BS AU 7), from memory."""
    return table("bs_au_7_purposes_from_memory")


@cache
def terminals() -> dict[str, Terminal]:
    """Terminal numbers of DIN 72552 with what they mean."""
    printed = table("din_72552_terminals")
    found: dict[str, Terminal] = {}
    for row in printed.rows():
        number = str(row["number"])
        found[number] = Terminal(number, str(row["words"]), str(row["how"]), row_source(printed, row))
    return found

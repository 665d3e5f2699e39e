"""Wire colours."""

from __future__ import annotations

from functools import cache

from fuseplan.tables.load import Table, table


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

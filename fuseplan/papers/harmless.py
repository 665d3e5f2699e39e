"""Text from a file made harmless for where it is shown: a terminal, a spreadsheet."""

from __future__ import annotations

import math
import unicodedata

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def shown(text: object) -> str:
    """Text on one line with every control character spelled out (``\\x1b``, ``\\u202e``), nothing else changed.

    Escape codes, carriage returns and the marks that turn the direction of writing then show up instead of acting.
    """
    plain = str(text)
    return plain if plain.isprintable() else "".join(_spelled(character) for character in plain)


def harmless_lines(text: str) -> str:
    """Text of several lines with everything but its line ends as `shown` gives it."""
    return text if text.isprintable() else "\n".join(map(shown, text.split("\n")))


def _spelled(character: str) -> str:
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def width(text: str) -> int:
    """Columns a text takes in a terminal: two for East Asian wide characters, none for combining marks."""
    if text.isascii():
        return len(text)
    return sum(0 if unicodedata.combining(character) else 2 if unicodedata.east_asian_width(character) in "WF" else 1
               for character in text)


def cell_text(value: object) -> str:
    """One CSV cell that no spreadsheet runs as a formula.

    A text that starts with ``=``, ``+``, ``-``, ``@``, a tab or a line end is written with an apostrophe before it,
    which spreadsheets take as "this is text"; numbers stay numbers. None and NaN are empty.
    """
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return f"{value:.10g}"
    if not isinstance(value, str):
        return str(value)
    if value.startswith(_FORMULA_STARTS) and not _is_number(value):
        return f"'{value}"
    return value


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return text == text.strip()

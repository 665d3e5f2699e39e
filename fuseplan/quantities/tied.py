"""Text in which a number stays with its unit where lines are broken."""

from __future__ import annotations

import re
from functools import cache

from fuseplan.quantities.decimals import unit_words
from fuseplan.quantities.units import UNITS

TIE = "\ue000"
"""Stands for a blank at which no line ends; not printable, so no text that was made harmless holds it."""

_OTHERS = ("%", "K", "kg", "N", "Nm", "Hz", "kHz", "lm", "km/h")
"""Units of figures that no plan states."""


@cache
def _inside() -> re.Pattern[str]:
    """The blank between a number and its unit, in a size, and in a number of five figures and more."""
    units = {word for listed in UNITS.values() for unit in listed
             for word in (unit.symbol, *unit.others) if " " not in word}
    units.update(_OTHERS)
    units |= {unit_words(unit) for unit in units}
    words = "|".join(map(re.escape, sorted(units, key=lambda unit: (-len(unit), unit))))
    return re.compile(rf"(?<=\d) (?=(?:{words})(?!\w))|(?<=\b(?:AWG|SAE)) (?=\d)|(?<=\bAV) (?=\d)|"
                      r"(?<=\d) (?=\d{3}(?![\w.,]\d|\w))")


def tied(text: str) -> str:
    """A text of the same length, each blank between a number and its unit replaced by `TIE`.

    >>> tied("drain 0 A, wire AWG 14").replace(TIE, "~")
    'drain 0~A, wire AWG~14'
    """
    return _inside().sub(TIE, text)


def untied(text: str) -> str:
    """A text with its blanks back."""
    return text.replace(TIE, " ")

"""Text of a form field to the value of the file, and back."""

from __future__ import annotations

import re

from fuseplan.errors import AmountError, EditError
from fuseplan.papers.harmless import shown as harmless
from fuseplan.quantities.amounts import amount, clean
from fuseplan.quantities.wire_size import WireSize
from fuseplan.workspace.fields import Entry

LINE_END = "⏎"
"""Stands for a line end in a field of one line."""
_YES = ("yes", "y", "true", "on")
_NO = ("no", "n", "false", "off")
_BETWEEN = re.compile(r"\s+(?:to|and)\s+|\s*[,;…–]\s*")


def shown(value: object) -> str:
    """A value of the file as a form shows it for typing over."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(shown(each) for each in value)
    return harmless(str(value).replace("\n", LINE_END))


def read(entry: Entry, text: str) -> object:
    """The value a text stands for; None for an empty text, which removes the key.

    Raises:
        EditError: The text is not of that kind; what is accepted is said. Quantities and names are judged by the plan.
    """
    typed = text.strip()
    if not typed:
        return None
    if entry.kind == "yes_no":
        if typed.lower() in _YES + _NO:
            return typed.lower() in _YES
        raise EditError(f"'{clean(typed)}' is neither; accepted is yes or no")
    if entry.kind == "number":
        return _number(typed)
    if entry.kind == "whole":
        if re.fullmatch(r"[+-]?\d{1,9}", typed):
            return int(typed)
        raise EditError(f"'{clean(typed)}' is not a whole number; accepted is one like 2")
    if entry.kind == "words":
        return [word.strip() for word in typed.split(",") if word.strip()]
    if entry.kind == "pair":
        return [part for part in _BETWEEN.split(typed) if part]
    return typed.replace(LINE_END, "\n")


def is_right(entry: Entry, text: str) -> bool:
    """Whether a text is right by itself: of its kind and, where it is an amount or a size, one that can be read."""
    try:
        value = read(entry, text)
        if entry.kind == "amount" and entry.dimension is not None and value is not None:
            amount(value, entry.dimension)
        elif entry.kind == "pair" and entry.dimension is not None and isinstance(value, list):
            if len(value) != 2:
                return False
            for each in value:
                amount(each, entry.dimension)
        elif entry.kind == "size" and value is not None:
            WireSize.read(value)
        elif entry.between is not None and isinstance(value, (int, float)):
            entry.between.check(value)
    except (EditError, AmountError):
        return False
    return not entry.choices or value is None or value in entry.choices


def same(entry: Entry, one: str, other: str) -> bool:
    """Whether two texts stand for the same value, however they are spaced."""
    if one == other:
        return True
    try:
        return read(entry, one) == read(entry, other)
    except EditError:
        return False


def _number(typed: str) -> float | int:
    if re.fullmatch(r"[+-]?\d{1,15}", typed):
        return int(typed)
    if re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?", typed):
        return float(typed)
    hint = "; write a point for decimals" if "," in typed else ""
    raise EditError(f"'{clean(typed)}' is not a number; accepted is one like 0.5{hint}")

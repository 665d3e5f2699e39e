"""What one cell of a list says, as a plan's plain data has it."""

from __future__ import annotations

import re

from fuseplan.errors import AmountError
from fuseplan.exchange.lists import PlanList, kind_at, rooted
from fuseplan.exchange.mapping import column_of
from fuseplan.exchange.table_files import may_be_thousands
from fuseplan.plan.words import SIGNALS
from fuseplan.quantities.amounts import Dimension, amount, clean
from fuseplan.quantities.wire_size import WireSize

_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)\Z")
_END = re.compile(r"(.*\S)\s+pin\s+(\S.*)", re.DOTALL)
"""A connector and a pin in it."""
_NO_CONNECTOR = "?"
"""Stands before a pin whose connector is not stated."""
_BY_TERMINAL: dict[str, str] = {each.rpartition("_")[2]: each for each in SIGNALS if each[-1].isdigit()}
"""Kinds of signal by their DIN 72552 terminal."""
_WITH_COMMA = re.compile(r"([+-]?\d+),(\d+)(\s*\D{0,12})\Z")


def cell_value(which: PlanList, key: str, text: str, unit: str, decimal_comma: bool) -> object:
    """The value of a cell.

    Args:
        which, key: list, and key of its column
        text: what the cell says, not empty
        unit: that of the heading, for a number alone; empty where there is none
        decimal_comma: whether a comma in a figure is taken for a decimal one
    Raises:
        AmountError: It cannot be read, or may mean several things; with what is accepted.
    """
    kind, dimension = kind_at(rooted(which, column_of(which, key)))
    if kind in ("amount", "size", "number") and (found := _WITH_COMMA.match(text)):
        text = _with_point(text, found, decimal_comma)
    if kind == "amount" and dimension is not None:
        return _amount(key, text, unit, dimension)
    if kind == "size":
        return _size(key, text, unit)
    if kind == "number":
        return _plain_number(text)
    if key == "signal":
        return _BY_TERMINAL.get(text, text)
    if kind == "words":
        return [each.strip() for each in re.split(r"[,;]", text) if each.strip()]
    if kind == "end":
        return _end(text)
    return _flag(text) if kind == "flag" else text


def is_number(text: str) -> bool:
    """Whether a cell holds a number alone."""
    return _NUMBER.match(text) is not None


def end_text(connector: str | None, pin: str | None) -> str:
    """An end of a wire in a cell: ``ecu pin 7``, or a part in words."""
    return f"{connector or _NO_CONNECTOR} pin {pin}" if pin else connector or ""


def _end(text: str) -> dict[str, str]:
    """What `end_text` writes, read again."""
    found = _END.fullmatch(text.strip())
    if found is None:
        return {"connector": text.strip()}
    return {"pin": found[2]} if found[1] == _NO_CONNECTOR else {"connector": found[1], "pin": found[2]}


def _with_point(text: str, found: re.Match[str], decimal_comma: bool) -> str:
    point, whole, unit = f"{found[1]}.{found[2]}", found[1] + found[2], clean(found[3])
    if decimal_comma:
        return point + found[3]
    if may_be_thousands(text):
        raise AmountError(f"'{clean(text)}' may be {whole} or {point}; accepted is '{whole}{unit}' or '{point}{unit}'")
    raise AmountError(f"'{clean(text)}' has a comma where other figures have a point; accepted is '{point}{unit}' if "
                      "that is meant")


def _amount(key: str, text: str, unit: str, dimension: Dimension) -> str:
    if is_number(text) and not dimension.bare:
        if not unit:
            raise AmountError(f"'{text}' is a number without a unit; accepted is a unit in the heading, such as "
                              f"'{key} [{dimension.unit}]', or in the cell, such as '{dimension.fitting[0]}'")
        text = f"{text} {unit}"
    amount(text, dimension)
    return text


def _size(key: str, text: str, unit: str) -> str:
    if is_number(text):
        if not unit:
            raise AmountError(f"'{text}' may be mm² or a gauge; accepted is a unit in the heading, such as "
                              f"'{key} [mm2]', or in the cell, such as '{text} mm2' or 'AWG 14'")
        text = f"{text} mm2" if unit.casefold() in ("mm2", "mm²") else f"{unit.upper()} {text}"
    WireSize.read(text)
    return text


def _plain_number(text: str) -> float | int:
    digits = text.removesuffix("%").strip()
    if not is_number(digits):
        raise AmountError(f"'{clean(text)}' is no number; accepted is a number such as 0.5 or 4")
    value = float(digits) / (100 if text.endswith("%") else 1)
    return int(value) if value.is_integer() else value


def _flag(text: str) -> bool:
    if text.casefold() in ("yes", "true", "1", "x"):
        return True
    if text.casefold() in ("no", "false", "0"):
        return False
    raise AmountError(f"'{clean(text)}'; accepted is yes or no")

"""Quantities as the user writes them, and the plain numbers the engine works with.

An `Amount` is a float in the unit its dimension names (A, V, ohm, m, s, °C …) that remembers how the user
spelled it. What is read is a number with a unit, a fraction with a unit ("1/2 in"), or two of them of which the second
is the smaller ("5 ft 6 in"). A number without a unit is refused, as nobody can tell which was meant.
"""

from __future__ import annotations

import datetime
import math
import re
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from fuseplan.errors import AmountError
from fuseplan.quantities.listing import either
from fuseplan.quantities.printable import shown
from fuseplan.quantities.units import is_mega, plain, scale, unit_in
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic_core import CoreSchema

DECIMAL = r"(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
FRACTION = r"(?:\d+[ \-]+)?\d+/\d+"
_ONE = re.compile(rf"\s*([+-]?(?:{FRACTION}(?![\d.])|{DECIMAL}))\s*(.*?)\s*\Z", re.ASCII | re.DOTALL)
PIECE = rf"({FRACTION}|{DECIMAL})\s*([^\W\d_]+\.?|'{{1,2}}|\")"
_TWO = re.compile(rf"\s*{PIECE}\s*(?:and\s+|,\s*)?{PIECE}\s*\Z", re.ASCII)
_LONGEST = 60


@dataclass(frozen=True)
class Dimension:
    """What a field measures: its unit inside the program, the range it may hold, and how people write it.

    Used as ``Annotated[Amount, CURRENT.within("0.1 A", "1000 A")]`` in the plan's models, which state at each field
    what can exist in a vehicle; schema, form and error message take the range from there.
    """

    name: str
    unit: str
    lowest: str
    highest: str
    """Ends of the range as people write them; both are accepted."""
    examples: tuple[str, ...]
    bare: bool = False
    """A number without a unit is accepted and taken in `unit`: engine speed only, which every gauge, plate and data
    sheet of a car gives in r/min."""

    def within(self, lowest: str, highest: str) -> Dimension:
        """The same dimension with the range of one field."""
        return replace(self, lowest=lowest, highest=highest)

    def like(self, *examples: str) -> Dimension:
        """The same dimension and range with examples of the size one field has, at most two of them."""
        return replace(self, examples=examples)

    @property
    def span(self) -> str:
        """The range in words: ``0.5 mohm to 1 ohm``."""
        return f"{self.lowest} to {self.highest}"

    @cached_property
    def low(self) -> float:
        """Least value accepted, in `unit`."""
        return self._end(self.lowest)

    @cached_property
    def high(self) -> float:
        """Largest value accepted, in `unit`."""
        return self._end(self.highest)

    def _end(self, text: str) -> float:
        value = number_in(text, self)
        if value is None:
            raise AmountError(f"'{text}' is no end of a range of {self.name}")
        return value

    def holds(self, value: float) -> bool:
        """Whether a number in `unit` lies in the range."""
        return self.low <= value <= self.high

    @cached_property
    def fitting(self) -> tuple[str, ...]:
        """Two examples at most that lie in the range; its ends where none does."""
        found = [example for example in self.examples if is_amount(example, self)]
        return tuple(found[:2]) or (self.lowest, self.highest)

    def accepted(self) -> str:
        """What the user may write, in words."""
        return f"accepted is a {self.name} like {either(self.fitting)}"

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(
            lambda value: amount(value, self),
            serialization=core_schema.plain_serializer_function_ser_schema(lambda value: value.text),
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {
            "type": "string",
            "description": f"{self.name}, {self.span}; any unit of that dimension",
            "examples": list(self.fitting),
        }


class Amount(float):
    """A number in its dimension's unit, with the spelling it came from."""

    __slots__ = ("text",)
    text: str

    def __new__(cls, value: float, text: str) -> Amount:
        self = super().__new__(cls, value)
        self.text = text
        return self

    def __reduce__(self) -> tuple[type[Amount], tuple[float, str]]:
        return (Amount, (float(self), self.text))

    def __str__(self) -> str:
        return self.text


CURRENT = Dimension("current", "A", "0 A", "20000 A", ("7.5 A", "350 mA"))
VOLTAGE = Dimension("voltage", "V", "0 V", "1000 V", ("13.5 V", "200 mV"))
POWER = Dimension("power", "W", "0 W", "100 kW", ("55 W", "1.4 kW"))
RESISTANCE = Dimension("resistance", "ohm", "0 ohm", "1000000 ohm", ("3 mohm", "90 ohm"))
LENGTH = Dimension("length", "m", "0 m", "200 m", ("4.2 m", "14 ft"))
TIME = Dimension("time", "s", "0 s", "10000 d", ("100 ms", "15 min", "14 d"))
TEMPERATURE = Dimension("temperature", "degC", "-60 degC", "400 degC", ("45 degC", "113 degF"))
CHARGE = Dimension("charge", "A h", "0 Ah", "10000 Ah", ("60 Ah", "45 A h"))
VOLUME = Dimension("volume", "litre", "0 litre", "100 litre", ("2.0 litre", "1998 cm3"))
SPEED = Dimension("speed of rotation", "r/min", "0 r/min", "50000 r/min", ("850 rpm", "2800 r/min"), bare=True)
DIMENSIONS = (CURRENT, VOLTAGE, POWER, RESISTANCE, LENGTH, TIME, TEMPERATURE, CHARGE, VOLUME, SPEED)


@dataclass(frozen=True)
class Between:
    """Range of a plain number, both ends accepted, as ``Annotated[float, Between(0.2, 10)]`` in the plan's models."""

    low: float
    high: float

    @property
    def span(self) -> str:
        """The range in words: ``0.2 to 10``."""
        return f"{self.low:g} to {self.high:g}"

    def check(self, value: float) -> float:
        """The number itself; AmountError where it lies outside, or is no number at all (TOML knows `nan`)."""
        if not self.low <= value <= self.high:
            percent = self.high == 1 and 1 < value <= 100
            hint = f"; did you mean {value / 100:g}?" if percent else ""
            raise AmountError(f"{value:g} is out of range; accepted is {self.span}{hint}")
        return value

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        from pydantic_core import core_schema

        return core_schema.no_info_after_validator_function(self.check, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {**handler(schema), "minimum": self.low, "maximum": self.high}


def clean(text: object) -> str:
    """Text fit for one line of a message: control characters shown, length bounded."""
    line = shown(str(text)[: _LONGEST + 1])
    return line if len(line) <= _LONGEST else line[:_LONGEST] + "…"


def kind_of(value: object) -> str:
    """A value's type as a user of TOML would call it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return f"the number {clean(value)}"
    if isinstance(value, str):
        return f"the text '{clean(value)}'"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, (datetime.date, datetime.time)):
        return f"the date {clean(value)}"
    return clean(type(value).__name__)


def amount(value: object, dimension: Dimension) -> Amount:
    """Read one quantity.

    Args:
        value: for example ``"7.5 A"``, ``"14 ft"``, ``"5 ft 6 in"``, ``"113 degF"``; a bare number where the dimension
            allows one
        dimension: what it must measure
    Returns:
        In the dimension's unit, with the text as written.
    Raises:
        AmountError: No number, no unit, a unit of another dimension, or a value outside the dimension's range. It says
            what is accepted, and `offers` holds what could have been meant, each of which is accepted.
    """
    if isinstance(value, Amount):
        if not dimension.holds(value):
            raise _refusal(value.text, dimension)
        return value
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise AmountError(f"{kind_of(value)} is not a {dimension.name}; {dimension.accepted()}")
    text = str(value)
    result = number_in(text, dimension)
    if result is None or not dimension.holds(result):
        raise _refusal(text, dimension)
    return Amount(result, text)


def _refusal(text: str, dimension: Dimension) -> AmountError:
    from fuseplan.quantities.offers import refusal

    return refusal(text, dimension)


def is_amount(text: str, dimension: Dimension) -> bool:
    """Whether a text is accepted."""
    value = number_in(text, dimension)
    return value is not None and dimension.holds(value)


def parts_of(text: str) -> tuple[str, str] | None:
    """The number a text begins with and what stands behind it; None where it begins with none."""
    found = _ONE.match(plain(text)) if len(text) <= 200 else None
    return None if found is None or number_of(found[1]) is None else (found[1], found[2])


def number_in(text: str, dimension: Dimension) -> float | None:
    """The number in the dimension's unit, whatever its range; None for what is no number with such a unit."""
    found = parts_of(text)
    if found is None or ("/" in found[0] and dimension.unit != LENGTH.unit):
        # Parts of an inch are lengths; of a lamp, 5/21 W are the powers of its two filaments.
        return None
    spelling = found[1] or (dimension.unit if dimension.bare else "")
    known = scale(spelling, dimension.unit) if spelling else None
    number = number_of(found[0])
    value = known[0] * number + known[1] if known is not None and number is not None else \
        _sum_of_two(plain(text), dimension)
    return float(f"{value:.14g}") if value is not None and math.isfinite(value) else value


def number_of(digits: str) -> float | None:
    """A decimal or a fraction of halves, quarters … down to 64ths; None for any other."""
    if "/" not in digits:
        return float(digits)
    whole, _, rest = digits.lstrip("+-").replace("-", " ").rpartition(" ")
    over, _, under = rest.partition("/")
    if int(under) not in (2, 4, 8, 16, 32, 64) or int(over) >= int(under):
        return None
    value = float(whole or 0) + int(over) / int(under)
    return -value if digits.startswith("-") else value


def _sum_of_two(text: str, dimension: Dimension) -> float | None:
    """Feet and inches, hours and minutes: the second must be less than one of the first."""
    found = _TWO.match(text) if dimension.unit in (LENGTH.unit, TIME.unit) else None
    if found is None:
        return None
    large, small = unit_in(found[2], dimension.unit), unit_in(found[4], dimension.unit)
    first, second = number_of(found[1]), number_of(found[3])
    if large is None or small is None or first is None or second is None or is_mega(found[4], small) \
            or not first.is_integer() or not second * small.scale < large.scale:
        return None
    return first * large.scale + second * small.scale

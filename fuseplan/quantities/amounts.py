"""Quantities as the user writes them, and the plain numbers the engine works with.

An `Amount` is a float in the unit its dimension names (A, V, ohm, m, s, °C …) that remembers how the user
spelled it. Text is parsed once per unit spelling by pint; after that it is a multiplication.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

from fuseplan.errors import AmountError

if TYPE_CHECKING:
    import pint
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic_core import CoreSchema

_NUMBER = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*\Z", re.DOTALL)
_WORD = r"[A-Za-zµμΩ°²³_]{1,30}[23]?"
_UNIT = re.compile(rf"{_WORD}(?:\s*(?:\*\*|\^|\*|/|·|\s)\s*(?:{_WORD}|[1-4])){{0,4}}")
"""What a unit may look like: short words joined by products, quotients and small powers; nothing else is
handed to the unit parser."""
_LONGEST = 60
_SPELLINGS = {
    "Ah": "ampere * hour",
    "mAh": "milliampere * hour",
    "A h": "ampere * hour",
    "r/min": "revolution / minute",
    "rpm": "revolution / minute",
    "mm²": "mm**2",
    "mm2": "mm**2",
    "mm^2": "mm**2",
    "°C": "degC",
    "°F": "degF",
    "Ω": "ohm",
    "mΩ": "milliohm",
    "feet": "foot",
    "cm3": "cm**3",
    "cm³": "cm**3",
}


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[Any]:
    """The one pint registry. Built at the first quantity, not at import."""
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry(cache_folder=None)
    return units


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
    """A number without a unit is accepted and taken in `unit` (engine speed only)."""

    def within(self, lowest: str, highest: str) -> Dimension:
        """The same dimension with the range of one field."""
        return replace(self, lowest=lowest, highest=highest)

    @property
    def span(self) -> str:
        """The range in words: ``0.5 mohm to 1 ohm``."""
        return f"{self.lowest} to {self.highest}"

    @cached_property
    def low(self) -> float:
        """Least value accepted, in `unit`."""
        return _in_unit(self.lowest, self)[0]

    @cached_property
    def high(self) -> float:
        """Largest value accepted, in `unit`."""
        return _in_unit(self.highest, self)[0]

    def holds(self, value: float) -> bool:
        """Whether a number in `unit` lies in the range."""
        return self.low <= value <= self.high

    @cached_property
    def fitting(self) -> tuple[str, ...]:
        """Two examples at most that lie in the range; its ends where none does."""
        found = [example for example in self.examples
                 if _unit_of(example) not in _COMMON[self.unit] or self.holds(_in_unit(example, self)[0])]
        return tuple(found[:2]) or (self.lowest, self.highest)

    def accepted(self) -> str:
        """What the user may write, in words."""
        shown = " or ".join(f"'{example}'" for example in self.fitting)
        return f"accepted is a {self.name} like {shown}"

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
    shown = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in str(text)[: _LONGEST + 1])
    return shown if len(shown) <= _LONGEST else shown[:_LONGEST] + "…"


_COMMON: dict[str, dict[str, float]] = {
    "A": {"A": 1.0, "mA": 1e-3},
    "V": {"V": 1.0, "mV": 1e-3},
    "W": {"W": 1.0, "kW": 1e3},
    "ohm": {"ohm": 1.0, "mohm": 1e-3, "Ω": 1.0, "mΩ": 1e-3},
    "m": {"m": 1.0, "mm": 1e-3, "cm": 1e-2, "ft": 0.3048, "in": 0.0254},
    "s": {"s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0, "d": 86400.0},
    "degC": {"degC": 1.0, "°C": 1.0},
    "A h": {"Ah": 1.0, "A h": 1.0},
    "r/min": {"r/min": 1.0, "rpm": 1.0},
    "litre": {"litre": 1.0, "cm3": 1e-3, "cm³": 1e-3},
    "mm2": {"mm2": 1.0, "mm²": 1.0},
}
"""Scales of the spellings nearly every plan uses, so that pint, which takes longer to load than a plan to assess, is
loaded only for the others. A test holds each against pint."""


@lru_cache(maxsize=512)
def _scale(spelling: str, unit: str) -> tuple[float, float]:
    """Slope and offset from a unit as spelled to the dimension's unit."""
    common = _COMMON[unit].get(spelling)
    return (common, 0.0) if common is not None else scale_by_pint(spelling, unit)


def scale_by_pint(spelling: str, unit: str) -> tuple[float, float]:
    """Slope and offset from any unit to the dimension's unit, by pint; AmountError where there is none."""
    import pint

    if not _UNIT.fullmatch(spelling):
        raise AmountError(f"'{clean(spelling)}' is not a unit")
    ureg = registry()
    target = ureg.Unit(_SPELLINGS.get(unit, unit))
    try:
        written = ureg.Unit(_SPELLINGS.get(spelling, spelling))
        zero = ureg.Quantity(0.0, written).to(target).magnitude
        one = ureg.Quantity(1.0, written).to(target).magnitude
    except pint.DimensionalityError:
        raise AmountError(f"'{clean(spelling)}' is not a unit of that dimension") from None
    except (pint.PintError, ArithmeticError, AttributeError, LookupError, SyntaxError, TypeError, ValueError):
        known = ["A", "mA", "V", "mV", "W", "kW", "ohm", "mohm", "m", "mm", "cm", "ft", "in", "s", "ms", "min"]
        near = difflib.get_close_matches(spelling, known, n=1)
        hint = f"; the nearest known is '{near[0]}'" if near else ""
        raise AmountError(f"the unit '{clean(spelling)}' is not known{hint}") from None
    return one - zero, zero


def amount(value: object, dimension: Dimension) -> Amount:
    """Read one quantity.

    Parameters
    ----------
    value : str (or a bare number where the dimension allows one)
        For example ``"7.5 A"``, ``"14 ft"``, ``"113 degF"``.
    dimension : Dimension
        What it must measure.

    Returns
    -------
    Amount
        In the dimension's unit, with the text as written.

    Raises
    ------
    AmountError
        No number, no unit, a unit of another dimension, or a value outside the dimension's range.
    """
    if isinstance(value, Amount):
        if not dimension.holds(value):
            raise AmountError(_outside(value.text, dimension))
        return value
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise AmountError(f"{type(value).__name__} is not a {dimension.name}; {dimension.accepted()}")
    result, text = _in_unit(str(value), dimension)
    if not dimension.holds(result):
        raise AmountError(_outside(text, dimension))
    return Amount(result, text)


def _in_unit(text: str, dimension: Dimension) -> tuple[float, str]:
    """A quantity in its dimension's unit, with its text; AmountError where it cannot be read."""
    found = _NUMBER.match(text) if len(text) <= 200 else None
    if found is None:
        raise AmountError(f"'{clean(text)}' is not a {dimension.name}; {dimension.accepted()}")
    number, spelling = float(found[1]), found[2]
    if not spelling:
        if not dimension.bare:
            raise AmountError(f"'{clean(text)}' has no unit; {dimension.accepted()}")
        spelling = dimension.unit
    if spelling[0] in ".,;'" or spelling[0].isdigit():
        raise AmountError(f"'{clean(text)}' is not one number with a unit; write a point for decimals; "
                          f"{dimension.accepted()}")
    try:
        slope, offset = _scale(spelling, dimension.unit)
    except AmountError as error:
        raise AmountError(f"'{clean(text)}': {error}; {dimension.accepted()}") from None
    result = slope * number + offset
    return (float(f"{result:.14g}") if math.isfinite(result) else result), text


def _unit_of(text: str) -> str:
    """The unit a quantity is written with; "" where it is none."""
    found = _NUMBER.match(text)
    return found[2] if found else ""


def _outside(text: str, dimension: Dimension) -> str:
    """The sentence for a value out of range, with the unit that was perhaps meant: ohm where mohm fits."""
    found = _NUMBER.match(text)
    number = found[1] if found else ""
    fits = next((unit for unit, scale in _COMMON[dimension.unit].items()
                 if number and float(number) != 0 and dimension.holds(float(number) * scale)), None)
    hint = f"; did you mean '{number} {fits}'?" if fits else ""
    return f"'{clean(text)}' is out of range; accepted is {dimension.span}{hint}"

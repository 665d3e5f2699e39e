"""Units as people write them, and what each measures; pint for those that are not on the list.

One list serves reading, offering and naming: `UNITS`, by the unit a dimension is kept in.
"""

from __future__ import annotations

import math
import re
import unicodedata
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from fuseplan.errors import AmountError
from fuseplan.records import dataclass

if TYPE_CHECKING:
    import pint


@dataclass(frozen=True)
class Unit:
    """One unit: how it is offered, its scale (and offset) to the unit of its dimension, how else it is written.

    Other spellings are in lower case; `_key` makes one of what is typed. `usual` units are offered for a bare number.
    """

    symbol: str
    scale: float
    others: tuple[str, ...] = ()
    offset: float = 0.0
    usual: bool = True

    @property
    def is_milli(self) -> bool:
        """Whether its symbol begins with the m of milli, which is mega as a capital."""
        return self.symbol in ("mA", "mV", "mW", "mohm", "mm", "ms", "mAh")


UNITS: dict[str, tuple[Unit, ...]] = {
    "A": (Unit("A", 1.0, ("amp", "amps", "ampere", "amperes")),
          Unit("mA", 1e-3, ("milliamp", "milliamps", "milliampere", "milliamperes")),
          Unit("µA", 1e-6, ("ua", "microamp", "microamps"), usual=False)),
    "V": (Unit("V", 1.0, ("volt", "volts", "vdc", "v dc", "volts dc")),
          Unit("mV", 1e-3, ("millivolt", "millivolts")), Unit("kV", 1e3, ("kilovolt", "kilovolts"), usual=False)),
    "W": (Unit("W", 1.0, ("watt", "watts")), Unit("kW", 1e3, ("kilowatt", "kilowatts")),
          Unit("mW", 1e-3, ("milliwatt", "milliwatts"), usual=False)),
    "ohm": (Unit("ohm", 1.0, ("ohms", "ω", "r")),
            Unit("mohm", 1e-3, ("mohms", "milliohm", "milliohms", "milli ohms", "mω")),
            Unit("kohm", 1e3, ("kohms", "kiloohm", "kilohm", "kilohms", "kω"), usual=False),
            Unit("µohm", 1e-6, ("uohm", "uω", "microohm", "microohms", "micro ohms", "μω"), usual=False)),
    "m": (Unit("m", 1.0, ("metre", "metres", "meter", "meters", "mtr", "mtrs")),
          Unit("ft", 0.3048, ("foot", "feet", "'")),
          Unit("mm", 1e-3, ("millimetre", "millimetres", "millimeter", "millimeters")),
          Unit("cm", 1e-2, ("centimetre", "centimetres", "centimeter", "centimeters")),
          Unit("in", 0.0254, ("inch", "inches", '"', "''")),
          Unit("yd", 0.9144, ("yard", "yards", "yds"), usual=False)),
    "s": (Unit("s", 1.0, ("sec", "secs", "second", "seconds")),
          Unit("ms", 1e-3, ("msec", "msecs", "millisecond", "milliseconds")),
          Unit("min", 60.0, ("mins", "minute", "minutes")), Unit("h", 3600.0, ("hr", "hrs", "hour", "hours")),
          Unit("d", 86400.0, ("day", "days")),
          Unit("µs", 1e-6, ("us", "usec", "microsecond", "microseconds"), usual=False),
          Unit("week", 604800.0, ("weeks", "wk", "wks"), usual=False)),
    "degC": (Unit("degC", 1.0, ("c", "°c", "deg c", "degs c", "degree c", "degrees c", "° c", "celsius", "deg celsius",
                                "degrees celsius", "centigrade", "degrees centigrade")),
             Unit("degF", 5 / 9, ("f", "°f", "deg f", "degs f", "degree f", "degrees f", "° f", "fahrenheit",
                                  "deg fahrenheit", "degrees fahrenheit"), offset=-160 / 9)),
    "A h": (Unit("Ah", 1.0, ("a h", "a*h", "amp h", "amp hr", "amp hrs", "amp hour", "amp hours", "amphour", "amphours",
                             "ampere hour", "ampere hours")),
            Unit("mAh", 1e-3, ("ma h", "milliamp hours"), usual=False)),
    "r/min": (Unit("r/min", 1.0, ("rpm", "r p m", "rev/min", "revs/min", "revs per min", "revs per minute", "1/min",
                                  "/min", "min 1", "revolution/minute", "revolutions per minute")),
              Unit("r/s", 60.0, ("rps", "rev/s", "revs/s", "revs per second"), usual=False),
              Unit("rad/s", 30 / math.pi, ("radian/second",), usual=False)),
    "litre": (Unit("litre", 1.0, ("litres", "liter", "liters", "l", "ltr", "ltrs")),
              Unit("cm3", 1e-3, ("cm³", "cm^3", "cc", "ccm", "ml", "millilitre", "millilitres", "cubic cm",
                                 "cubic centimetres", "cubic centimeters")),
              Unit("in3", 0.016387064, ("in³", "in^3", "cu in", "cubic inch", "cubic inches", "ci", "cid"),
                   usual=False)),
    "mm2": (Unit("mm2", 1.0, ("mm²", "mm^2", "mm**2", "sq mm", "sqmm", "mm sq", "mmsq", "qmm", "square mm",
                              "mm squared", "square millimetre", "square millimetres", "square millimeters")),
            Unit("cm2", 100.0, ("cm²", "cm^2", "sq cm", "square cm"), usual=False)),
}
"""Read without pint, which takes longer to load than a plan to assess. A test holds each against pint.

The foot is 0.3048 m, the inch 0.0254 m, the yard 0.9144 m, the cubic inch 16.387064 cm³ and t/°C = (t/°F − 32)·5/9
(NIST Special Publication 811, Appendix B; from memory).
"""
_MEASURES = {
    "A": "a current", "V": "a voltage", "W": "a power", "ohm": "a resistance", "m": "a length", "s": "a time",
    "degC": "a temperature", "A h": "a charge", "r/min": "a speed of rotation", "litre": "a volume", "mm2": "an area",
    "kg": "a mass", "N": "a force", "Pa": "a pressure", "J": "an energy or a torque", "Hz": "a frequency",
    "F": "a capacitance", "H": "an inductance", "m/s": "a speed", "lm": "an amount of light",
    "radian": "an angle or a plain number",
}
"""What a unit measures, for the units of the list and others that may be met in a car."""
_JOINTS = re.compile(r"(?<=\w)[·\-_](?=\w)|(?<=\w)\.")
"""What joins the words of a unit, or ends a shortened one."""
_SPELLINGS = {"A h": "ampere * hour", "r/min": "revolution / minute", "mm2": "mm**2"}
_WORD = r"[A-Za-zµμΩ°²³_]{1,30}[23]?"
_UNIT = re.compile(rf"{_WORD}(?:\s*(?:\*\*|\^|\*|/|·|\s)\s*(?:{_WORD}|[1-4])){{0,4}}")
"""What a unit may look like: short words joined by products, quotients and small powers; nothing else is
handed to the unit parser."""
_FRACTIONS = {chr(code): f" {text}" for code in (*range(0xBC, 0xBF), *range(0x2150, 0x215F))
              if "/" in (text := unicodedata.normalize("NFKC", chr(code)).replace(chr(0x2044), "/"))}
_PLAIN = str.maketrans({
    **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},
    **{chr(code): " " for code in (0x00A0, 0x1680, *range(0x2000, 0x200B), 0x202F, 0x205F, 0x3000)},
    **dict.fromkeys("\u2032\u2018\u2019", "'"), **dict.fromkeys("\u2033\u201c\u201d", '"'), **_FRACTIONS,
    "\u2212": "-", "\u2044": "/", "\u2215": "/", "\u22c5": "·", "\u00d7": "x", "\u00ba": "°", "\u02da": "°",
    "\u2103": "°C", "\u2109": "°F", "\u2126": "Ω", "\u00b5": "μ", "\u339f": "mm2", "\u339c": "mm", "\u339d": "cm",
})


def plain(text: str) -> str:
    """A text with the letters of one keyboard: wide digits, fixed spaces, primes and signs in one character."""
    return text if text.isascii() else text.translate(_PLAIN)


def _key(spelling: str) -> str:
    """A spelling as the list of units has it."""
    return " ".join(_JOINTS.sub(" ", spelling.removesuffix(".")).split()).casefold()


@cache
def _listed() -> dict[str, dict[str, Unit]]:
    return {kept: {_key(word): unit for unit in units for word in (unit.symbol, *unit.others)}
            for kept, units in UNITS.items()}


def unit_in(spelling: str, kept: str) -> Unit | None:
    """The unit of the list a spelling stands for among those of a dimension; None without one."""
    return _listed()[kept].get(_key(spelling))


def spellings(kept: str) -> dict[str, Unit]:
    """Every spelling on the list of a dimension, with its unit."""
    return _listed()[kept]


def is_mega(spelling: str, unit: Unit) -> bool:
    """Whether a spelling of a unit with milli begins with the capital that means a million."""
    return unit.is_milli and spelling.startswith("M") and not _key(spelling).startswith("milli")


@lru_cache(maxsize=512)
def measures(spelling: str, wanted: str) -> str:
    """What a unit measures, as "a voltage"; empty where it is no unit that is known.

    One that only begins a unit of the dimension that is wanted is being typed: pint is not loaded for it.
    """
    for kept in UNITS:
        unit = unit_in(spelling, kept)
        if unit is not None and not is_mega(spelling, unit):
            return _MEASURES[kept]
    if not _UNIT.fullmatch(spelling) or any(word.startswith(_key(spelling)) for word in spellings(wanted)):
        return ""
    import pint

    try:
        written = registry().Unit(_SPELLINGS.get(spelling, spelling))
        return next((words for kept, words in _MEASURES.items() if kept != "r/min"
                     and registry().Unit(_SPELLINGS.get(kept, kept)).dimensionality == written.dimensionality),
                    "no figure of this plan")
    except (pint.PintError, ArithmeticError, AttributeError, LookupError, SyntaxError, TypeError, ValueError):
        return ""


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[Any]:
    """The one pint registry. Built at the first unit that is not on the list, not at import."""
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry(cache_folder=None)
    return units


def scale_by_pint(spelling: str, kept: str) -> tuple[float, float]:
    """Slope and offset from any unit to the one a dimension is kept in, by pint; AmountError where there is none."""
    import pint

    ureg = registry()
    target = ureg.Unit(_SPELLINGS.get(kept, kept))
    try:
        written = ureg.Unit(_SPELLINGS.get(spelling, spelling))
        zero = ureg.Quantity(0.0, written).to(target).magnitude
        one = ureg.Quantity(1.0, written).to(target).magnitude
    except (pint.PintError, ArithmeticError, AttributeError, LookupError, SyntaxError, TypeError, ValueError):
        raise AmountError(f"'{spelling}' is not a unit of {kept}") from None
    return one - zero, zero


@lru_cache(maxsize=512)
def scale(spelling: str, kept: str) -> tuple[float, float] | None:
    """Slope and offset from a unit as spelled to the one a dimension is kept in; None where it is no such unit."""
    unit = unit_in(spelling, kept)
    if unit is not None:
        return None if is_mega(spelling, unit) else (unit.scale, unit.offset)
    # To pint a revolution is 2π and a hertz is 1: what it makes of 14 Hz is no engine speed.
    if kept == "r/min" or measures(spelling, kept) != _MEASURES[kept]:
        return None
    try:
        return scale_by_pint(spelling, kept)
    except AmountError:
        return None

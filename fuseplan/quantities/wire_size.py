"""Conductor sizes as written on a reel: an area, or a gauge number with the system it belongs to.

A gauge number alone is refused: SAE wire is thinner than AWG of the same number, and 14 may as well be 14 mm².
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from fuseplan.errors import AmountError
from fuseplan.quantities.amounts import Dimension, clean, kind_of, number_in
from fuseplan.quantities.listing import either
from fuseplan.quantities.offers import offers, refusal
from fuseplan.quantities.units import plain, unit_in

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic_core import CoreSchema

EXAMPLES = ("2.5 mm2", "AWG 14", "SAE 14", "AV 1.25")
_AREA = Dimension("wire size", "mm2", "0.05 mm2", "300 mm2", EXAMPLES[:1])
_NAME = r"0{1,4}|[1-4]/0|[1-9]\d?"
_AWG = r"AWG|B\s?&\s?S"
_WORD = r"g(?:a|auge|age|uage|a\.)"
_SIGN = rf"(?:#|no\.?\s*|size\s*|{_WORD}\s*)?"
_GAUGE = re.compile(
    rf"\s*(?:(?P<first>{_AWG}|SAE)[\s\-]*{_SIGN}(?P<after>{_NAME})"
    rf"|{_SIGN}(?P<before>{_NAME})[\s\-]*(?:{_WORD}\s*)?(?P<last>{_AWG}|SAE))(?:\s*(?:cable|wire))?\s*\Z"
    r"|\s*AV\s*(?P<japanese>\d{1,3}(?:\.\d+)?)\s*\Z", re.IGNORECASE | re.ASCII)
_NO_SYSTEM = re.compile(
    rf"\s*(?:(?:#|no\.?\s*|{_WORD}\s*)(?P<after>{_NAME})|(?P<before>{_NAME})[\s\-]*(?:g|{_WORD})"
    r"|(?P<alone>[1-4]/0|0{2,4}))(?:\s*(?:cable|wire))?\s*\Z", re.IGNORECASE | re.ASCII)
_IMPERIAL = re.compile(r"\s*(?:(?:SWG|BWG)\s*\d.*|\d.*(?:SWG|BWG))\s*\Z", re.IGNORECASE | re.ASCII)
_STRANDS = re.compile(r"\s*(\d{1,4})\s*[/x]\s*(0?\.\d{1,3})\s*(mm|in(?:ch|\.)?|\")?\s*(?:cable|wire)?\s*\Z",
                      re.IGNORECASE | re.ASCII)
_INCH_MM = 25.4
_THINNEST_STRAND_MM = 0.05
"""A strand written thinner than this without a unit is in inches: 28/.012 is the old name of 28/0.30."""
_NOMINAL_MM2 = (0.5, 0.65, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 4.5, 6.0, 8.5, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0,
                120.0)
"""Sizes that cables are named by: IEC 60228, and what two British cable lists print beside the strands."""
_SHORT_OF_NOMINAL = 0.975
"""Copper in the strands over the size that a cable is named by, at least: 0.979 for 9/0.30, sold as 0.65 mm²."""
_CABLE = re.compile(r"\s*(\d+(?:\.\d+)?)\s*mm\s+(?:auto(?:motive)?|[a-z\s-]*(?:cable|wire|thin[\s-]?wall))\s*\Z",
                    re.IGNORECASE | re.ASCII)
"""A cable by its diameter over the insulation, as American and Australian shops sell it: 4 mm auto cable."""
_CARRIES = re.compile(r"\s*\d+(?:\.\d+)?\s*a(?:mps?)?\s+[a-z\s-]*(?:cable|wire|thin[\s-]?wall)\s*\Z",
                      re.IGNORECASE | re.ASCII)
_THINNEST = 40
"""The thinnest gauge of the AWG (ASTM B258)."""
_SOLD = {"AWG": ("0", "00", "000", "0000", "1", "2", "3", *map(str, range(4, 25, 2))),
         "SAE": ("0", "00", "0000", "1", "2", *map(str, range(4, 19, 2))), "AV": ("0.85", "1.25")}
"""Names that are offered for a number: those a car's wire is sold in (common practice, no source)."""


def _named(name: str) -> str:
    """A gauge as its tables name it: 0 and 0000 are 1/0 and 4/0."""
    return f"{len(name)}/0" if set(name) == {"0"} else name


class WireSize(str):
    """A conductor size as written, with the system it belongs to.

    ``system`` is "mm2", "AWG", "SAE" or "AV" (Japanese nominal size); ``name`` its designation in that system ("2.5",
    "14", "1/0"); ``area_mm2`` the number for "mm2", NaN for the others, whose area is a table's business.
    """

    __slots__ = ("area_mm2", "name", "system")
    system: str
    name: str
    area_mm2: float

    def __new__(cls, text: str) -> WireSize:
        self = super().__new__(cls, text)
        typed = plain(text)
        gauge = _GAUGE.match(typed) if len(typed) <= 200 else None
        if gauge is None:
            area = _area(text, typed)
            self.system, self.name, self.area_mm2 = "mm2", f"{area:g}", area
            return self
        self.area_mm2 = math.nan
        if gauge["japanese"]:
            self.system, self.name = "AV", gauge["japanese"]
            return self
        self.system = "SAE" if (gauge["first"] or gauge["last"]).upper() == "SAE" else "AWG"
        self.name = _named(gauge["after"] or gauge["before"])
        if self.name.isdigit() and int(self.name) > _THINNEST:
            raise AmountError(f"there is no gauge '{clean(text)}'; accepted are {_THINNEST} to 1, 1/0, 2/0, 3/0 "
                              "and 4/0")
        return self

    def __reduce__(self) -> tuple[type[WireSize], tuple[str]]:
        return (WireSize, (str(self),))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(
            cls.read, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {
            "type": "string",
            "description": "conductor size: an area, or a gauge number with its system",
            "examples": list(EXAMPLES),
        }

    @classmethod
    def read(cls, value: object) -> WireSize:
        """Read a size; raises AmountError naming what is accepted, with what could have been meant."""
        if isinstance(value, WireSize):
            return value
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            return cls(str(value))
        if not isinstance(value, str):
            raise AmountError(f"{kind_of(value)} is not a wire size; accepted is a size like {either(EXAMPLES)}")
        return _read(value)


@lru_cache(maxsize=1024)
def _read(text: str) -> WireSize:
    """A size from its text; a car has few, and they are read often."""
    return WireSize(text)


def _area(text: str, typed: str) -> float:
    """The area in mm² of a size that is no gauge."""
    area = number_in(typed, _AREA)
    if area is not None and _AREA.holds(area):
        return area
    raise _refusal(text, typed)


def size_offers(text: str) -> tuple[str, ...]:
    """What a text that is no wire size may have been meant as; each is accepted."""
    return tuple(dict.fromkeys(_candidates(plain(text).strip()))) if len(text) <= 200 else ()


def _strand_mm(strands: re.Match[str]) -> float:
    """Diameter of a strand in mm."""
    diameter, unit = float(strands[2]), (strands[3] or "").casefold()
    inches = unit.startswith(("in", '"')) or (not unit and diameter < _THINNEST_STRAND_MM)
    return diameter * _INCH_MM if inches else diameter


def _sold_mm2(copper_mm2: float) -> float:
    """The size that a cable with so much copper in its strands is named by; else that copper, never more."""
    return next((each for each in _NOMINAL_MM2 if _SHORT_OF_NOMINAL * each <= copper_mm2 <= each),
                math.floor(copper_mm2 * 100) / 100)


def _gauges(name: str) -> Iterator[str]:
    """A gauge in each system it is sold in."""
    name = _named(name)
    yield from (f"{system} {name}" for system, sold in _SOLD.items() if name in map(_named, sold))


def _candidates(typed: str) -> Iterator[str]:
    number = re.fullmatch(r"\d+(?:\.\d*)?|\.\d+", typed, re.ASCII)
    no_system, strands = _NO_SYSTEM.match(typed), _STRANDS.match(typed)
    if number is not None:
        yield from offers(typed, _AREA)
        yield from _gauges(typed)
    elif no_system is not None:
        yield from _gauges(no_system["after"] or no_system["before"] or no_system["alone"])
    elif strands is not None:
        yield from offers(f"{_sold_mm2(int(strands[1]) * math.pi / 4 * _strand_mm(strands) ** 2):g}", _AREA)
    elif not (_IMPERIAL.match(typed) or _CABLE.match(typed) or _CARRIES.match(typed)):
        for each in offers(typed, _AREA):
            yield each
            if re.fullmatch(r"[\d,]+", typed):
                yield from _gauges(each.partition(" ")[0])


def _refusal(text: str, typed: str) -> AmountError:
    """Why a text is no wire size, and what is accepted."""
    shown, offered = clean(text.strip()), size_offers(text)
    accepted = f"accepted is {either(offered or EXAMPLES)}"
    length = re.fullmatch(r"\s*[\d./ ]+(\D+?)\s*", typed)
    if _IMPERIAL.match(typed):
        return AmountError(f"'{shown}' is a gauge that is not on file; {accepted}")
    if offered and _NO_SYSTEM.match(typed):
        return AmountError(f"'{shown}' may be AWG or SAE, which is thinner; {accepted}", offered)
    if offered and _STRANDS.match(typed):
        return AmountError(f"'{shown}' is strands by diameter; {accepted}, by the copper of all the strands", offered)
    if _CABLE.match(typed):
        return AmountError(f"'{shown}' is a cable by its diameter over the insulation, and shops do not agree how much "
                           f"copper is in it; read the area on the reel; {accepted}", offered)
    if _CARRIES.match(typed):
        return AmountError(f"'{shown}' is a current: what a cable carries depends on where it lies; the area of the "
                           f"copper is wanted; {accepted}", offered)
    if length is not None and unit_in(length[1], "m") is not None:
        return AmountError(f"'{shown}' is a length, perhaps over the insulation; the area of the copper is wanted; "
                           f"{accepted}", offered)
    error = refusal(text, _AREA)
    if number_in(typed, _AREA) is not None:
        return error
    words = re.split("; (?:accepted is|a wire size is wanted)", str(error))[0]
    return AmountError(f"{words}; {accepted}", offered)

"""Conductor sizes as written on a reel: an area, or a gauge number with the system it belongs to."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

from fuseplan.errors import AmountError
from fuseplan.quantities.amounts import Dimension, amount

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic_core import CoreSchema

_AREA = Dimension("wire size", "mm2", "0.05 mm2", "300 mm2", ("2.5 mm2", "2.5 mm²"))
_GAUGE = re.compile(r"\s*(?:(AWG|SAE|AV)\s*(\d{1,3}(?:/0|\.\d+)?)|(\d{1,2}(?:/0)?)\s*(AWG|SAE))\s*\Z", re.IGNORECASE)


class WireSize(str):
    """A conductor size as written, with the system it belongs to.

    ``system`` is "mm2", "AWG", "SAE" or "AV" (Japanese nominal size); ``name`` its designation in that
    system ("2.5", "14", "1/0"); ``area_mm2`` the number for "mm2", NaN for the others, whose area is a
    table's business.
    """

    __slots__ = ("area_mm2", "name", "system")
    system: str
    name: str
    area_mm2: float

    def __new__(cls, text: str) -> WireSize:
        self = super().__new__(cls, text)
        gauge = _GAUGE.match(text)
        if gauge:
            self.system = (gauge[1] or gauge[4]).upper()
            self.name = gauge[2] or gauge[3]
            self.area_mm2 = math.nan
            return self
        area = amount(text, _AREA)
        self.system, self.name, self.area_mm2 = "mm2", f"{float(area):g}", float(area)
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
            "examples": ["2.5 mm2", "AWG 14", "SAE 14", "AV 1.25"],
        }

    @classmethod
    def read(cls, value: object) -> WireSize:
        """Read a size; raises AmountError naming what is accepted."""
        if isinstance(value, WireSize):
            return value
        if not isinstance(value, str):
            raise AmountError(f"{type(value).__name__} is not a wire size; accepted is '2.5 mm2' or 'AWG 14'")
        try:
            return cls(value)
        except AmountError as error:
            raise AmountError(f"{error}, 'AWG 14', 'SAE 14' or 'AV 1.25'") from None

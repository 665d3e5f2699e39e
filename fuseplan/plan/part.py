"""What every part of a plan is: its base class, and the kinds of text its fields are made of."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from fuseplan.quantities.amounts import Dimension

Text = Annotated[str, Field(max_length=2000)]
Name = Annotated[str, Field(min_length=1, max_length=64)]


def _day(value: object) -> object:
    """A calendar day as text, 2026-11-26, from text or a date of TOML; anything else as it is, for its type to
    refuse."""
    if isinstance(value, datetime):
        raise ValueError("a day with a time of day; accepted is the day alone: 2026-11-26")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        try:
            found = date.fromisoformat(value.strip()).isoformat()
        except ValueError:
            found = None
        if found != value.strip():
            raise ValueError(f"'{value}' is no day; accepted is year-month-day: 2026-11-26")
        return found
    return value


Day = Annotated[str, BeforeValidator(_day)]
"""A calendar day, year-month-day."""


def _with_ranges(schema: dict[str, Any], model: type[BaseModel]) -> None:
    """Add the range to the description of a figure that cannot be left out; there the field's own hides its type's."""
    for name, info in model.model_fields.items():
        for each in info.metadata:
            if isinstance(each, Dimension):
                schema["properties"][info.alias or name]["description"] += f"; {each.span}"


class Part(BaseModel):
    """Base of every model of the plan: frozen, unknown keys refused."""

    # Built when first used: the plan's own validator holds all its parts, so most are never built on their own.
    model_config = ConfigDict(extra="forbid", frozen=True, strict=False, defer_build=True,
                              json_schema_extra=_with_ranges)

    note: Text | None = Field(None, description="free text, shown with the part")

"""A part of the result as plain data: what JSON prints."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from typing import Any

from fuseplan.results.part import Nested, Part


def to_document(part: Part) -> Any:
    """A part as a dictionary (a list where the part is one) of dictionaries, lists and plain values.

    Keys are those declared; None stands for what is not known: NaN and infinities, which JSON does not know.
    """
    if part.is_array:
        return [plain(each.fget(part)) for each in part.declared]
    return {each.key: _nested(each.fget(part)) if isinstance(each, Nested) else plain(each.fget(part))
            for each in part.declared}


def _nested(value: Any) -> Any:
    if value is None:
        return None
    if isinstance(value, Part):
        return to_document(value)
    if isinstance(value, Mapping):
        return {name: _nested(each) for name, each in value.items()}
    return [to_document(each) for each in value]


def plain(value: Any) -> Any:
    """Dictionaries, lists and plain values, with None for numbers that JSON does not know."""
    kind = type(value)
    if kind is float:
        return value if math.isfinite(value) else None
    if kind is str or kind is bool or value is None or kind is int:
        return value
    if kind is list or kind is tuple:
        return [plain(each) for each in value]
    if kind is dict:
        return {name: plain(each) for name, each in value.items()}
    if dataclasses.is_dataclass(value):
        return {name: plain(getattr(value, name)) for name in published(value)}
    return plain(value.value if hasattr(value, "value") else float(value))


def published(record: Any) -> list[str]:
    """Keys of a record, or of its class, that are printed."""
    return [each.name for each in dataclasses.fields(record) if not each.metadata.get("unpublished")]

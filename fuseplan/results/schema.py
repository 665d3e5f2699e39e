"""The JSON Schema of a part of the result, from what it declares: annotations are the types, words the descriptions."""

from __future__ import annotations

import dataclasses
import inspect
import types
import typing
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import TypeAdapter

from fuseplan.quantities.decimals import unit_words
from fuseplan.results.document import published
from fuseplan.results.part import Declaration, Figure, Nested, Part

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_REFERENCES = "#/$defs/{model}"


def schema(kind: type[Part]) -> dict[str, Any]:
    """The schema of the document of a kind of part; every key it declares is there, and no other."""
    found: dict[str, Any] = {}
    whole = _of_part(kind, found)
    return {"$schema": DIALECT, **whole, "$defs": found}


def annotation(declaration: Declaration[Any]) -> Any:
    """The type a declaration is annotated with."""
    get = inspect.unwrap(declaration.fget)
    return typing.get_type_hints(get, include_extras=True)["return"]


def _of_part(kind: type[Part], found: dict[str, Any]) -> dict[str, Any]:
    words = {"description": inspect.cleandoc(kind.__doc__ or "")}
    each = {declaration.key: _of_declaration(declaration, found) for declaration in kind.declared}
    if kind.is_array:
        return {"type": "array", "prefixItems": list(each.values()), "items": False, "minItems": len(each), **words}
    return {"type": "object", "properties": each, "required": list(each), "additionalProperties": False, **words}


def _of_declaration(declaration: Declaration[Any], found: dict[str, Any]) -> dict[str, Any]:
    kind = annotation(declaration)
    if isinstance(declaration, Nested):
        shape = _of_nested(kind, found)
    else:
        shape = TypeAdapter(kind).json_schema(ref_template=_REFERENCES, mode="serialization")
        found.update(shape.pop("$defs", {}))
        for record in typing.get_args(kind):
            if isinstance(record, type) and dataclasses.is_dataclass(record):
                said, keys = found[record.__name__], published(record)
                said |= {"properties": {key: said["properties"][key] for key in keys}, "required": keys,
                         "additionalProperties": False}
    words = declaration.words
    if isinstance(declaration, Figure) and declaration.unit not in ("-", "share"):
        words = f"{words} [{unit_words(declaration.unit)}]"
    elif isinstance(declaration, Figure) and declaration.unit == "share":
        words = f"{words}, as a share: 1 is the whole"
    return {**shape, "description": words}


def _of_nested(kind: Any, found: dict[str, Any]) -> dict[str, Any]:
    if isinstance(kind, type) and issubclass(kind, Part):
        if kind.__name__ not in found:
            found[kind.__name__] = {}
            found[kind.__name__] = _of_part(kind, found)
        return {"$ref": _REFERENCES.format(model=kind.__name__)}
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if origin in (types.UnionType, typing.Union):
        return {"anyOf": [{"type": "null"} if each is type(None) else _of_nested(each, found) for each in inner]}
    if issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": _of_nested(inner[1], found)}
    assert issubclass(origin, Iterable)
    return {"type": "array", "items": _of_nested(inner[0], found)}

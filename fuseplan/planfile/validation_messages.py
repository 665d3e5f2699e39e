"""What the models found wrong, said in sentences: what, where, and what is accepted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from itertools import zip_longest
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from fuseplan.plan.model import Plan
from fuseplan.plan.reference_problems import EXCLUDING
from fuseplan.plan.references import Path, a_part, accepted, kind_named_at, place
from fuseplan.planfile.plain import get
from fuseplan.quantities.amounts import clean, kind_of

_KINDS = {
    "string_type": "text in quotes", "float_type": "a number", "int_type": "a whole number",
    "int_from_float": "a whole number", "finite_number": "a finite number", "bool_type": "true or false",
    "tuple_type": "a list in [ ]", "model_type": "a table of keys", "model_attributes_type": "a table of keys",
    "mapping_type": "a table of keys", "dict_type": "a table of keys",
}


def keys_of(model: type[BaseModel]) -> list[str]:
    """The keys a table of the file may hold."""
    return [field.alias or name for name, field in model.model_fields.items()]


@lru_cache(maxsize=256)
def model_at(path: Path, root: type[BaseModel] = Plan) -> type[BaseModel] | None:
    """The model of the table a path leads to; None where there is no table."""
    here: Any = root
    for step in path:
        here = _below(here, step)
        if here is None:
            return None
    return _model(here)


def _model(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (Union, UnionType):
        return next((found for part in get_args(annotation) if (found := _model(part))), None)
    return None


def _below(annotation: Any, step: str | int) -> Any:
    """Type of what stands under a key or position."""
    model = _model(annotation)
    if model:
        return next(
            (field.annotation for name, field in model.model_fields.items() if step == (field.alias or name)), None
        )
    origin, args = get_origin(annotation), get_args(annotation)
    if origin in (Union, UnionType):
        return next((found for part in args if (found := _below(part, step)) is not None), None)
    if origin is tuple and isinstance(step, int):
        return args[0]
    if isinstance(origin, type) and issubclass(origin, Mapping) and isinstance(step, str):
        return args[1]
    return None


def _meaning(path: Path, root: type[BaseModel]) -> str:
    """What a key stands for, in brackets."""
    model = model_at(path[:-1], root)
    for name, field in model.model_fields.items() if model else ():
        if path[-1] == (field.alias or name) and field.description:
            return f" ({field.description.partition(';')[0]})"
    return ""


def _to_be_given(path: Path, root: type[BaseModel]) -> str:
    """What a key that is missing may be set to."""
    kind = kind_named_at(path) if root is Plan else None
    if kind is not None:
        return f"accepted is the id of {a_part(kind)} of this plan"
    model = model_at(path[:-1], root)
    takes = _refusal(str(path[-1]), None, {}, model).partition("accepted")[2] if model else ""
    return f"accepted{takes or ' is a value'}"


def sentences(error: ValidationError, root: type[BaseModel] = Plan, prefix: Path = (), most: int | None = None,
              data: object = None) -> list[tuple[Path, str]]:
    """Path and sentence of what a validation found, in its order.

    Args:
        root: the model that the paths begin at
        prefix: where in `root` the validated value stands
        most: how many; left out: all
        data: what was validated, from `root` on; with it no key is suggested that would be refused in its turn
    """
    return [_sentence(detail, root, prefix, data) for detail in error.errors(include_url=False)[:most]]


def _sentence(detail: ErrorDetails, root: type[BaseModel], prefix: Path, data: object) -> tuple[Path, str]:
    path: Path = (*prefix, *detail["loc"])
    kind, value, context = detail["type"], detail["input"], detail.get("ctx", {})
    if path and path[-1] == "[key]":
        path = path[:-1]
        table, name = place(path[:-1]), clean(path[-1])
        if kind == "literal_error":
            known = _words(context.get("expected", ""))
            return path, f"{table}: '{name}' is not a known word; {accepted(path[-1], known, 20)}"
        return path, f"{table}: the name '{name}' has {len(str(path[-1]))} characters; accepted are 1 to 64"
    around, key = (place(path[:-1]), clean(path[-1])) if path else (place(path), "")
    if path and isinstance(path[-1], int):
        owner = [step for step in path if isinstance(step, str)][-1]
        around, key = place(path[: path.index(owner)]) if path.index(owner) else place(()), f"{owner} {path[-1] + 1}"
    if kind == "extra_forbidden":
        model = model_at(path[:-1], root)
        instead = _suggested(str(path[-1]), get(data, path[:-1]), model, root) if model else "none is known"
        return path, f"unknown key '{key}' in {around}; {instead}"
    if kind == "missing":
        if isinstance(path[-1], int):
            return path, f"{around}: `{key}` is missing; accepted is a list of that many values"
        return path, f"{around}: `{key}` is missing{_meaning(path, root)}; {_to_be_given(path, root)}"
    return path, f"{around}: `{key}` {_wrong(kind, value, context)}"


def _suggested(key: str, table: object, model: type[BaseModel], root: type[BaseModel]) -> str:
    """What would be accepted instead of an unknown key: the one it is a misspelling of, with what it takes where it
    does not take the value; else those that are about the same, each with what it means, of the free ones those that
    take the value where there are any; else all that are free."""
    held: dict[str, Any] = table if isinstance(table, dict) else {}
    known = keys_of(model)
    free = [each for each in known if each not in held]
    meant = None if key in _every_key(root) else _misspelt(key, known)
    if meant in held:
        return f"the nearest known, '{meant}', is there already"
    if meant is not None:
        refusal = _refusal(meant, held.get(key), held, model)
        takes = refusal.partition("accepted")[2] if refusal.startswith(meant) else ""
        return f"the nearest known is '{meant}'; accepted there{takes}" if takes else \
            f"the nearest known, '{meant}', does not go with what else is there" if refusal else \
            f"the nearest known is '{meant}'"
    alike = [each for each in known if _about_the_same(key, each, model)]
    refusals = {each: _refusal(each, held.get(key), held, model) for each in alike if each in free}
    near = [each for each, refusal in refusals.items() if not refusal] or \
        [each for each, refusal in refusals.items() if refusal.startswith(each)]
    if near:
        there = [f"'{each}' is there already" for each in alike if each in held]
        return "; ".join(("known there: " + ", ".join(f"'{each}'{_meaning((each,), model)}" for each in near), *there))
    return f"known: {', '.join(free)}" if free else "none is known"


def _misspelt(key: str, known: Iterable[str]) -> str | None:
    """The one key that is nearest to another in every word; None where none or several are."""
    alike = {each: ratio for each in known if (ratio := _likeness(key, each)) >= _SPELLED_ALIKE}
    nearest = [each for each, ratio in alike.items() if ratio == max(alike.values())]
    return nearest[0] if len(nearest) == 1 else None


_SPELLED_ALIKE = 0.75
"""The least that two words of a key have in common, as a share of their letters, where one is the other misspelt: two
of four letters that have changed places are."""


def _likeness(one: str, other: str) -> float:
    """How much two keys have in common in the word in which they have least; 0 where one has more words."""
    import difflib

    pairs = list(zip_longest(one[:80].split("_"), other.split("_"), fillvalue=""))
    return min(difflib.SequenceMatcher(None, *pair).ratio() for pair in pairs)


def _about_the_same(key: str, known: str, model: type[BaseModel]) -> bool:
    """Whether two keys share a word, or the meaning of the known one has all words of the other."""
    said = set(re.findall(r"\w+", _meaning((known,), model)))
    words = key[:80].split("_")
    return said.issuperset(words) or any(_likeness(one, other) >= _SPELLED_ALIKE
                                         for one in words for other in known.split("_"))


@cache
def _every_key(root: type[BaseModel]) -> frozenset[str]:
    """The keys of all tables of a file."""
    found, models = set(keys_of(root)), [root]
    for model in models:
        found.update(keys_of(model))
        models += {each for field in model.model_fields.values() for each in _models_in(field.annotation)} - {*models}
    return frozenset(found)


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from _models_in(part)


def _refusal(known: str, value: object, table: Mapping[str, Any], model: type[BaseModel]) -> str:
    """What would be said of a table's value under another key, beginning with that key, or of the two keys that exclude
    each other; empty where nothing would."""
    kept = {key: each for key, each in table.items() if key in keys_of(model)} | {known: value}
    for one, others in EXCLUDING.items():
        if (known == one and others & kept.keys()) or (one in kept and known in others):
            return "it excludes one that is there"
    try:
        model.model_validate(kept)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            if not detail["loc"]:
                return f": {detail['msg']}"
            if detail["loc"][0] == known:
                return f"{known}: {_wrong(detail['type'], detail['input'], detail.get('ctx', {}))}"
    return ""


def _wrong(kind: str, value: object, context: Mapping[str, Any]) -> str:
    """The rest of the sentence: what is wrong with a value and what is accepted."""
    if kind == "value_error":
        return f"is wrong: {context['error']}"
    if kind == "literal_error":
        known = _words(context.get("expected", ""))
        near = accepted(value, known, 0) if isinstance(value, str) else ""
        hint = f"; {near}" if near.startswith("the nearest") else ""
        return f"is {kind_of(value)}; accepted is {context.get('expected')}{hint}"
    if kind == "string_too_long":
        return f"has {len(str(value))} characters; accepted are at most {context['max_length']}"
    if kind == "string_too_short":
        return f"is empty; accepted is text of at least {context['min_length']} character"
    if kind in ("too_long", "too_short"):
        limit = context.get("max_length", context.get("min_length"))
        return f"has {context['actual_length']} values; accepted are {limit}"
    wanted = _KINDS.get(kind)
    return f"is {kind_of(value)}; accepted is {wanted or 'another kind of value'}"


def _words(expected: str) -> list[str]:
    return [part.strip("' ") for part in expected.replace(" or ", ", ").split(",")]

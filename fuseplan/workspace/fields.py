"""What a form asks, read off the plan's models: kind of entry, unit, words to choose from, help."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from fuseplan.plan import beside_the_car, fuse_boxes, looms, parts
from fuseplan.plan import model as plan_model
from fuseplan.plan.stock import Stock
from fuseplan.quantities.amounts import Amount, Between, Dimension
from fuseplan.quantities.wire_size import WireSize
from fuseplan.records import dataclass

Kind = Literal[
    "text", "amount", "size", "number", "whole", "yes_no", "choice", "words", "pair", "part", "list", "named"
]
"""How a key is entered; `part`: a table of keys of its own, `list`: several of them, `named`: several with names."""

PARTS: dict[type[BaseModel], str] = {
    plan_model.Vehicle: "vehicle", plan_model.Battery: "battery", plan_model.Alternator: "alternator",
    plan_model.Zone: "zone", plan_model.Run: "run", plan_model.Feed: "feed", plan_model.Earth: "earth",
    plan_model.Circuit: "circuit", plan_model.Condition: "condition", fuse_boxes.FuseBox: "fuse_box",
    plan_model.Trip: "trip", plan_model.TripLeg: "leg",
    beside_the_car.Reading: "reading", beside_the_car.Signed: "signed", beside_the_car.Change: "change",
    plan_model.CurvePoint: "curve_point", fuse_boxes.BoxPosition: "position",
    parts.Load: "load", parts.Segment: "segment", parts.Fuse: "fuse", parts.Relay: "relay", parts.Switch: "switch",
    parts.Ammeter: "ammeter", parts.SecondBattery: "second_battery", parts.Joint: "joint", parts.End: "end",
    parts.WireEnd: "wire_end",
    Stock: "stock", looms.Loom: "loom", looms.Connector: "connector", looms.Pin: "pin", looms.Extension: "extension",
}
"""The word for each model, the same that the plan's references use."""

COMMON: Mapping[str, tuple[str, ...]] = {
    "circuit": ("name", "feed", "earth", "drop_class", "load", "fuse", "wire", "earth_wire", "relay", "switch"),
    "load": ("name", "current", "power", "at", "kind", "use", "when", "evidence"),
    "segment": ("size", "length", "zone", "along", "insulation"),
    "fuse": ("kind", "rating", "position"),
    "relay": ("contact", "coil_feed", "driver", "suppression", "wire_86", "wire_85", "coil_earth"),
    "feed": ("name", "from", "terminal", "zone", "live", "fuse", "wire", "relay"),
    "earth": ("name", "to", "engine", "resistance", "wire"),
    "alternator": ("rated", "low_speed", "label", "pulley_ratio", "regulator_voltage", "cable"),
    "battery": ("capacity", "cold_crank"),
    "stock": ("wire", "blade", "maxi", "relay"),
    "connector": ("name", "loom", "mates", "plugged_into", "family", "tab_size", "cavities", "place", "seal", "pin"),
    "pin": ("function", "signal", "size", "colour", "other_end", "known", "fate"),
}
"""Keys shown at once and first; the others only when they are set or asked for."""


@dataclass(frozen=True)
class Entry:
    """One key of a model, as a form asks for it."""

    owner: str
    key: str
    kind: Kind
    help: str
    required: bool
    default: object
    dimension: Dimension | None = None
    between: Between | None = None
    choices: tuple[str, ...] = ()
    model: type[BaseModel] | None = None

    @property
    def label(self) -> str:
        """The key as it is shown: without underscores."""
        return self.key.replace("_", " ")

    @property
    def span(self) -> str:
        """The range its figure must lie in, in words; empty for what is no figure."""
        ranged = self.dimension or self.between
        return "" if ranged is None else ranged.span


@lru_cache(maxsize=64)
def entries(model: type[BaseModel]) -> tuple[Entry, ...]:
    """The keys of a model: the common ones in their order, then the others, notes last."""
    owner = PARTS[model]
    found = {info.alias or name: _entry(owner, info.alias or name, info) for name, info in model.model_fields.items()}
    first = COMMON.get(owner, ())
    order = [*first, *(key for key in found if key not in first and key != "note"), "note"]
    return tuple(found[key] for key in order)


def is_common(entry: Entry) -> bool:
    """Whether a form shows this key without being asked."""
    first = COMMON.get(entry.owner)
    return first is None or entry.key in first or entry.required


def entry_at(path: tuple[str | int, ...]) -> Entry | None:
    """The entry a path leads to; None for what is no key of a model."""
    here: Any = plan_model.Plan
    entry: Entry | None = None
    for step in path:
        if isinstance(here, type) and issubclass(here, BaseModel):
            if here is plan_model.Plan:
                entry = _entry("plan", str(step), here.model_fields[step]) if step in here.model_fields else None
            else:
                entry = next((each for each in entries(here) if each.key == step), None)
            if entry is None:
                return None
            here = entry.model if entry.kind == "part" else entry
        elif isinstance(here, Entry) and here.kind in ("list", "named"):
            here, entry = here.model, None
        else:
            return None
    return entry


def model_at(path: tuple[str | int, ...]) -> type[BaseModel] | None:
    """The model of the part a path leads to."""
    here: Any = plan_model.Plan
    for index, step in enumerate(path):
        entry = entry_at(path[: index + 1])
        if entry is not None:
            here = entry.model
        elif isinstance(step, (str, int)) and here is None:
            return None
    return here if isinstance(here, type) else None


def _entry(owner: str, key: str, info: FieldInfo) -> Entry:
    base, metadata = _unwrapped(info.annotation, list(info.metadata))
    kind, dimension, choices, model = _kind(base, metadata)
    default = None if info.is_required() or info.default_factory is not None else info.default
    between = next((each for each in metadata if isinstance(each, Between)), None)
    return Entry(owner, key, kind, info.description or "", info.is_required(), default, dimension, between, choices,
                 model)


def _unwrapped(annotation: Any, metadata: list[Any]) -> tuple[Any, list[Any]]:
    """The type behind `| None` and `Annotated`, and everything the latter carries."""
    while True:
        if get_origin(annotation) is Annotated:
            base, *more = get_args(annotation)
            annotation, metadata = base, [*metadata, *more]
        elif get_origin(annotation) in (Union, UnionType):
            annotation = next(each for each in get_args(annotation) if each is not type(None))
        else:
            return annotation, metadata


def _kind(base: Any, metadata: list[Any]) -> tuple[Kind, Dimension | None, tuple[str, ...], type[BaseModel] | None]:
    if isinstance(base, type) and issubclass(base, BaseModel):
        return "part", None, (), base
    if base is Amount:
        return "amount", next(each for each in metadata if isinstance(each, Dimension)), (), None
    simple: dict[Any, Kind] = {WireSize: "size", float: "number", int: "whole", bool: "yes_no", str: "text"}
    if base in simple:
        return simple[base], None, ("yes", "no") if base is bool else (), None
    origin, args = get_origin(base), get_args(base)
    if origin is Literal:
        return "choice", None, tuple(str(word) for word in args), None
    if origin is tuple:
        inner, more = _unwrapped(args[0], [])
        kind, dimension, choices, model = _kind(inner, more)
        if kind == "part":
            return "list", None, (), model
        return ("words" if Ellipsis in args else "pair"), dimension, choices, None
    if origin is not None and issubclass(origin, Mapping):
        inner, _ = _unwrapped(args[1], [])
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            return "named", None, (), inner
    raise TypeError(f"no form entry for {base!r}")

"""The lists that are read and written: which column stands for which key of the plan.

A list has a row for each load, wire or pin. Its headings are the keys below with their unit, ``current [A]``; other
usual headings are understood when a list is read.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Literal, get_args

from pydantic.fields import FieldInfo

from fuseplan.plan.parts import WireEnd
from fuseplan.plan.references import Path
from fuseplan.planfile.validation_messages import model_at
from fuseplan.quantities.amounts import Dimension
from fuseplan.quantities.wire_size import WireSize
from fuseplan.records import dataclass

Kind = Literal["amount", "size", "number", "words", "flag", "end", "text"]
"""How a cell is read: a figure with a unit, a wire size, a plain number, several words, yes or no, text."""


@dataclass(frozen=True)
class ListColumn:
    """One column.

    Attributes:
        key: its heading without the unit
        path: where its value stands, below the entry of the row: ``("load", 0, "current")``
        others: other headings that mean it, in lower case
    """

    key: str
    path: Path
    others: tuple[str, ...] = ()


@dataclass(frozen=True)
class PlanList:
    """One kind of list.

    Attributes:
        name: what it is called on the command line
        words: what a row is
        entry: columns that name the entry a row belongs to, from the outside in; the first names a table's part
        repeated: key of the list of parts a row adds one to; empty where a row is the whole entry
        columns: all other columns that stand for a key
        choosing: columns that say to which of several such lists a row adds; the first, of which table the entry is
    """

    name: str
    words: str
    entry: tuple[ListColumn, ...]
    repeated: str
    columns: tuple[ListColumn, ...]
    choosing: tuple[ListColumn, ...] = ()

    @property
    def naming(self) -> tuple[ListColumn, ...]:
        """The columns that say where a row belongs; they stand for no key."""
        return (*self.entry, *self.choosing)

    @property
    def all_columns(self) -> tuple[ListColumn, ...]:
        """Those that say where a row belongs first."""
        return (*self.naming, *self.columns)


def _columns(prefix: Path, *named: tuple[str, str, tuple[str, ...]]) -> tuple[ListColumn, ...]:
    return tuple(ListColumn(key, (*prefix, *path.split(".")), others) for key, path, others in named)


CIRCUIT = ListColumn("circuit", ("circuit",), ("circuit id", "id", "no", "circuit no", "circuit number"))
LOADS = PlanList("loads", "a load", (CIRCUIT,), "load", (
    *_columns((), ("name", "name", ("circuit name", "description", "designation")),
              ("role", "role", ()),
              ("feed", "feed", ("fed from", "supply", "bus")),
              ("fuse type", "fuse.kind", ("fuse kind", "type of fuse")),
              ("fuse", "fuse.rating", ("fuse rating", "fuse size")),
              ("position", "fuse.position", ("fuse position", "way", "fuse no")),
              ("switch", "switch.rating", ("switch rating",)),
              ("switch rated for", "switch.rated_for", ()),
              ("earth", "earth", ("earth point", "ground", "ground point")),
              ("drop class", "drop_class", ())),
    *_columns(("load", 0), ("load", "name", ("consumer", "load name", "device", "equipment", "item")),
              ("current", "current", ("amps", "load current", "running current", "i")),
              ("power", "power", ("watts", "wattage", "load power", "p")),
              ("at", "at", ("voltage", "volts", "at voltage", "stated at", "u")),
              ("load type", "kind", ("kind", "kind of load", "type of load", "load kind")),
              ("use", "use", ("duration",)),
              ("duty", "duty", ("duty cycle",)),
              ("on when", "when", ("when",)),
              ("how known", "evidence", ("evidence",)),
              ("source", "source", ("data sheet", "reference")),
              ("inrush", "inrush", ("inrush multiple",)),
              ("inrush time", "inrush_time", ()),
              ("standby", "standby", ("standby current", "quiescent current")),
              ("either", "either", ())),
))
_JOINT = (("joint", "method"), ("joint resistance", "resistance"), ("joint place", "place"),
          ("joint sleeve", "sleeve"), ("joint note", "note"))
MORE_JOINTS = 3
"""Further joints in a length of wire that have columns."""
WIRE_OF = ListColumn("wire of", ())
WHICH_WIRE = ListColumn("which wire", ())
WIRES = PlanList("wires", "a length of a wire", (CIRCUIT,), "wire", _columns(
    ("wire", 0), ("number", "number", ("wire number", "wire no", "wire")),
    ("size", "size", ("wire size", "cross section", "csa", "gauge", "conductor size")),
    ("length", "length", ("wire length",)),
    ("zone", "zone", ()),
    ("runs", "along", ("along", "route")),
    ("insulation", "insulation", ("wire type", "cable type")),
    ("colour", "colour", ("color", "wire colour", "wire color")),
    ("origin", "origin", ()),
    ("label", "label", ("marking",)),
    ("cover", "cover", ("protection",)),
    *((f"{side} {key}", f"{end}.{key}", (side,) if key == "connector" else ())
      for side, end in (("from", "start"), ("to", "end"))
      for key in ("connector", "pin", "terminal", "stud", "strip", "barrel", "splice", "note")),
    *((words, f"joint.{key}", ()) for words, key in _JOINT),
    *((f"joint {number + 2}{words[5:]}", f"splice.{number}.{key}", ()) for number in range(MORE_JOINTS)
      for words, key in _JOINT),
    ("note", "note", ("remarks", "remark", "notes")),
), (WIRE_OF, WHICH_WIRE))
PINS = PlanList("pins", "a pin of a connector", (
    ListColumn("connector", ("connector",), ("plug", "connector id")),
    ListColumn("pin", ("pin",), ("cavity", "pin no", "pin number", "terminal"))), "", _columns(
        (), ("function", "function", ("description", "circuit", "signal name")),
        ("signal", "signal", ("kind of signal", "signal kind", "type")),
        ("characteristic", "characteristic", ("range", "sender range")),
        ("size", "size", ("wire size", "cross section", "csa", "gauge")),
        ("colour", "colour", ("color", "wire colour", "wire color")),
        ("other end", "other_end", ("to", "goes to")),
        ("splice", "splice", ()),
        ("how known", "known", ("known", "seen by")),
        ("fate", "fate", ("what becomes of it",)),
        ("joined to", "join_to", ("join to",)),
        ("feed", "feed", ()),
        ("earth", "earth", ("ground",)),
        ("length", "length", ("wire length",)),
        ("runs", "along", ("along", "route")),
        ("insulation", "insulation", ("wire type", "cable type")),
        ("number", "number", ("wire number", "wire no")),
        ("diameter", "outside_diameter", ("outside diameter",)),
        ("cable diameter", "cable_diameter", ("jacket diameter", "cable outside diameter")),
        ("current", "current", ("amps",)),
        ("twisted with", "twisted_with", ("pair",)),
        ("twists", "twists", ()),
        ("shield", "shield", ()),
        ("wires", "wires", ("wires in the contact",)),
        ("bus rate", "bus_rate", ("bit rate",)),
        ("stub", "stub", ()),
        ("added length", "extension.length", ()),
        ("added size", "extension.size", ()),
        ("added colour", "extension.colour", ("added color",)),
        ("added insulation", "extension.insulation", ()),
        ("added runs", "extension.along", ()),
        ("cut back", "extension.cut_back", ()),
        ("joined by", "extension.method", ()),
        ("sleeve", "extension.sleeve", ()),
        ("added twists", "extension.twists", ()),
        ("added note", "extension.note", ()),
        ("note", "note", ("remarks", "remark", "notes")),
))
LISTS: Mapping[str, PlanList] = {each.name: each for each in (LOADS, WIRES, PINS)}

UNITS = {"A": "A", "V": "V", "W": "W", "ohm": "ohm", "m": "m", "s": "s"}
"""Unit in which a list is written, by that of the dimension."""
_HEADING = re.compile(r"(.*?)\s*[\[(]\s*([^\])]*?)\s*[\])]\s*\Z", re.DOTALL)
_BETWEEN = re.compile(r"[\s_./-]+")


def field_at(path: Path) -> FieldInfo:
    """The field of the plan's models under a path from the plan's root."""
    model = model_at(path[:-1])
    if model is not None:
        for name, info in model.model_fields.items():
            if path[-1] == (info.alias or name):
                return info
    raise KeyError(path)


@lru_cache(maxsize=512)
def kind_at(path: Path) -> tuple[Kind, Dimension | None]:
    """How the cell of a key is read, and what it measures where it is a figure with a unit."""
    info = field_at(path)
    types = [info.annotation, *get_args(info.annotation)]
    marks: list[Any] = [*info.metadata, *(mark for each in types for mark in getattr(each, "__metadata__", ()))]
    dimension = next((mark for mark in marks if isinstance(mark, Dimension)), None)
    if dimension is not None:
        return "amount", dimension
    if WireSize in types:
        return "size", None
    if WireEnd in types:
        return "end", None
    plain = [arg for each in types for arg in (each, *get_args(each))]
    if any(getattr(each, "__origin__", None) is tuple for each in types) or tuple in plain:
        return "words", None
    if bool in plain:
        return "flag", None
    return ("number", None) if float in plain or int in plain else ("text", None)


def rooted(which: PlanList, column: ListColumn) -> Path:
    """Path of a column from the plan's root, with a stand-in for the entry's name."""
    return (*(step for each in which.entry for step in (*each.path, "entry")),
            *(int(step) if str(step).isdigit() else step for step in column.path))


def heading(which: PlanList, column: ListColumn) -> str:
    """Heading of a column with its unit: ``current [A]``."""
    if column in which.naming:
        return column.key
    kind, dimension = kind_at(rooted(which, column))
    return f"{column.key} [{UNITS[dimension.unit]}]" if kind == "amount" and dimension is not None else column.key


def split_heading(text: str) -> tuple[str, str]:
    """A heading as its words in lower case and the unit in brackets behind it, empty without one."""
    found = _HEADING.match(text)
    words, unit = (found[1], found[2]) if found else (text, "")
    return _BETWEEN.sub(" ", words).strip().casefold(), unit

"""A harness read from a harness description list (KBL, VDA 4964), editions 2.3 to 2.5."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import get_args

from fuseplan.errors import PlanError
from fuseplan.exchange.declared_types import declares_type
from fuseplan.exchange.harness import Contact, Harness, HarnessConnector, HarnessSegment, HarnessWire, Usage
from fuseplan.planfile.files import read_bytes, refused
from fuseplan.quantities.amounts import clean
from fuseplan.quantities.decimals import rounded

WANTED = "a harness description list (KBL)"
LARGEST_BYTES = 30_000_000
_GERMAN = {"sw": "BK", "bl": "BU", "br": "BN", "ge": "YE", "gr": "GY", "gn": "GN", "or": "OG", "rs": "PK", "rt": "RD",
           "vi": "VT", "ws": "WH", "li": "VT", "tr": "TR"}
"""Colour letters German harnesses use, as IEC 60757 writes them. Common practice, no source."""
_USAGES: dict[str, Usage] = {each: each for each in get_args(Usage)}
_NONE = {"", "-", "/NULL", "NULL", "?"}
_PREFIX = {"": 1.0, "milli": 1e-3, "centi": 1e-2, "micro": 1e-6, "kilo": 1e3}


def is_kbl(path: str | Path) -> bool:
    """Whether a file is meant to be one, by the end of its name; any case."""
    return Path(path).suffix.casefold() in (".kbl", ".xml")


def read_kbl(path: str | Path) -> Harness:
    """The harness in a file.

    Lengths of 0 are not known, whatever the file says: no wire is 0 long. Sizes and lengths in other units are turned
    into mm² and m.

    Raises:
        PlanError: No such file, no KBL, too large, or it declares a document type or entities.
    """
    file = str(path)
    raw, _ = read_bytes(Path(path), WANTED, LARGEST_BYTES)
    return parse_kbl(raw, file)


def parse_kbl(raw: bytes, file: str = "harness") -> Harness:
    """The harness in a file's bytes; raises PlanError as `read_kbl` does."""
    if declares_type(raw):
        raise refused(file, "it declares a document type or entities, which no harness description needs; accepted is "
                            f"{WANTED}")
    try:
        top = ET.fromstring(raw)
    except (ET.ParseError, ValueError, LookupError) as error:
        raise refused(file, f"this is no XML: {clean(error)[:120]}; accepted is {WANTED}") from None
    if _name(top) != "KBL_container":
        raise refused(file, f"its outermost element is '{clean(_name(top))}'; accepted is {WANTED}")
    try:
        return _Reading(top, file).harness()
    except RecursionError:
        raise refused(file, f"elements lie too deep in one another; accepted is {WANTED}") from None


def _name(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


class _Reading:
    """One file being read."""

    def __init__(self, top: ET.Element, file: str) -> None:
        self.top, self.file = top, file
        self.by_id: dict[str, ET.Element] = {}
        for each in top.iter():
            if "id" in each.attrib and self.by_id.setdefault(each.attrib["id"], each) is not each:
                raise self.error(f"two parts have the id '{clean(each.attrib['id'])}'; accepted is an id of its own "
                                 "for each")
        found = top.find("Harness")
        if found is None:
            raise self.error(f"there is no harness in it; accepted is {WANTED}")
        self.root = found
        self.open_ends = {point.attrib.get("id", "") for each in found.iter("Connector_occurrence")
                          if each.findtext("Usage") == "no end" for point in each.iter("Contact_points")}

    def error(self, message: str) -> PlanError:
        return refused(self.file, message)

    def at(self, reference: str | None, what: str) -> ET.Element:
        """What an id leads to."""
        found = self.by_id.get((reference or "").strip())
        if found is None:
            raise self.error(f"{what} names '{clean(reference or '')}', which is not in the file; accepted is a whole "
                             "file")
        return found

    def number(self, parent: ET.Element | None, key: str, dimension: str = "") -> float | None:
        """A value in m or mm²; None where there is none, or it is 0."""
        found = None if parent is None else parent.find(key)
        if found is None:
            return None
        text = found.findtext("Value_component") or ""
        try:
            value = float(text)
        except ValueError:
            raise self.error(f"'{clean(text)}' is no number, in {key}") from None
        unit = self.at(found.findtext("Unit_component"), f"the unit of {key}")
        factor = _PREFIX.get(unit.findtext("Si_prefix") or "")
        if factor is None or unit.findtext("Si_unit_name") != "metre" or \
                (unit.findtext("Si_dimension") or "") != dimension:
            raise self.error(f"the unit of {key} is not one of {'area' if dimension else 'length'} in metres")
        # A negative or endless value is no more known than one of 0.
        if not 0.0 < value < 1e12:
            return None
        return rounded(value * (factor * 1000.0) ** 2 if dimension else value * factor, 9, "stated")

    def harness(self) -> Harness:
        ids: dict[str, int] = {}
        contacts: dict[str, Contact] = {}
        connectors = tuple(self.connectors(ids, contacts))
        segments = tuple(self.segments())
        return Harness(_text(self.root, "Part_number"), _text(self.root, "Version"),
                       tuple(self.wires(contacts, {each.id for each in segments})), connectors, segments,
                       tuple(self.changes()))

    def connectors(self, ids: dict[str, int], contacts: dict[str, Contact]) -> Iterator[HarnessConnector]:
        slot_of: dict[str, str] = {}
        found = []
        for each in (*self.root.iter("Connector_occurrence"), *self.root.iter("Component_box_occurrence")):
            if each.findtext("Usage") == "no end":
                continue
            own = _text(each, "Id") or each.attrib.get("id", "")
            name = _numbered(own, ids)
            # A housing with several slots may count the cavities of each from 1: none is taken for another.
            numbers: dict[str, int] = {}
            cavities = {place.attrib.get("id", ""): _numbered(self.cavity(place), numbers)
                        for slot in each.iter("Slots") for place in slot.iter("Cavities")}
            slot_of |= {slot.attrib.get("id", ""): name for slot in each.iter("Slots")}
            for point in each.iter("Contact_points"):
                places = (point.findtext("Contacted_cavity") or "").split()
                cavity = "1" if not places else cavities.get(places[0]) or self.cavity(self.at(places[0], "a contact"))
                contacts[point.attrib.get("id", "")] = Contact(name, cavity)
            found.append((name, each, tuple(dict.fromkeys(cavities.values()))))
        for name, each, places_in in found:
            mated = [word for slot in each.iter("Slots") for word in (slot.findtext("Mated_slots") or "").split()]
            yield HarnessConnector(name, _text(each, "Description"),
                                   _USAGES.get(each.findtext("Usage") or "", "connector"), places_in,
                                   next((slot_of[word] for word in mated if word in slot_of), None))

    def cavity(self, place: ET.Element) -> str:
        return (self.at(place.findtext("Part"), "a cavity").findtext("Cavity_number") or "").strip() or "1"

    def wires(self, contacts: dict[str, Contact], known: set[str]) -> Iterator[HarnessWire]:
        """Wires of their own and cores of cables; a cable without cores, such as a shield's drain, is none."""
        connections: dict[str, list[ET.Element]] = {}
        for each in self.root.iter("Connection"):
            connections.setdefault((each.findtext("Wire") or "").strip(), []).append(each)
        routes = {(each.findtext("Routed_wire") or "").strip(): (each.findtext("Segments") or "").split()
                  for each in self.top.iter("Routing")}
        groups = {wire: _text(group, "Id") for group in self.root.iter("Wiring_group")
                  for wire in (group.findtext("Assigned_wire") or "").split()}
        for each in self.root.iter("General_wire_occurrence"):
            kind = self.at(each.findtext("Part"), "a wire")
            cores = list(each.iter("Core_occurrence"))
            if not cores and each.find("Wire_number") is None:
                continue
            for core in cores or [each]:
                part = self.at(core.findtext("Part"), "a core") if cores else kind
                joined = connections.get(core.attrib.get("id", ""), [])
                route = [_text(self.at(word, "a routing"), "Id") for made in joined
                         for word in routes.get(made.attrib.get("id", ""), [])]
                yield HarnessWire(
                    _text(core, "Wire_number"), self.number(part, "Cross_section_area", "square"),
                    _text(part, "Wire_type"), tuple(_colours(part)), _mm(self.number(part, "Outside_diameter")),
                    self.length(core) or (self.length(each) if cores else None),
                    next((_text(made, "Signal_name") for made in joined), ""),
                    tuple(self.ends(joined, contacts)), tuple(name for name in route if name in known),
                    _text(each, "Special_wire_id") if cores else groups.get(each.attrib.get("id", ""), ""))

    def length(self, wire: ET.Element) -> float | None:
        """Length of a wire in m: as cut where that is given, else any that is known."""
        found = {each.findtext("Length_type"): value for each in wire.findall("Length_information")
                 if (value := self.number(each, "Length_value")) is not None}
        return next((found[kind] for kind in ("Production", "Drawing", "DMU", "Contract") if kind in found),
                    next(iter(found.values()), None))

    def ends(self, connections: Iterable[ET.Element], contacts: dict[str, Contact]) -> Iterator[Contact]:
        for each in connections:
            ends = sorted(each.iter("Extremities"), key=lambda end: end.findtext("Position_on_wire") or "")
            for end in ends:
                reference = (end.findtext("Contact_point") or "").strip()
                if reference in self.open_ends:
                    continue
                if reference not in contacts:
                    raise self.error(f"an end of a wire names '{clean(reference)}', which is no contact of a connector")
                yield contacts[reference]

    def segments(self) -> Iterator[HarnessSegment]:
        for each in self.top.iter("Segment"):
            start, end = (_text(self.at(each.findtext(key), "a segment"), "Id") for key in ("Start_node", "End_node"))
            sleeves = [self.sleeve(area) for area in each.iter("Protection_area")]
            yield HarnessSegment(_text(each, "Id"), start, end,
                                 self.number(each, "Physical_length") or self.number(each, "Virtual_length"),
                                 ", ".join(dict.fromkeys(filter(None, sleeves))))

    def sleeve(self, area: ET.Element) -> str:
        occurrence = self.at(area.findtext("Associated_protection"), "a sleeve")
        part = self.at(occurrence.findtext("Part"), "a sleeve")
        return _text(part, "Protection_type") or _text(part, "Description")

    def changes(self) -> Iterator[dict[str, str]]:
        for each in self.root.findall("Change"):
            said = {"date": _text(each, "Change_date"), "what": _text(each, "Description"),
                    "why": _text(each, "Change_request"),
                    "who": _text(each, "Responsible_designer")}
            yield {key: value for key, value in said.items() if value}


def _numbered(name: str, counts: dict[str, int]) -> str:
    """A name, with a number behind it from the second time on; `counts` says how often each was there."""
    counts[name] = counts.get(name, 0) + 1
    return name if counts[name] == 1 else f"{name} ({counts[name]})"


def _mm(value: float | None) -> float | None:
    return None if value is None else rounded(value * 1000.0, 6, "stated")


def _text(element: ET.Element, key: str) -> str:
    """Text of an element on one line; empty for what stands for nothing."""
    found = " ".join((element.findtext(key) or "").split())
    return "" if found in _NONE else found


def _colours(part: ET.Element) -> Iterator[str]:
    for each in (*part.findall("Cover_colour"), *part.findall("Core_colour")):
        value = _text(each, "Colour_value")
        if value:
            yield _GERMAN.get(value.casefold(), value.upper() if len(value) == 2 else value)

"""A harness written as a harness description list: KBL 2.5 SR1 (VDA 4964), valid against the published schema."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping

from fuseplan import __version__
from fuseplan.exchange.harness import Contact, Harness, HarnessConnector, HarnessSegment, HarnessWire
from fuseplan.quantities import writing

NAMESPACE = "http://www.prostep.org/Car_electric_container/KBL2.3/KBLSchema"
"""Edition 2.5 keeps the name of 2.3."""
VERSION = "2.5 SR-1"
_XSI = "http://www.w3.org/2001/XMLSchema-instance"
COLOUR_TYPES = ("base colour", "first identification", "second identification", "label identification")
_ILLEGAL = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
NOTHING = "-"
"""For what the format demands of every part and a plan of one car does not have."""


def kbl_bytes(harness: Harness) -> bytes:
    """The file; the same harness gives the same bytes."""
    return _File(harness).bytes()


class _File:
    """One file in the making: ids are given in the order in which things are written."""

    def __init__(self, harness: Harness) -> None:
        self.harness = harness
        self.counts: dict[str, int] = {}
        self.square, self.length = "unit_mm2", "unit_mm"
        self.cavity: dict[Contact, str] = {}
        self.contact: dict[tuple[str, str, int], str] = {}
        self.kinds: dict[tuple[object, ...], str] = {}
        self.point = "point_1"
        self.housing_of_open: str | None = None
        self.open_slots: list[tuple[str, str]] = []

    def id(self, kind: str) -> str:
        self.counts[kind] = self.counts.get(kind, 0) + 1
        return f"{kind}_{self.counts[kind]}"

    def add(self, parent: ET.Element, key: str, kind: str, **texts: str) -> ET.Element:
        """A new element with an id of a kind, and what it says."""
        return _said(ET.SubElement(parent, key, id=self.id(kind)), **texts)

    def bytes(self) -> bytes:
        for prefix, uri in (("kbl", NAMESPACE), ("xsi", _XSI)):
            ET.register_namespace(prefix, uri)
        top = ET.Element(f"{{{NAMESPACE}}}KBL_container", id="container", version_id=VERSION)
        _said(top, Generating_system_name="fuseplan", Generating_system_version=__version__)
        point = ET.SubElement(top, "Cartesian_point", id=self.point)
        for _ in range(3):
            _text(point, "Coordinates", "0")
        harness = ET.Element("Harness", id="harness")
        self.connectors(top, harness)
        wires = self.wires(harness)
        self.protections(harness)
        self.order(harness)
        if self.housing_of_open is not None:
            self.open_housing(top)
        top.extend(wires)
        top.append(harness)
        self.topology(top)
        for name, prefix, dimension in ((self.square, "milli", "square"), (self.length, "milli", "")):
            unit = _said(ET.SubElement(top, "Unit", id=name), Si_unit_name="metre", Si_prefix=prefix)
            if dimension:
                _text(unit, "Si_dimension", dimension)
        top.extend(self.sleeves)
        ET.indent(top)
        found: bytes = ET.tostring(top, encoding="utf-8", xml_declaration=True)
        return found + b"\n"

    def open_housing(self, top: ET.Element) -> None:
        """The kind of part that ends of wires which lead nowhere are said to be."""
        housing = ET.SubElement(top, "Connector_housing", id=self.housing_of_open or "")
        self.part(housing, "open end", "end of a wire that is not known")
        for kind, cavity in self.open_slots:
            slot = _said(ET.SubElement(housing, "Slots", id=kind), Number_of_cavities="1")
            _said(ET.SubElement(slot, "Cavities", id=cavity), Cavity_number="1")

    def part(self, element: ET.Element, number: str, description: str) -> None:
        """What every part must say first."""
        _said(element, Part_number=number, Company_name=NOTHING, Version=NOTHING, Abbreviation=NOTHING,
              Description=description or NOTHING)

    def value(self, parent: ET.Element, key: str, number: float, unit: str) -> None:
        self.add(parent, key, "value", Unit_component=unit, Value_component=writing.typed(number))

    def connectors(self, top: ET.Element, harness: ET.Element) -> None:
        """Housings and their occurrences, one each: a car's plan knows places, not part numbers."""
        ends: dict[Contact, int] = {}
        for wire in self.harness.wires:
            for end in wire.ends:
                ends[end] = ends.get(end, 0) + 1
        for each in self.harness.connectors:
            cavities = tuple(dict.fromkeys([*each.cavities, *(end.cavity for end in ends if end.connector == each.id)]))
            housing = self.add(top, "Connector_housing", "housing")
            self.part(housing, each.id, each.description)
            slot = self.add(housing, "Slots", "slot", Number_of_cavities=str(len(cavities)))
            kinds = [self.add(slot, "Cavities", "cavity", Cavity_number=name).attrib["id"] for name in cavities]
            self.occur(harness, each, cavities, housing.attrib["id"], slot.attrib["id"], kinds, ends)
        self.mate(harness)

    def occur(self, harness: ET.Element, each: HarnessConnector, cavities: tuple[str, ...], housing: str, slot: str,
              kinds: list[str], ends: dict[Contact, int]) -> None:
        found = self.add(harness, "Connector_occurrence", "connector", Id=each.id)
        if each.description:
            _text(found, "Description", each.description)
        if each.usage != "connector":
            _text(found, "Usage", each.usage)
        _text(found, "Part", housing)
        names = {name: self.id("place") for name in cavities}
        for name in cavities:
            contact = Contact(each.id, name)
            self.cavity[contact] = names[name]
            # A splice and a stud join several wires in one place: each end has a contact of its own there.
            for number in range(ends.get(contact, 0)):
                point = self.add(found, "Contact_points", "contact",
                                 Id=f"{each.id} {name}" + (f" {number + 1}" if number else ""),
                                 Contacted_cavity=names[name])
                self.contact[each.id, name, number] = point.attrib["id"]
        if cavities:
            slots = self.add(found, "Slots", "slots", Part=slot)
            for name, kind in zip(cavities, kinds, strict=True):
                _said(ET.SubElement(slots, "Cavities", id=names[name]), Part=kind)

    def mate(self, harness: ET.Element) -> None:
        """Which connector plugs into which: its slot names the other's."""
        slots = {found.findtext("Id"): found.find("Slots") for found in harness.iter("Connector_occurrence")}
        for each in self.harness.connectors:
            own, other = slots.get(each.id), slots.get(each.mates)
            if own is not None and other is not None:
                mated = ET.Element("Mated_slots")
                mated.text = other.attrib["id"]
                own.insert(0, mated)

    def wires(self, harness: ET.Element) -> list[ET.Element]:
        """Kinds of wire; their occurrences and connections go into the harness."""
        kinds: list[ET.Element] = []
        used: dict[Contact, int] = {}
        self.cables: dict[str, list[str]] = {}
        self.routes: list[tuple[str, HarnessWire]] = []
        for wire in self.harness.wires:
            key = (wire.area_mm2, wire.insulation, wire.colours, wire.outside_mm)
            if key not in self.kinds:
                kinds.append(self.kind(wire))
                self.kinds[key] = kinds[-1].attrib["id"]
            found = ET.SubElement(harness, "General_wire_occurrence", {
                f"{{{_XSI}}}type": "kbl:Wire_occurrence", "id": self.id("wire")})
            _text(found, "Part", self.kinds[key])
            # The format knows no unknown length: 0 stands for it, here as in others' files.
            length = self.add(found, "Length_information", "length", Length_type="Production")
            self.value(length, "Length_value", (wire.length_m or 0.0) * 1000.0, self.length)
            _text(found, "Wire_number", wire.number)
            if wire.cable:
                self.cables.setdefault(wire.cable, []).append(found.attrib["id"])
            self.connect(harness, wire, found.attrib["id"], used)
        for name, cores in self.cables.items():
            self.add(harness, "Wiring_group", "group", Id=name, Assigned_wire=" ".join(cores))
        return kinds

    def kind(self, wire: HarnessWire) -> ET.Element:
        found = ET.Element("General_wire", id=self.id("kind"))
        size = NOTHING if wire.area_mm2 is None else f"{writing.typed(wire.area_mm2)} mm2"
        self.part(found, self.id("W"), " ".join([size, wire.insulation, "/".join(wire.colours)]).strip())
        if wire.insulation:
            _text(found, "Wire_type", wire.insulation)
        if wire.area_mm2 is not None:
            self.value(found, "Cross_section_area", wire.area_mm2, self.square)
        if wire.outside_mm is not None:
            self.value(found, "Outside_diameter", wire.outside_mm, self.length)
        for number, name in enumerate(wire.colours or (NOTHING,)):
            self.add(found, "Cover_colour", "colour", Colour_type=COLOUR_TYPES[min(number, 2)], Colour_value=name)
        return found

    def connect(self, harness: ET.Element, wire: HarnessWire, occurrence: str, used: dict[Contact, int]) -> None:
        """The connection a wire makes; an end that is not known is an open one."""
        found = self.add(harness, "Connection", "connection")
        if wire.signal:
            _text(found, "Signal_name", wire.signal)
        _text(found, "Wire", occurrence)
        for number, end in enumerate(wire.ends):
            place = used.get(end, 0)
            used[end] = place + 1
            self.add(found, "Extremities", "end", Position_on_wire=str(number),
                     Contact_point=self.contact[end.connector, end.cavity, place])
        for number in range(len(wire.ends), 2):
            self.add(found, "Extremities", "end", Position_on_wire=str(number), Contact_point=self.open_end(harness))
        self.routes.append((found.attrib["id"], wire))

    def open_end(self, harness: ET.Element) -> str:
        """Contact of a wire that leads nowhere."""
        if self.housing_of_open is None:
            self.housing_of_open = self.id("housing")
        found = self.add(harness, "Connector_occurrence", "connector", Id=self.id("open"), Usage="no end",
                         Part=self.housing_of_open)
        place, cavity, kind = (self.id(each) for each in ("place", "cavity", "slot"))
        point = self.add(found, "Contact_points", "contact", Id=found.attrib["id"], Contacted_cavity=place)
        slots = self.add(found, "Slots", "slots", Part=kind)
        _said(ET.SubElement(slots, "Cavities", id=place), Part=cavity)
        self.open_slots.append((kind, cavity))
        return point.attrib["id"]

    def protections(self, harness: ET.Element) -> None:
        """Sleeves of the lengths of loom, one kind for each wording."""
        self.sleeves: list[ET.Element] = []
        self.sleeve_of: dict[str, str] = {}
        kinds: dict[str, str] = {}
        for segment in self.harness.segments:
            if not segment.sleeve:
                continue
            if segment.sleeve not in kinds:
                kind = ET.Element("Wire_protection", id=self.id("sleeve"))
                self.part(kind, kind.attrib["id"], segment.sleeve)
                _text(kind, "Protection_type", segment.sleeve)
                self.sleeves.append(kind)
                kinds[segment.sleeve] = kind.attrib["id"]
            found = self.add(harness, "Wire_protection_occurrence", "sleeved", Id=f"sleeve {segment.id}",
                             Part=kinds[segment.sleeve])
            self.sleeve_of[segment.id] = found.attrib["id"]

    def order(self, harness: ET.Element) -> None:
        """The harness's own head, and its parts in the order the schema demands."""
        members = list(harness)
        for each in members:
            harness.remove(each)
        self.part(harness, self.harness.name, self.harness.name)
        version = harness.find("Version")
        if version is not None and self.harness.revision:
            version.text = _clean(self.harness.revision)
        for change in self.harness.changes:
            self.change(harness, change)
        _said(harness, Car_classification_level_2=NOTHING, Model_year=NOTHING, Content="harness complete set")
        ranks = ("Connection", "Connector_occurrence", "General_wire_occurrence", "Wire_protection_occurrence",
                 "Wiring_group")
        harness.extend(sorted(members, key=lambda each: ranks.index(each.tag)))

    def change(self, harness: ET.Element, said: Mapping[str, str]) -> None:
        found = self.add(harness, "Change", "change", Description=said.get("what") or NOTHING)
        if said.get("why"):
            _text(found, "Change_request", said["why"])
        if said.get("date"):
            _text(found, "Change_date", said["date"])
        _said(found, Responsible_designer=said.get("who") or NOTHING, Designer_department=NOTHING)

    def topology(self, top: ET.Element) -> None:
        """Nodes, routings and segments, in the order the schema demands."""
        nodes: dict[str, str] = {}
        for name in dict.fromkeys(name for each in self.harness.segments for name in (each.start, each.end)):
            nodes[name] = self.add(top, "Node", "node", Id=name, Cartesian_point=self.point).attrib["id"]
        segments = {each.id: self.id("segment") for each in self.harness.segments}
        for connection, wire in self.routes:
            if wire.route:
                self.add(top, "Routing", "routing", Routed_wire=connection,
                         Segments=" ".join(segments[name] for name in wire.route))
        for each in self.harness.segments:
            self.segment(top, each, segments[each.id], nodes)

    def segment(self, top: ET.Element, each: HarnessSegment, name: str, nodes: dict[str, str]) -> None:
        found = _said(ET.SubElement(top, "Segment", id=name), Id=each.id)
        if each.length_m:
            self.value(found, "Physical_length", each.length_m * 1000.0, self.length)
        _said(found, End_node=nodes[each.end], Start_node=nodes[each.start])
        if each.id in self.sleeve_of:
            self.add(found, "Protection_area", "covered", Start_location="0", End_location="1",
                     Associated_protection=self.sleeve_of[each.id])


def _said(element: ET.Element, **texts: str) -> ET.Element:
    """The element, which says each text under its key, in this order."""
    for key, text in texts.items():
        _text(element, key, text)
    return element


def _text(parent: ET.Element, key: str, text: str) -> None:
    ET.SubElement(parent, key).text = _clean(text)


def _clean(text: str) -> str:
    """A text without what XML cannot hold, on one line."""
    return " ".join(_ILLEGAL.sub("�", text).split())

"""A harness as entries of a plan: a loom with its connectors, their pins, and the lengths of loom they lie in."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from fuseplan.exchange.harness import Contact, Harness, HarnessWire
from fuseplan.plan.references import Path
from fuseplan.planfile.library import free_name
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.insulations import INSULATIONS

_NO_ID = re.compile(r"\W+")
KNOWN = "diagram"
"""How a pin from a file is known: somebody drew it, nobody measured this car."""


@dataclass(frozen=True)
class HarnessTaken:
    """What a harness would change in a plan.

    Attributes:
        changes: values by path, as `PlanDocument.change` takes them
        notes: what the file does not say or what could not be taken, in words
    """

    changes: tuple[tuple[Path, object], ...]
    notes: tuple[str, ...]


def take_harness(data: Mapping[str, Any], harness: Harness, kind: str) -> HarnessTaken:
    """A harness as a loom of a kind (chassis, engine, donor, new) in a plan's plain data, with all its wires: each with
    the pin of which it is the thickest wire, the others with the loom.

    Every pin's fate is unknown until somebody decides it. What stands in the plan already is left as it is: names that
    are taken get a number behind them.
    """
    return _Taking(data, harness, kind).taken()


class _Taking:
    def __init__(self, data: Mapping[str, Any], harness: Harness, kind: str) -> None:
        self.data, self.harness, self.kind = data, harness, kind
        self.notes: list[str] = []
        self.runs: dict[str, str] = {}
        self.by_id = {each.id: each for each in harness.connectors}
        self.plugs: dict[str, str] = {}
        """Names in the plan of those connectors that are no splice and no stud."""
        self.taken_names: dict[str, set[str]] = {}

    def name(self, table: str, text: str) -> str:
        """A name for a part that is not taken yet."""
        taken = self.taken_names.setdefault(table, set(self.data.get(table) or {}))
        found = free_name(_NO_ID.sub("_", text.casefold()).strip("_")[:56] or table, taken)
        taken.add(found)
        return found

    def taken(self) -> HarnessTaken:
        harness = self.harness
        loom = self.name("loom", harness.name or self.kind)
        self.runs = runs = {each.id: self.name("run", each.id) for each in harness.segments}
        self.plugs = {each.id: self.name("connector", each.id) for each in harness.connectors
                      if each.usage == "connector"}
        own, others = self.by_pin()
        wires = [self.segment(wire) for wire in others]
        changes: list[tuple[Path, object]] = [(("loom", loom), {
            "kind": self.kind, **_said(name=harness.name), **({"wire": wires} if wires else {})})]
        for segment in harness.segments:
            length = None if segment.length_m is None else writing.entry(segment.length_m, "m")
            changes.append((("run", runs[segment.id]), {
                **_said(name=segment.id if segment.id != runs[segment.id] else None), "from": segment.start[:64],
                "to": segment.end[:64], **_said(length=length, sleeve=segment.sleeve)}))
        changes += self.connectors(loom, own)
        lengths = [wire.length_m for wire in harness.wires]
        for count, words in ((lengths.count(None), "wires without a known length (0 in the file)"),
                             (sum(wire.area_mm2 is None for wire in harness.wires), "wires without a size"),
                             (sum(len(wire.ends) < 2 for wire in harness.wires), "wires with an end that is not known"),
                             (sum(len(wire.ends) > 2 for wire in harness.wires),
                              "wires with more than two ends, of which the first two are taken"),
                             (sum(bool(wire.insulation) and wire.insulation not in INSULATIONS
                                  for wire in harness.wires),
                              "wires whose type is no insulation on file: that is not taken"),
                             (sum(bool(wire.cable) for wire in harness.wires),
                              "wires in a cable or twisted group; what is twisted with what is not taken"),
                             (len(others), "wires that are no pin's own, between splices and studs or beside a thicker "
                                           "one in its pin, are entered with the loom"),
                             (sum(segment.length_m is None for segment in harness.segments),
                              "lengths of loom without a length")):
            if count:
                self.notes.append(f"{count} {words}")
        return HarnessTaken(tuple(changes), tuple(self.notes))

    def by_pin(self) -> tuple[dict[Contact, list[HarnessWire]], list[HarnessWire]]:
        """The wires in each cavity, the thickest first, and those that are the first of none."""
        found: dict[Contact, list[HarnessWire]] = defaultdict(list)
        for wire in self.harness.wires:
            for end in dict.fromkeys(wire.ends[:2]):
                if end.connector in self.plugs:
                    found[end].append(wire)
        for wires in found.values():
            wires.sort(key=lambda wire: -(wire.area_mm2 or 0.0))
        first = {id(wires[0]) for wires in found.values()}
        return found, [wire for wire in self.harness.wires if id(wire) not in first]

    def connectors(self, loom: str, own: Mapping[Contact, list[HarnessWire]]) -> list[tuple[Path, object]]:
        """Connectors with their pins. Splices become names that pins share; a ring terminal is where a wire ends."""
        found: list[tuple[Path, object]] = []
        for each in self.harness.connectors:
            if each.id not in self.plugs:
                continue
            # A wire may end in a cavity that the connector itself does not list.
            cavities = dict.fromkeys([*each.cavities, *(end.cavity for end in own if end.connector == each.id)])
            pins = {cavity[:64]: self.pin(Contact(each.id, cavity), own.get(Contact(each.id, cavity), []))
                    for cavity in cavities}
            found.append((("connector", self.plugs[each.id]), {
                "name": " · ".join(dict.fromkeys(filter(None, (each.id, each.description)))), "loom": loom,
                **_said(mates=self.plugs.get(each.mates or "")),
                **({"cavities": len(cavities)} if cavities else {}), "pin": pins}))
        shared = sum(len(wires) > 1 for wires in own.values())
        if shared:
            self.notes.append(f"{shared} pins with several wires: each has what is known of its thickest")
        return found

    def pin(self, here: Contact, wires: list[HarnessWire]) -> dict[str, object]:
        """One cavity; where several wires share it, that of the thickest, and their number."""
        if not wires:
            return {}
        wire = wires[0]
        found: dict[str, object] = {**_said(function=wire.signal or None), **self.wire(wire), "known": KNOWN}
        others = [end for end in wire.ends[:2] if end != here]
        if others:
            there = self.end(others[0])
            found |= {"splice": there["splice"]} if "splice" in there else {"other_end": there}
        if wire.outside_mm is not None:
            found["outside_diameter"] = f"{writing.typed(wire.outside_mm)} mm"
        route = [self.runs[name] for name in wire.route]
        if route:
            found["along"] = route if wire.ends[0] == here else route[::-1]
        if len(wires) > 1:
            found["wires"] = len(wires)
        return found

    def wire(self, wire: HarnessWire) -> dict[str, object]:
        """What a pin and a length of wire both say of it."""
        return _said(
            size=None if wire.area_mm2 is None else f"{writing.typed(wire.area_mm2)} mm2",
            colour="".join(wire.colours),
            insulation=wire.insulation if wire.insulation in INSULATIONS else None, number=wire.number,
            length=None if wire.length_m is None else writing.entry(wire.length_m, "m"))

    def segment(self, wire: HarnessWire) -> dict[str, object]:
        """A wire that is no pin's own. What it belongs to stands in its note."""
        found = {**self.wire(wire), **_said(note=wire.signal)}
        if wire.route:
            found["along"] = [self.runs[name] for name in wire.route]
        for key, end in zip(("start", "end"), wire.ends, strict=False):
            found[key] = self.end(end)
        return found

    def end(self, end: Contact) -> dict[str, str]:
        """Where an end of a wire goes: a pin, a splice, or a stud."""
        there = self.by_id.get(end.connector)
        if there is not None and there.usage == "splice":
            return {"splice": there.id[:64]}
        if end.connector in self.plugs:
            return {"connector": self.plugs[end.connector], "pin": end.cavity[:64]}
        return {"connector": end.connector}


def _said(**values: str | None) -> dict[str, object]:
    """Those of the keys that say something."""
    return {key: value[:2000] for key, value in values.items() if value}

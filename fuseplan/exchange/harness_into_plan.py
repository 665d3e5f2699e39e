"""A harness as entries of a plan: a loom with its connectors, their pins, and the lengths of loom they lie in."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from fuseplan.exchange.harness import Contact, Harness, HarnessConnector, HarnessWire
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.records import dataclass

_NO_ID = re.compile(r"\W+")
KNOWN = "diagram"
"""How a pin from a file is known: somebody drew it, nobody measured this car."""


@dataclass(frozen=True)
class HarnessTaken:
    """What a harness would change in a plan.

    Attributes
    ----------
    changes : values by path, as `PlanDocument.change` takes them
    notes : what the file does not say or what could not be taken, in words
    """

    changes: tuple[tuple[Path, object], ...]
    notes: tuple[str, ...]


def take_harness(data: Mapping[str, Any], harness: Harness, kind: str) -> HarnessTaken:
    """A harness as a loom of a kind (chassis, engine, donor, new) in a plan's plain data.

    Every pin's fate is unknown until somebody decides it. What stands in the plan already is left as it is: names that
    are taken get a number behind them.
    """
    return _Taking(data, harness, kind).taken()


class _Taking:
    def __init__(self, data: Mapping[str, Any], harness: Harness, kind: str) -> None:
        self.data, self.harness, self.kind = data, harness, kind
        self.notes: list[str] = []
        self.taken_names: dict[str, set[str]] = {}

    def name(self, table: str, text: str) -> str:
        """A name for a part that is not taken yet."""
        taken = self.taken_names.setdefault(table, set(self.data.get(table) or {}))
        stem = _NO_ID.sub("_", text.casefold()).strip("_")[:56] or table
        found, number = stem, 2
        while found in taken:
            found, number = f"{stem}_{number}", number + 1
        taken.add(found)
        return found

    def taken(self) -> HarnessTaken:
        harness = self.harness
        loom = self.name("loom", harness.name or self.kind)
        runs = {each.id: self.name("run", each.id) for each in harness.segments}
        changes: list[tuple[Path, object]] = [(("loom", loom), {"kind": self.kind, **_said(name=harness.name)})]
        for segment in harness.segments:
            length = None if segment.length_m is None else writing.entry(segment.length_m, "m")
            changes.append((("run", runs[segment.id]), {
                **_said(name=segment.id if segment.id != runs[segment.id] else None), "from": segment.start[:64],
                "to": segment.end[:64], **_said(length=length, sleeve=segment.sleeve)}))
        changes += self.connectors(loom)
        lengths = [wire.length_m for wire in harness.wires]
        for count, words in ((lengths.count(None), "wires without a known length (0 in the file)"),
                             (sum(wire.area_mm2 is None for wire in harness.wires), "wires without a size"),
                             (sum(len(wire.ends) < 2 for wire in harness.wires), "wires with an end that is not known"),
                             (sum(len(wire.ends) > 2 for wire in harness.wires),
                              "wires with more than two ends, of which the first two are taken"),
                             (sum(segment.length_m is None for segment in harness.segments),
                              "lengths of loom without a length")):
            if count:
                self.notes.append(f"{count} {words}")
        return HarnessTaken(tuple(changes), tuple(self.notes))

    def connectors(self, loom: str) -> list[tuple[Path, object]]:
        """Connectors with their pins. Splices become names that pins share; a ring terminal is where a wire ends."""
        by_id = {each.id: each for each in self.harness.connectors}
        names = {each.id: self.name("connector", each.id) for each in by_id.values() if each.usage == "connector"}
        at: dict[Contact, list[tuple[HarnessWire, Contact | None]]] = defaultdict(list)
        for wire in self.harness.wires:
            for number, end in enumerate(wire.ends[:2]):
                at[end].append((wire, wire.ends[1 - number] if len(wire.ends) > 1 else None))
        found: list[tuple[Path, object]] = []
        for each in by_id.values():
            if each.id not in names:
                continue
            # A wire may end in a cavity that the connector itself does not list.
            cavities = dict.fromkeys([*each.cavities, *(end.cavity for end in at if end.connector == each.id)])
            pins = {cavity[:64]: self.pin(at.get(Contact(each.id, cavity), []), by_id, names) for cavity in cavities}
            found.append((("connector", names[each.id]), {
                "name": " · ".join(dict.fromkeys(filter(None, (each.id, each.description)))), "loom": loom,
                **_said(mates=names.get(each.mates or "")),
                **({"cavities": len(cavities)} if cavities else {}), "pin": pins}))
        shared = sum(len(wires) > 1 and end.connector in names for end, wires in at.items())
        if shared:
            self.notes.append(f"{shared} pins with several wires: each has the size, colour and other end of its "
                              "thickest")
        between = [wire for wire in self.harness.wires
                   if wire.ends and not any(end.connector in names for end in wire.ends)]
        if between:
            self.notes.append(f"{len(between)} wires between splices and studs, on no connector, are not taken: "
                              + ", ".join(wire.number or "?" for wire in between[:8])
                              + (" …" if len(between) > 8 else ""))
        return found

    def pin(self, wires: list[tuple[HarnessWire, Contact | None]], by_id: Mapping[str, HarnessConnector],
            names: Mapping[str, str]) -> dict[str, object]:
        """One cavity; where several wires share it, that of the thickest, and their number."""
        if not wires:
            return {}
        wire, other = max(wires, key=lambda each: each[0].area_mm2 or 0.0)
        length = None if wire.length_m is None else writing.entry(wire.length_m, "m")
        size = None if wire.area_mm2 is None else f"{writing.typed(wire.area_mm2)} mm2"
        found: dict[str, object] = {
            **_said(function=wire.signal or None, size=size, colour="".join(wire.colours)), "known": KNOWN}
        if other is not None:
            there = by_id[other.connector]
            if there.usage == "splice":
                found["splice"] = there.id[:64]
            else:
                found["other_end"] = {"connector": names.get(there.id, there.id), **(
                    {"pin": other.cavity[:64]} if there.id in names else {})}
        found |= _said(length=length)
        if wire.outside_mm is not None:
            found["outside_diameter"] = f"{writing.typed(wire.outside_mm)} mm"
        if len(wires) > 1:
            found["wires"] = len(wires)
        return found


def _said(**values: str | None) -> dict[str, object]:
    """Those of the keys that say something."""
    return {key: value[:2000] for key, value in values.items() if value}

"""Plans of any shape: every key of every model, trees of any depth, all kinds of parts; the reader accepts them all.

Which keys a part gets is chance, `full` their share; how odd the values are is `wild`, as in `figures`.
"""

from __future__ import annotations

import random
from typing import Any

from fuseplan.plan.contradictions import contradictions
from fuseplan.plan.fuse_boxes import BoxPosition, FuseBox
from fuseplan.plan.model import Alternator, Battery, Circuit, Condition, Earth, Feed, Reading, Run, Trip, Vehicle, Zone
from fuseplan.plan.references import REFERENCES, parts
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.workspace.fields import Entry, entries
from tests.fuzz.figures import STATES, WORDS, figure

BUILT_IN = ("parked", "key_on", "crank", "idle_hot_day", "cruise_wet_night", "run_on", "hazard")


class Maker:
    """One plan in the making; names handed out so far, by kind of part."""

    def __init__(self, rng: random.Random) -> None:
        self.rng, self.full, self.wild = rng, rng.choice((0.15, 0.5, 0.9)), rng.choice((0.0, 0.05, 0.3, 1.0))
        self.names: dict[str, list[str]] = {kind: [] for kind in REFERENCES.values()}
        self.names["condition"] = list(BUILT_IN)

    def some(self, most: int) -> range:
        return range(self.rng.randint(0, most))

    def part(self, model: type[Any], always: tuple[str, ...] = (), never: tuple[str, ...] = ()) -> Any:
        """The keys of one part, `always` those it must have, `never` those it must not; None where there is nothing
        yet that it must name."""
        found: dict[str, Any] = {}
        for entry in entries(model):
            wanted = entry.required or entry.key in always or self.rng.random() < self.full
            if wanted and entry.key not in never:
                value = self.value(entry)
                if value is not None:
                    found[entry.key] = value
                elif entry.required:
                    return None
        return self.in_step(found)

    def value(self, entry: Entry) -> Any:
        """A value for a key; None where there is nothing it could name."""
        rng, target = self.rng, REFERENCES.get((entry.owner, entry.key))
        if target is not None:
            known = self.names[target]
            if not known:
                return None
            if entry.kind != "words":
                return rng.choice(known)
            if target == "run":
                first = rng.randrange(len(known))
                return known[first:first + rng.randint(1, 3)]
            return rng.sample(known, rng.randint(0, min(3, len(known))))
        if entry.kind == "words":
            known = list(WORDS if entry.key == "when" else entry.choices or STATES)
            return rng.sample(known, rng.randint(0, min(4, len(known))))
        if entry.key == "revision_date":
            return f"20{rng.randint(10, 40)}-{rng.randint(1, 12):02d}-{rng.randint(1, 28):02d}"
        if entry.kind == "part":
            return self.part(entry.model) if entry.model is not None else None
        if entry.kind == "list":
            assert entry.model is not None
            return [self.part(entry.model) for _ in self.some(3)]
        if entry.kind == "named":
            assert entry.model is BoxPosition
            return {f"F{number}": self.part(BoxPosition) for number in self.some(3)}
        if entry.kind == "pair":
            return sorted((figure(rng, entry, self.wild) for _ in range(2)), key=lambda text: amount(text, CURRENT))
        return figure(rng, entry, self.wild)

    def in_step(self, part: dict[str, Any]) -> dict[str, Any]:
        """The part without keys that shut each other out."""
        if "along" in part:
            for key in ("length", "zone") if self.rng.random() < 0.5 and part["along"] else ("along",):
                part.pop(key, None)
        if "current" in part and "power" in part:
            del part[self.rng.choice(("current", "power"))]
        if "must_stop" in part:
            part["must_stop"] = [state for state in part["must_stop"] if state not in part.get("must_run", ())]
        return part

    def tree(self, kind: str, model: type[Any], key: str, most: int) -> dict[str, Any]:
        """Named parts in a tree: each from one made before it; now and then a chain."""
        found: dict[str, Any] = {}
        chain = self.rng.random() < 0.2
        for number in range(self.rng.randint(1, most) if self.rng.random() < 0.95 else 0):
            name = f"{kind}_{number}"
            part = self.part(model, never=(key,))
            if found:
                part[key] = self.names[kind][-1] if chain else self.rng.choice(self.names[kind])
            self.names[kind].append(name)
            found[name] = part
        return found


def generated(seed: int) -> dict[str, Any]:
    """A plan as it stands in a file."""
    rng = random.Random(seed)
    make = Maker(rng)
    data: dict[str, Any] = {"fuseplan": 1}
    if rng.random() < 0.8:
        data["vehicle"] = make.part(Vehicle)
    data["zone"] = {f"zone_{number}": make.part(Zone) for number in make.some(4)}
    make.names["zone"] = list(data["zone"])
    data["run"] = {f"run_{number}": {**make.part(Run), "from": f"place_{number}", "to": f"place_{number + 1}"}
                   for number in make.some(4)}
    make.names["run"] = list(data["run"])
    data["feed"] = make.tree("feed", Feed, "from", 7)
    data["earth"] = make.tree("earth", Earth, "to", 5)
    always = ("feed", "earth", "fuse", "wire", "load") if rng.random() < 0.7 else ()
    data["circuit"] = {f"circuit_{number}": make.part(Circuit, always, ("out_of_scope",) if number % 5 else ())
                       for number in make.some(8)}
    make.names["circuit"] = list(data["circuit"])
    for name, model in (("battery", Battery), ("alternator", Alternator)):
        if rng.random() < 0.75:
            data[name] = make.part(model)
    data["condition"] = {rng.choice((f"own_{number}", "parked", "crank")): make.part(Condition)
                         for number in make.some(2)}
    make.names["condition"] += data["condition"]
    if make.names["feed"]:
        data["fuse_box"] = {f"box_{number}": make.part(FuseBox) for number in make.some(2)}
    data["trip"] = {f"trip_{number}": make.part(Trip) for number in make.some(2)}
    data["reading"] = [make.part(Reading) for _ in make.some(2)]
    # Chance would contradict itself in every other plan.
    for kind, _, part in list(parts(data)):
        for key, _ in list(contradictions(kind, part)):
            part.pop(key, None)
    return data

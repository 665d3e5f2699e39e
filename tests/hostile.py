"""A plan whose every free text tries to act: escape codes, reversed writing, line ends, markup, formulas."""

from __future__ import annotations

import copy
import json
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from fuseplan.plan.references import ENTRIES, names_in
from fuseplan.planfile.plain import with_value
from fuseplan.planfile.validation_messages import model_at

ACTING = ("\x1b[31mred", "\u202eback", "a\nb\rc", "\x1b]52;c;QQ==\x07", "\u009b2J", "[red]m[/red]", "\t\u2066=1+1",
          "\u2028line\x7f", "\x1b[2K\x08", "%s{0}<b>&amp;")
"""Short enough to leave room in a name, which may have 64 characters."""
CAR = Path(__file__).parents[1] / "examples" / "van_24v.toml"


def hostile(number: int) -> str:
    """The text of a number. Numbers come first, so that it sorts alike however its characters are shown."""
    return f"{number:03d}{ACTING[number % len(ACTING)]}"


def plan_data(texts: Callable[[int], str], lead: str = "") -> dict[str, Any]:
    """A lorry's plan with every id, name, note, source, position, colour and label made by `texts`.

    Every table gets every free text its model knows, whether or not it had it. `lead` begins each text that is not an
    id.
    """
    data = tomllib.loads(CAR.read_text(encoding="utf-8"))
    data["circuit"] = dict(list(data["circuit"].items())[:6])
    used = {name for _, name, kind in names_in(data) if kind == "circuit"} - data["circuit"].keys()
    assert not used, used
    count = 0

    def fresh() -> str:
        nonlocal count
        count += 1
        return texts(count)

    _extend(data)
    for kind in ENTRIES:
        new = {old: fresh() for old in data.get(kind, {})}
        for path, name, target in list(names_in(data)):
            if target == kind and name in new:
                data = with_value(data, path, new[name])
        data[kind] = {new[old]: part for old, part in data.get(kind, {}).items()}
    data = copy.deepcopy(data)
    _fill(data, (), lambda: lead + fresh())
    for box in data["fuse_box"].values():
        box["position"] = {fresh(): position for position in box["position"].values()}
    for run in data.get("run", {}).values():
        run["from"], run["to"] = fresh(), fresh()
    for circuit in data["circuit"].values():
        for load in circuit.get("load", ()):
            load["name"], load["either"] = fresh(), fresh()
    return data


def _extend(data: dict[str, Any]) -> None:
    """Kinds of parts the example does not have."""
    feed, circuit = list(data["feed"])[-1], next(iter(data["circuit"]))
    data.setdefault("reading", [{"point": "x", "value": "3 A"}])
    data.setdefault("change", [{"date": "x", "what": "y"}])
    data.setdefault("condition", {})["own"] = {"state": "running", "when": ["engine"], "engine": "1500 rpm"}
    data.setdefault("trip", {})["home"] = {"leg": [{"condition": "own", "duration": "20 min"}]}
    data.setdefault("fuse_box", {})["box"] = {"feed": feed, "position": {"F1": {}}}
    data.setdefault("run", {})["sill"] = {"from": "a", "to": "b", "length": "1 m"}
    data["circuit"][circuit]["wire"][0]["joint"] = {"resistance": "1 mohm"}
    data["circuit"][circuit]["wire"][0]["start"] = {"pin": "1"}


def _fill(table: dict[str, Any], path: tuple[str | int, ...], fresh: Callable[[], str]) -> None:
    model = model_at(path)
    for name, field in model.model_fields.items() if model else ():
        if "max_length=2000" in f"{field.annotation}{field.metadata}" and name not in ("terminal", "unfused", "value"):
            table[field.alias or name] = fresh()
    for key, value in table.items():
        if isinstance(value, dict):
            _fill(value, (*path, key), fresh)
        elif isinstance(value, list):
            for index, each in enumerate(value):
                if isinstance(each, dict):
                    _fill(each, (*path, key, index), fresh)


def toml(data: Mapping[str, Any]) -> str:
    """A plan as TOML, every table inline: what it says counts, not how it looks."""
    return "".join(f"{_quoted(key)} = {_value(value)}\n" for key, value in data.items())


def _value(value: object) -> str:
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{_quoted(key)} = {_value(each)}' for key, each in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    return _quoted(value) if isinstance(value, str) else json.dumps(value)


def _quoted(text: str) -> str:
    return json.dumps(text).replace("\x7f", "\\u007f")

"""What is suggested instead of a wrong word is not refused in its turn."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from fuseplan.errors import PlanError
from fuseplan.plan.model import Plan
from fuseplan.plan.references import ENTRIES, REFERENCES, accepted, names_in
from fuseplan.planfile.library import definitions
from fuseplan.planfile.plain import with_value, without
from fuseplan.planfile.read import _on_file, plan_of
from fuseplan.planfile.starter import starter_plan
from fuseplan.planfile.validation_messages import keys_of, model_at, sentences
from fuseplan.workspace.fields import PARTS

EXAMPLES = Path(__file__).parents[2] / "examples"
NEAREST = re.compile(r"the nearest known is '([^']*)'(;?)")
Path_ = tuple[str | int, ...]


def problems(data: dict[str, Any]) -> list[str]:
    try:
        plan_of(data, "", "plan")
    except PlanError as error:
        return [problem.message for problem in error.problems]
    return []


def tables(value: Any, path: Path_ = ()) -> Iterator[tuple[Path_, dict[str, Any]]]:
    """One table of each shape: kind of part and what it holds."""
    if isinstance(value, dict):
        yield path, value
    for key, each in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from tables(each, (*path, key))


def mistyped(word: str) -> Iterator[str]:
    yield word[:-1] + word[-1] * 2
    if len(word) > 3:
        yield word[1] + word[0] + word[2:]
        yield word[:-2] + word[-1]


@pytest.mark.share
def test_a_key_that_is_suggested_is_the_one_misspelt_and_takes_the_value(in_full: bool) -> None:
    data = tomllib.loads((EXAMPLES / "van_24v.toml").read_text(encoding="utf-8"))
    data["circuit"] = dict(list(data["circuit"].items())[:3])
    seen: set[tuple[Any, ...]] = set()
    followed = 0
    for path, table in list(tables(data)):
        shape = (path[:1], len(path), *sorted(table))
        if shape in seen or (len(path) == 1 and path[0] in ENTRIES):
            continue
        seen.add(shape)
        for key, value in list(table.items())[::1 if in_full else 3]:
            for wrong in mistyped(key):
                broken = with_value(without(data, (*path, key)), (*path, wrong), value)
                said = problems(broken)
                found = next(filter(None, (NEAREST.search(each) for each in said if f"'{wrong}'" in each)), None)
                if found is None or found[2]:
                    continue
                followed += 1
                assert found[1] == key, (path, key, wrong, said)
                fixed = problems(with_value(without(broken, (*path, wrong)), (*path, found[1]), value))
                assert len(fixed) < len(said), (path, key, wrong, said, fixed)
    assert followed > (60 if in_full else 20)


@pytest.mark.parametrize(("table", "wrong", "value", "said"), [
    ({"current": "3 A"}, "curent", "4 A", "the nearest known, 'current', is there already"),
    ({"current": "3 A"}, "powr", "55 W", "the nearest known, 'power', does not go with what else is there"),
    ({"name": "Pump"}, "currrent", "4 A", "the nearest known is 'current'"),
    ({"name": "Pump"}, "dutty", "a lot", "the nearest known is 'duty'; accepted there is a number"),
])
def test_a_key_that_excludes_another_or_is_there_is_not_suggested(table: dict[str, Any], wrong: str, value: str,
                                                                  said: str) -> None:
    data = tomllib.loads((EXAMPLES / "van_24v.toml").read_text(encoding="utf-8"))
    circuit = next(iter(data["circuit"]))
    (message,) = problems(with_value(data, ("circuit", circuit, "load"), [{**table, wrong: value}]))
    assert message.endswith(said)


@pytest.mark.share
def test_a_key_of_another_table_is_taken_for_no_misspelling(in_full: bool) -> None:
    """What is about the same is offered with what it means: the resistance of a coil is not that of a contact."""
    at = dict(models(Plan))
    keys = sorted({key for model in at for key in keys_of(model)})
    offered = 0
    for number, (model, path) in enumerate(at.items()):
        own = keys_of(model)
        for key in keys if in_full else keys[number % 7::7]:
            if key in own:
                continue
            for value in ("4 ohm", "3 A", "2 m"):
                try:
                    model.model_validate({key: value})
                except ValidationError as error:
                    (said,) = (said for where, said in sentences(error, Plan, path, data=with_value({}, (*path, key),
                               value)) if where[-1] == key)
                near = said.rpartition("; known there: ")[2] if "; known there: " in said else ""
                assert near or "; known: " in said, said
                for bare in re.findall(r"'(\w+)'(?! \()", near):
                    assert model.model_fields[bare].description is None, said
                offered += bool(near)
    assert offered > (1000 if in_full else 150)


@pytest.mark.parametrize(("at", "wrong", "value", "said"), [
    (("relay",), "coil_resistance", "90 ohm", "known there: 'coil' (coil resistance)"),
    (("relay",), "contact_resistance", "2 mohm", "known there: 'resistance' (contact resistance"),
    (("relay",), "wire_87", [], "'wire_86' is there already; 'wire_85' is there already"),
    (("load", 0), "resistance", "4 ohm", "'earth_resistance' (resistance of the joint"),
    (("load", 0), "standby_current", "1 mA", "'standby' (drawn whenever the feed is live)"),
])
def test_a_key_with_another_word_is_offered_with_its_meaning(at: Path_, wrong: str, value: object, said: str) -> None:
    data = tomllib.loads((EXAMPLES / "van_24v.toml").read_text(encoding="utf-8"))
    name = next(name for name, circuit in data["circuit"].items() if "relay" in circuit)
    (message,) = problems(with_value(data, ("circuit", name, *at, wrong), value))
    assert said in message
    assert "the nearest" not in message


def test_a_part_that_is_suggested_makes_no_circle_and_joins() -> None:
    followed = 0
    data = tomllib.loads((EXAMPLES / "van_24v.toml").read_text(encoding="utf-8"))
    for path, name, _ in list(names_in(data)):
        if path[-1] not in ("from", "to") and path[-2] != "along":
            continue
        for wrong in (*mistyped(name), *(mistyped(str(path[1])) if path[0] in ("feed", "earth") else ())):
            said = problems(with_value(data, path, wrong))
            found = next(filter(None, (NEAREST.search(each) for each in said if f"'{wrong}'" in each)), None)
            if found is not None:
                followed += 1
                assert not problems(with_value(data, path, found[1])), (path, wrong, found[1])
    assert followed > 30


@pytest.mark.parametrize("key", ["contact", "insulation", "terminal"])
def test_what_has_other_figures_is_not_the_nearest_known(key: str) -> None:
    """A relay of 40 A is not one of 50 A that is misspelt."""
    known = sorted(_on_file(key))
    tried = 0
    for word in known:
        for figures in re.finditer(r"\d+", word):
            other = f"{word[:figures.start()]}{int(figures[0]) + 1}{word[figures.end():]}"
            tried += other not in known
            assert other in known or not accepted(other, known).startswith("the nearest"), other
    assert tried


def test_a_definition_that_is_suggested_can_begin_a_plan() -> None:
    """Each but those that no figures are given for, which are taken as they are: out of scope."""
    for name in definitions():
        assert starter_plan("car", [name])


def models(model: type[BaseModel], at: Path_ = ()) -> Iterator[tuple[type[BaseModel], Path_]]:
    """Every kind of table a plan may hold, each at a path it may stand at."""
    yield model, at
    for name, field in model.model_fields.items():
        steps: tuple[Path_, ...] = ((), ("x",), (0,))
        for below in ((field.alias or name, *step) for step in steps):
            inner = model_at(below, model)
            if inner is not None:
                yield from models(inner, (*at, *below))


def test_every_missing_key_says_what_is_accepted() -> None:
    """Of a key that names a part, which kind of part."""
    named: set[str | None] = set()
    for model, at in models(Plan):
        found: list[tuple[Path_, str]] = []
        try:
            model.model_validate({})
        except ValidationError as error:
            found = sentences(error, Plan, at)
        for path, said in found:
            target = REFERENCES.get((PARTS.get(model, ""), str(path[-1])))
            named.add(target)
            wanted = r"\S" if target is None else rf"the id of an? {target} of this plan$"
            assert re.search(rf"`{path[-1]}` is missing.*; accepted is {wanted}", said), said
    assert named == {None, "feed", "condition"}

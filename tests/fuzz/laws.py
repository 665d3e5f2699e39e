"""What must hold of any plan: it is refused with file and line, or every command says something sound of it."""

from __future__ import annotations

import contextlib
import io
import json
import math
import random
import re
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from unittest.mock import patch

import tomlkit

from fuseplan.checks import assessment as assessing
from fuseplan.checks.assessment import Assessment
from fuseplan.cli.parser import parser
from fuseplan.errors import PlanError
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import read_plan
from fuseplan.results.address import figures
from tests.documents import fits_result

NO_NUMBER = re.compile(r"(?<![\w'\[])[-+−]?(nan|inf|None(?! of)|NaN|Infinity|infinity)(?![\w'])")
"""A number that is none, as Python or numpy would print it; in quotes it is the user's own."""
SLACK_V = 0.01
_assess = assessing.assess


class Broken(AssertionError):
    """A law that does not hold, with the command it was seen in."""


def hold(data: dict[str, Any], folder: Path, seed: int) -> str:
    """Put a plan through everything; "refused" or "assessed". Raises `Broken`, or whatever the program raises."""
    file = folder / "fuzzed.toml"
    file.write_text(tomlkit.dumps(data), encoding="utf-8")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            plan = read_plan(file)
        except PlanError as error:
            _refusal(error, file)
            return "refused"
        found: dict[str, Assessment] = {}

        def assess(plan: Plan, by: str | LimitSet | None = None, after: Assessment | None = None) -> Assessment:
            """Worked out once for all commands that are asked the same."""
            key = by.name if isinstance(by, LimitSet) else by or plan.vehicle.limits
            if plan != first:
                return _assess(plan, by, after)
            if key not in found:
                found[key] = _assess(plan, by)
            return found[key]

        first = plan
        with patch.object(assessing, "assess", assess):
            for words in commands(plan, assess(plan), random.Random(seed)):
                printed(words, file)
        sound(assess(plan))
    return "assessed"


def _refusal(error: PlanError, file: Path) -> None:
    assert error.problems
    for problem in error.problems:
        said = str(problem)
        if "entries with errors" in said:
            continue
        says_what = any(word in said for word in ("accepted", "known", "wanted"))
        if not said.startswith(f"{file}:") or not says_what or "\n" in said:
            raise Broken(f"refused without place or without what is accepted: {said}")
        if int(said[len(str(file)) + 1:].partition(":")[0]) < 1:
            raise Broken(f"no such line: {said}")


def commands(plan: Plan, assessment: Assessment, rng: random.Random) -> Iterator[list[str]]:
    """Command lines to try on a plan; PLAN stands for its file."""
    circuits = list(plan.circuit)
    some = [rng.choice(circuits)] if circuits else []
    yield ["check", "PLAN", "--measure-first", "--sample", "20"]
    yield ["check", "PLAN", "--json"]
    yield ["check", "PLAN", "--csv", "FOLDER"]
    yield from (["check", "PLAN", "--circuit", name] for name in some)
    trips = [word for name in assessment.results.power.trips for word in ("--trip", name)]
    yield ["power", "PLAN", "--loads", *trips]
    yield ["power", "PLAN", "--json", *trips]
    condition = rng.choice(assessment.results.network.condition_ids)
    yield ["power", "PLAN", "--condition", condition]
    yield ["protect", "PLAN"]
    yield ["protect", "PLAN", "--json"]
    for name in some:
        yield ["protect", "PLAN", name]
        yield ["protect", "PLAN", name, "--json"]
    yield ["explain", "PLAN"]
    yield ["explain", "PLAN", "--json"]
    addresses = [each.address for each in figures(assessment.whole)]
    for address in rng.sample(addresses, min(8, len(addresses))):
        yield ["explain", "PLAN", address, *(["--json"] if rng.random() < 0.3 else [])]
    if rng.random() < 0.2:
        yield ["compare-limits", "PLAN", *(["--json"] if rng.random() < 0.3 else [])]
    if rng.random() < 0.2 and len(circuits) <= 12:
        yield ["propose", "PLAN", *some, *(["--json"] if rng.random() < 0.3 else [])]


def printed(words: list[str], file: Path) -> str:
    """What one command prints, after its own laws: it ends, and prints numbers or says what is not known."""
    places = {"PLAN": str(file), "FOLDER": str(file.parent / "lists")}
    args = parser().parse_args([places.get(word, word) for word in words])
    out, err = io.StringIO(), io.StringIO()
    line = " ".join(words)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = args.run(args)
    except Exception as error:
        raise Broken(f"fuseplan {line}: {type(error).__name__}: {error}") from error
    if status not in (0, 1):
        raise Broken(f"fuseplan {line} ends with {status}: {err.getvalue()[-300:]}")
    lists = (path.read_text(encoding="utf-8") for path in (file.parent / "lists").glob("*.csv")) \
        if "FOLDER" in words else ()
    for text in (out.getvalue(), err.getvalue(), *lists):
        for found in NO_NUMBER.finditer(text):
            around = text[max(0, found.start() - 120):found.end() + 60]
            raise Broken(f"fuseplan {line} prints '{found[0]}': …{around}…")
    if "--json" in words:
        json.loads(out.getvalue(), parse_constant=_not_json)
    return out.getvalue()


def _not_json(word: str) -> None:
    raise Broken(f"JSON that holds {word}")


def sound(assessment: Assessment) -> None:
    """Nothing is ok that is not known, and no figure is one that cannot be."""
    document = assessment.to_dict()
    _plain(document, "")
    fits_result(document)
    source = assessment.results.source
    # A regulator that senses a point beyond the post holds that one: the post has more than it is set to.
    highest = max(float(source.open_circuit_v.max()), float(source.highest_v)) + SLACK_V
    for condition in document["conditions"]:
        for key in ("bus_v", "average_bus_v"):
            _within(condition[key], 0.0, highest, f"{condition['id']}: {key}")
    for circuit in document["circuits"]:
        for name, found in circuit["in_condition"].items():
            for volts in found["load_v"]:
                _within(volts, -SLACK_V, highest, f"{circuit['id']} in {name}: volts at a load")
            _within(found["current_a"], 0.0, 1e4, f"{circuit['id']} in {name}: current")
        if circuit["verdict"] == "ok":
            lacking = [key for key, value in circuit["load_current_a"].items() if value is None]
            lacking += [key for key in ("size_mm2", "length_m", "resistance_ohm", "ampacity_a", "current_a")
                        for each in circuit["segments"] if each[key] is None]
            if circuit["fuse"] is not None and None in circuit["fuse"]["range_a"]:
                lacking.append("range_a")
            if circuit["missing"] or lacking:
                raise Broken(f"{circuit['id']} is ok without {circuit['missing'] or lacking}")
    for kind in ("feeds", "earths", "circuits"):
        for each in document[kind]:
            for segment in each["segments"]:
                for key in ("resistance_ohm", "ampacity_a", "size_mm2", "length_m", "current_a"):
                    _within(segment[key], 0.0, 1e9, f"{each['id']}: {key}")


def _within(value: float | None, low: float, high: float, what: str) -> None:
    if value is not None and not low <= value <= high:
        raise Broken(f"{what} is {value}, which is not {low:.4g} to {high:.4g}")


def _plain(value: Any, where: str) -> None:
    """Finite numbers, text, truth, lists and tables only."""
    if isinstance(value, dict):
        for key, each in value.items():
            assert isinstance(key, str), where
            _plain(each, f"{where}.{key}")
    elif isinstance(value, list):
        for index, each in enumerate(value):
            _plain(each, f"{where}.{index}")
    elif value is not None and type(value) not in (str, bool, int, float):
        raise Broken(f"{where} is a {type(value).__name__}, {value}")
    elif isinstance(value, float) and not math.isfinite(value):
        raise Broken(f"{where} is {value}")

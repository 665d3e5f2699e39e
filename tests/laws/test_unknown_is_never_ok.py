"""A circuit is ok only where every figure it rests on is known; what is certain to fail stands all the same."""

from __future__ import annotations

import copy
import math
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
NO_TABLE_HOLDS = ("SAE 20", "AV 0.3")
Path_ = tuple[str | int, ...]


@cache
def example(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text())


@cache
def judged(path: Path) -> Assessment:
    return assess(Plan.model_validate(example(path)))


def wires(data: dict[str, Any]) -> Iterator[tuple[tuple[str, str], Path_]]:
    """Owner and place of every segment of a plan."""
    for key in ("alternator", "feed", "earth", "circuit"):
        parts = {"": data[key]} if key == "alternator" else data.get(key, {})
        for name, part in parts.items():
            at: Path_ = (key,) if key == "alternator" else (key, name)
            for word in ("wire", "earth_wire", "cable"):
                yield from (((key, name), (*at, word, number)) for number in range(len(part.get(word, ()))))
                for index, load in enumerate(part.get("load", ())):
                    yield from (((key, name), (*at, "load", index, word, number))
                                for number in range(len(load.get(word, ()))))


def at(data: Any, path: Path_) -> Any:
    for step in path:
        data = data[step]
    return data


def behind(assessment: Assessment, owner: tuple[str, str]) -> set[str]:
    """Circuits whose current passes a part, worked out from the plan alone."""
    kind, name = owner
    plan = assessment.plan
    if kind == "circuit":
        return {name}
    if kind == "alternator":
        lamps = (id for id, each in plan.circuit.items() if any(load.kind == "lamp" for load in each.load))
        return {id for id in lamps if any(live for live in assessment.results.network.circuit_live[
            list(plan.circuit).index(id)])} & running_lamps(assessment)
    table: Any = plan.feed if kind == "feed" else plan.earth

    def passes(here: str | None) -> bool:
        while here is not None:
            if here == name:
                return True
            here = table[here].upstream
        return False

    return {id for id, each in plan.circuit.items() if each.out_of_scope is None and (
        passes(each.feed) if kind == "feed" else any(passes(load.earth or each.earth) for load in each.load))}


def running_lamps(assessment: Assessment) -> set[str]:
    """Circuits with a lamp that is on in some condition with the engine running."""
    network = assessment.results.network
    running = [index for index, each in enumerate(network.conditions) if each.state == "running"]
    return {network.circuit_ids[int(network.consumers.circuit[lamp])] for lamp in network.consumers.lamps.tolist()
            if network.consumers.possible[running, lamp].any()}


def sweep(path: Path, sizes: tuple[str, ...], every: int) -> int:
    """Replace sizes one at a time; returns how many circuits were looked at."""
    looked = 0
    plain = judged(path)
    for number, (owner, place) in enumerate(wires(example(path))):
        if number % every:
            continue
        for size in sizes:
            data = copy.deepcopy(example(path))
            at(data, place)["size"] = size
            assessment = assess(Plan.model_validate(data))
            for name in behind(plain, owner):
                assert assessment.verdict(name) in ("unknown", "fails"), (size, place, name)
                assert assessment.verdict(name) == "fails" or assessment.missing(name) or assessment.unknown(name)
                looked += 1
            kinds = {each.subject for each in assessment.findings if each.check == "figures-missing"}
            assert (owner[1] or owner[0]) in kinds
    return looked


@pytest.mark.one_in(3)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_size_no_table_holds_leaves_nothing_behind_it_ok(path: Path) -> None:
    assert sweep(path, NO_TABLE_HOLDS[:1], 5) >= 4


@pytest.mark.long
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_no_size_that_no_table_holds_leaves_anything_behind_it_ok(path: Path) -> None:
    assert sweep(path, NO_TABLE_HOLDS, 1) > 80


@pytest.mark.parametrize("path", [pytest.param(path, marks=() if path.stem == "van_24v" else pytest.mark.rest)
                                  for path in EXAMPLES], ids=lambda path: path.stem)
def test_a_wire_without_an_ampacity_on_file_leaves_nothing_behind_it_ok(path: Path) -> None:
    """How warm it gets is not known either, nor what is then lost in it: taken cold, it would drop less than the next
    thicker one, which has an ampacity."""
    looked = 0
    shared = [each for each in wires(example(path)) if each[0][0] in ("feed", "earth")]
    for owner, place in shared[::2]:
        data = copy.deepcopy(example(path))
        at(data, place)["size"] = "0.35 mm2"
        assessment = assess(Plan.model_validate(data))
        for name in behind(judged(path), owner):
            assert assessment.verdict(name) in ("unknown", "fails"), (place, name)
            looked += 1
    assert looked > 5


@pytest.mark.parametrize("size", NO_TABLE_HOLDS)
def test_the_sentence_names_the_size_and_what_is_on_file(size: str) -> None:
    data = copy.deepcopy(example(EXAMPLES[0]))
    name = next(name for name, each in data["circuit"].items() if each.get("wire"))
    data["circuit"][name]["wire"][0]["size"] = size
    words, = assess(Plan.model_validate(data)).missing(name)
    assert size.split()[-1] in words
    assert "accepted" in words


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_certain_failure_stands_whatever_is_not_known(path: Path) -> None:
    """A feed of unknown size in front of a circuit with a fuse far too large for its wire."""
    data = copy.deepcopy(example(path))
    name, fed = next((name, each) for name, each in data["circuit"].items() if each.get("fuse") and data["feed"][
        each["feed"]].get("wire"))
    fed["fuse"]["rating"] = "40 A"
    fed["fuse"]["kind"] = "blade"
    fed["wire"] = [{"size": "0.75 mm2", "length": "1 m", "insulation": "pvc70"}]
    data["feed"][fed["feed"]]["wire"][0]["size"] = "SAE 20"
    assert assess(Plan.model_validate(data)).verdict(name) == "fails"


@pytest.mark.parametrize("kind", ["strip", "link", "breaker_1", "breaker_2", "breaker_3"])
def test_a_device_without_a_rating_and_without_a_proposal_is_unknown(kind: str) -> None:
    data = copy.deepcopy(example(EXAMPLES[1]))
    oks = [name for name, each in data["circuit"].items() if each.get("fuse")
           and judged(EXAMPLES[1]).verdict(name) == "ok"]
    assert len(oks) > 5
    for name in oks:
        data["circuit"][name]["fuse"] = {"kind": kind}
    assessment = assess(Plan.model_validate(data))
    for name in oks:
        assert assessment.verdict(name) in ("unknown", "fails")
        assert any("rating" in words for words in assessment.unknown(name))


def test_a_feeds_device_of_unknown_rating_leaves_nothing_behind_it_ok() -> None:
    data = copy.deepcopy(example(EXAMPLES[1]))
    feed = next(name for name, each in data["feed"].items() if each.get("fuse"))
    data["feed"][feed]["fuse"] = {"kind": "strip"}
    assessment = assess(Plan.model_validate(data))
    circuits = behind(assessment, ("feed", feed))
    assert len(circuits) > 5
    assert {assessment.verdict(name) for name in circuits} <= {"unknown", "fails"}


def test_a_condition_in_which_no_state_was_found_is_never_ok(monkeypatch: pytest.MonkeyPatch) -> None:
    plain = judged(EXAMPLES[1])
    assert plain.verdict("starter") == "ok"
    monkeypatch.setattr(Results, "lost", property(lambda self: np.full(2 * len(self.network.conditions), True)))
    again = Assessment(plain.results, plain.findings, plain.unjudged)
    assert {again.verdict(name) for name in again.plan.circuit} <= {"unknown", "fails"}


def numbers(value: Any, key: str = "") -> Iterator[tuple[str, float]]:
    if isinstance(value, dict):
        for name, each in value.items():
            yield from numbers(each, f"{key}.{name}")
    elif isinstance(value, list):
        for number, each in enumerate(value):
            yield from numbers(each, f"{key}.{number}")
    elif value is None or isinstance(value, float):
        yield key, math.nan if value is None else value


NOT_APPLICABLE = ("colour", "position", "drop", "limit_v", "fault_a", "fault_temperature_c", "survives", "selectivity",
                  "coil", "wires",
                  "selective_up_to_a", "prospective_a", "max_clearing_s", "wire_survives", "class", "why", "fuse",
                  "proposed_a", "may_never_clear", "curve_on_file", "role", "role_proposed", "origin", "coil",
                  "max_fuse_a")
"""Keys that are None where there is nothing of the kind or no maker's limit, where published opening times are not on
file, or where the fuse before a wire that is not described protects the thinnest one in use: none of these decides a
verdict of ok."""


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_figure_of_a_circuit_that_is_ok_is_known(path: Path) -> None:
    found = [each for each in judged(path).to_dict()["circuits"] if each["verdict"] == "ok"]
    assert found
    for circuit in found:
        assert not circuit["missing"]
        assert not circuit["unknown"]
        for key, value in numbers(circuit):
            assert math.isfinite(value) or key.split(".")[-1] in NOT_APPLICABLE, (circuit["id"], key)

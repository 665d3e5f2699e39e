"""Proposed ratings settle: each passes in the network solved with it, wherever the search began and in whatever order
the circuits stand in the plan.

What a rating has to pass are the program's own checks; that a fuse's resistance changes the current of a load of
constant power is Ohm's law.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from fuseplan.checks import assess
from fuseplan.checks.assessment import Assessment
from fuseplan.engine import computing, first_guess
from fuseplan.engine.computing import compute
from fuseplan.engine.demand import Demands, demands_of
from fuseplan.engine.network import Network
from fuseplan.engine.results import Results
from fuseplan.limits import limit_set
from tests.plans import large_plan, plan_of, random_plan

WITHIN_V, WITHIN_SHARE = 5e-4, 1e-4
SEEDS = range(12)
MANY_SEEDS = range(12, 150)


def solved(data: dict[str, Any]) -> Results:
    return compute(plan_of(data), limit_set("road"))


def one_box(watts: float, rating: str | None = None, size: str = "2.5 mm2") -> dict[str, Any]:
    """One load of constant power on a battery without an alternator, behind a blade fuse."""
    fuse = {"kind": "mini"} if rating is None else {"kind": "mini", "rating": rating}
    return {
        "fuseplan": 1, "battery": {"open_circuit": "12.2 V", "internal_resistance": "30 mohm"},
        "tolerance": {"measured": 0.0},
        "zone": {"cabin": {"ambient": "25 degC"}}, "feed": {"post": {"zone": "cabin"}}, "earth": {"negative": {}},
        "circuit": {"box": {
            "feed": "post", "earth": "negative", "fuse": fuse,
            "wire": [{"size": size, "length": "3 m", "zone": "cabin", "insulation": "pvc105"}],
            "load": [{"power": f"{watts!r} W", "at": "13.5 V", "kind": "electronic", "when": ["always"], "inrush": 1,
                      "evidence": "measured"}]}},
    }


@pytest.fixture(autouse=True)
def as_solved(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """For the tests that ask for `between`: demands taken at the solved voltage, so that a fuse's own resistance
    changes them. In a whole plan only the fuse of a feed the alternator charges through depends on itself like that."""
    if "between" in request.fixturenames:
        monkeypatch.setattr(computing, "demands_of", request.getfixturevalue("at_solved_voltage"))


@pytest.fixture(scope="module")
def at_solved_voltage() -> Any:
    planned_v = limit_set("road").voltage.lowest_running_v

    def demands(network: Network, drawn: Any, choices: Any, *more: Any) -> Demands:
        found = demands_of(network, drawn, choices, *more)
        return replace(found, supply=found.supply * planned_v / float(choices[0].across_v.min()))

    return demands


def needs_a(watts: float, rating: str) -> float:
    """Smallest fuse for the load once a rating is fitted [A]."""
    return float(solved(one_box(watts, rating)).fusing.low_a[0, 0])


@pytest.fixture(scope="module")
def between(at_solved_voltage: Any) -> Iterator[float]:
    """A power [W] at which a 5 A fuse makes the load need more than 5 A, and a 7.5 A fuse does not."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(computing, "demands_of", at_solved_voltage)
        yield _between()


def _between() -> float:
    low, high = 20.0, 80.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if needs_a(middle, "5 A") <= 5.0 else (low, middle)
    smallest = high
    low, high = 20.0, 80.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if needs_a(middle, "7.5 A") <= 5.0 else (low, middle)
    assert smallest < low
    return 0.5 * (smallest + low)


def test_a_rating_that_fails_with_its_own_resistance_is_given_up_for_the_larger(between: float) -> None:
    assert needs_a(between, "7.5 A") < 5.0 < needs_a(between, "5 A")
    results = solved(one_box(between))
    assert results.fusing.rating_a[0] == 7.5
    assert results.fuse_ohm[0] == solved(one_box(between, "7.5 A")).fuse_ohm[0]


@pytest.mark.parametrize("first_a", [2.0, 5.0, 7.5, 10.0, 20.0, math.nan])
@pytest.mark.parametrize("apart", [-0.5, 0.0, 0.5])
def test_where_the_search_begins_decides_nothing(between: float, apart: float, first_a: float,
                                                 monkeypatch: pytest.MonkeyPatch) -> None:
    plain = solved(one_box(between + apart))
    monkeypatch.setattr(computing, "likely_ratings", lambda network, *_: (np.full(len(network.fuses), first_a), None))
    begun = solved(one_box(between + apart))
    assert begun.fusing.rating_a[0] == plain.fusing.rating_a[0]
    assert begun.fuse_ohm[0] == plain.fuse_ohm[0]
    assert np.abs(begun.solution.root_v - plain.solution.root_v).max() < WITHIN_V


def test_where_the_wire_allows_no_larger_one_none_is_proposed_and_it_is_said(between: float,
                                                                            monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(first_guess, "fusing_of", _narrow(first_guess.fusing_of, 6.0))
    assessment = assess(plan_of(one_box(between)))
    assert math.isnan(assessment.results.fusing.rating_a[0])
    found = [each for each in assessment.findings if each.check == "no-fuse-fits"]
    assert len(found) == 1
    assert "5 A no longer passes once its own resistance is counted" in found[0].message


def _narrow(made: Any, largest_a: float) -> Any:
    """The same ranges as if the wires allowed no more than so much."""
    def narrowed(network: Any, limit_a: Any, demands: Any) -> Any:
        return made(network, np.where(np.isnan(limit_a), limit_a, largest_a), demands)
    return narrowed


def passes_in_its_own_network(data: dict[str, Any]) -> int:
    """Every proposal, typed in, is still inside its range; returns how many there were."""
    results = solved(data)
    count = 0
    for index, row in enumerate(results.network.fuses):
        rating = float(results.fusing.rating_a[index])
        kind, name = row.owner
        if row.fuse.rating is None and not math.isnan(rating) and kind in ("circuit", "feed"):
            data[kind][name]["fuse"]["rating"] = f"{rating:g} A"
            count += 1
    typed = solved(data)
    assert np.array_equal(typed.fusing.rating_a, results.fusing.rating_a, equal_nan=True)
    assert np.array_equal(typed.fuse_ohm, results.fuse_ohm)
    known = ~np.isnan(typed.fusing.rating_a) & np.isnan(results.network.entered_a)
    rating = typed.fusing.rating_a[known]
    assert (typed.fusing.low_a[0, known] <= rating * (1.0 + WITHIN_SHARE)).all()
    assert (rating <= typed.fusing.high_a[known] * (1.0 + 1e-9)).all()
    return count


@pytest.mark.parametrize("seed", SEEDS)
def test_a_proposal_typed_in_still_passes(seed: int) -> None:
    passes_in_its_own_network(random_plan(seed))


@pytest.mark.long
def test_a_proposal_typed_in_still_passes_in_many_plans() -> None:
    assert sum(passes_in_its_own_network(random_plan(seed)) for seed in MANY_SEEDS) > 200
    assert passes_in_its_own_network(large_plan(600)) > 50


def shuffled(data: dict[str, Any], seed: int) -> dict[str, Any]:
    names = list(data["circuit"])
    random.Random(seed).shuffle(names)
    return {**data, "circuit": {name: data["circuit"][name] for name in names}}


def figures(assessment: Assessment) -> dict[tuple[str, ...], float]:
    """Every number of the result document, by where it stands; lists are keyed by the ids in them."""
    found: dict[tuple[str, ...], float] = {}

    def walk(value: Any, at: tuple[str, ...]) -> None:
        if isinstance(value, dict):
            for key, item in value.items():
                walk(item, (*at, str(key)))
        elif isinstance(value, list):
            for number, item in enumerate(value):
                walk(item, (*at, str(item.get("id", number) if isinstance(item, dict) else number)))
        elif isinstance(value, float | int) and not isinstance(value, bool):
            found[at] = float(value)

    document = assessment.to_dict()
    for part in ("circuits", "feeds", "earths", "conditions"):
        walk(document[part], (part,))
    return found


def words(assessment: Assessment) -> list[tuple[Any, ...]]:
    return sorted((each.check, each.subject_kind, each.subject, each.level, each.measure)
                  for each in assessment.findings)


def the_order_decides_nothing(data: dict[str, Any], seed: int) -> None:
    plain, other = assess(plan_of(data)), assess(plan_of(shuffled(data, seed)))

    def ratings(assessment: Assessment) -> dict[Any, float]:
        return {row.owner: float(rating) for row, rating in
                zip(assessment.results.network.fuses, assessment.results.fusing.rating_a.tolist(), strict=True)}

    assert str(ratings(plain)) == str({owner: ratings(other)[owner] for owner in ratings(plain)})
    assert words(plain) == words(other)
    assert {view.id: view.verdict for view in plain.circuits} == {
        view.id: view.verdict for view in other.circuits}
    first, second = figures(plain), figures(other)
    assert first.keys() == second.keys()
    assert len(first) > 50
    apart = {at: (value, second[at]) for at, value in first.items()
             if not math.isclose(value, second[at], rel_tol=WITHIN_SHARE, abs_tol=WITHIN_V)}
    assert not apart


@pytest.mark.one_in(4)
@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_circuits_decides_nothing(seed: int) -> None:
    the_order_decides_nothing(random_plan(seed), seed)


def test_the_order_of_equal_loads_in_a_group_decides_nothing() -> None:
    """Two equal loads of which only one is on at a time, in circuits of unlike wire."""
    data = one_box(40.0)
    box = data["circuit"]["box"]
    data["circuit"] = {name: {**box, "wire": [{**box["wire"][0], "length": f"{metres} m"}],
                              "load": [{**box["load"][0], "either": "one"}]}
                       for name, metres in (("near", 1.0), ("far", 9.0), ("middle", 4.0))}
    for seed in range(4):
        the_order_decides_nothing(data, seed)


@pytest.mark.long
def test_the_order_of_circuits_decides_nothing_in_many_plans() -> None:
    for seed in MANY_SEEDS:
        the_order_decides_nothing(random_plan(seed), seed)
    for circuits in (60, 1000, 3000):
        the_order_decides_nothing(large_plan(circuits), circuits)

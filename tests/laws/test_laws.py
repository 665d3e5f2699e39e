"""Laws that hold for every plan, tried on plans made at random.

Each is physics or the meaning of a word, not a figure: common sense of the trade, no source.
"""

from __future__ import annotations

import copy
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from fuseplan.checks import assess
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.limits import limit_set
from fuseplan.limits.model import names
from fuseplan.plan.words import FUSE_KINDS
from tests.plans import plan_of, random_plan

SEEDS = st.integers(min_value=0, max_value=100_000)
SETTLED_V = 1e-3
QUIET = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
MILLI_A = 1e-3


def computed(data: dict[str, Any]) -> Results:
    return compute(plan_of(data), limit_set("road"))


def one_circuit(amps: float, length_m: float, size: str = "2.5 mm2", ambient_c: float = 45.0, others: int = 0,
                kind: str = "resistive", use: str = "continuous", fuse: str = "blade", evidence: str = "plate"
                ) -> dict[str, Any]:
    """A battery, a feed, and one circuit laid along one run, with others beside it."""
    def circuit(current_a: float) -> dict[str, Any]:
        return {"feed": "bus", "fuse": {"kind": fuse}, "earth": "negative", "drop_class": "control",
                "wire": [{"size": size, "along": ["loom"], "insulation": "pvc105"}],
                "load": [{"current": f"{current_a} A", "at": "13.5 V", "kind": kind, "use": use,
                          "evidence": evidence}]}

    return {
        "fuseplan": 1, "battery": {"open_circuit": "12.6 V", "internal_resistance": "6 mohm"},
        "zone": {"loom": {"ambient": f"{ambient_c} degC"}, "box": {"ambient": "25 degC"}},
        "run": {"loom": {"from": "a", "to": "b", "length": f"{length_m} m", "zone": "loom"}},
        "feed": {"post": {"zone": "box"},
                 "bus": {"from": "post", "zone": "box", "wire": [{"size": "16 mm2", "length": "1 m", "zone": "box"}]}},
        "earth": {"negative": {}},
        "circuit": {"one": circuit(amps), **{f"other_{number}": circuit(12.0) for number in range(others)}},
    }


# --- the network ----------------------------------------------------------------------------------------------------


@QUIET
@given(seed=SEEDS)
def test_currents_balance_at_every_node(seed: int) -> None:
    """What flows into a node flows out of it (Kirchhoff), in every condition and at both ends of the evidence."""
    results = computed(random_plan(seed))
    network, solution = results.network, results.solution
    consumers = network.consumers
    for tree, branch_a, at in ((network.supply, solution.supply_a, consumers.supply_node),
                               (network.returns, solution.return_a, consumers.return_node)):
        leaving = np.zeros_like(branch_a)
        for node in range(1, tree.count):
            leaving[:, tree.parent[node]] += branch_a[:, node]
        for consumer in range(consumers.count):
            leaving[:, at[consumer]] += solution.consumer_a[:, consumer]
        assert np.abs(branch_a - leaving).max() < MILLI_A
    battery = solution.consumer_a.sum(axis=1)
    assert np.abs(battery - solution.battery_a).max() < MILLI_A
    assert np.abs(solution.supply_a[:, 0] - solution.return_a[:, 0]).max() < MILLI_A


@QUIET
@given(seed=SEEDS)
def test_power_balances(seed: int) -> None:
    """What the root gives is what the loads take and the wires and contacts warm."""
    results = computed(random_plan(seed))
    solution = results.solution
    given_w = solution.root_v * solution.supply_a[:, 0]
    taken_w = (solution.across_v * solution.consumer_a).sum(axis=1)
    lost_w = ((solution.supply_a**2 * solution.supply_ohm).sum(axis=1)
              + (solution.return_a**2 * solution.return_ohm).sum(axis=1)
              - solution.supply_a[:, 0]**2 * solution.supply_ohm[:, 0]
              - solution.return_a[:, 0]**2 * solution.return_ohm[:, 0])
    assert given_w == pytest.approx(taken_w + lost_w, rel=1e-3, abs=0.1)


@QUIET
@given(seed=SEEDS, more=st.floats(0.1, 20.0))
def test_a_longer_wire_never_drops_less(seed: int, more: float) -> None:
    """The same load behind more wire of the same size loses at least as much."""
    data = random_plan(seed, ("resistive", "coil", "motor"))
    circuit = next(iter(data["circuit"].values()))
    circuit["wire"] = [{"size": "1.5 mm2", "length": "1 m", "zone": "cabin"}]
    for load in circuit["load"]:
        load.pop("either", None)
    before = computed(data)
    circuit["wire"][0]["length"] = f"{1 + more} m"
    after = computed(data)
    own = np.flatnonzero((before.network.consumers.circuit == 0) & (before.network.consumers.kind == 0))
    assert own.size
    base = before.network.circuit_node[0]
    for results in (before, after):
        assert results.network.circuit_node[0] == base
    on = before.solution.consumer_a[:, own].sum(axis=1) > 0

    def lost(results: Results) -> Any:
        return (results.solution.supply_a * results.solution.supply_ohm)[:, base]

    assert (lost(after)[on] >= lost(before)[on] - SETTLED_V).all()


@QUIET
@given(seed=SEEDS, watts=st.floats(5, 200), kind=st.sampled_from(["resistive", "lamp", "motor", "coil"]))
def test_more_load_never_raises_the_bus(seed: int, watts: float, kind: str) -> None:
    """One more consumer cannot raise the voltage at the battery post."""
    data = random_plan(seed, ("resistive", "coil", "motor", "lamp"))
    # Two things may turn the law round and are left out: an alternator that regulates its own terminal holds the post
    # a little below it through its lead, and a load on a far earth lifts that terminal's own earth.
    data.pop("alternator", None)
    before = computed(data)
    more = copy.deepcopy(data)
    more["circuit"]["extra"] = {
        "feed": "root", "earth": "negative",
        "load": [{"power": f"{watts} W", "at": "13.5 V", "kind": kind, "when": ["always"], "evidence": "plate"}]}
    after = computed(more)
    assert (after.solution.root_v <= before.solution.root_v + SETTLED_V).all()


@QUIET
@given(seed=SEEDS)
def test_the_upper_bound_never_asks_for_less(seed: int) -> None:
    """The demand at the upper bound of the evidence is never below the demand as entered."""
    results = computed(random_plan(seed))
    demands = results.demands
    assert (demands.load[1] >= demands.load[0] - MILLI_A).all()
    assert (demands.circuit[1] >= demands.circuit[0] - MILLI_A).all()
    assert (results.fusing.low_a[1] >= results.fusing.low_a[0] - MILLI_A).all()


@QUIET
@given(seed=SEEDS)
def test_a_shorter_interval_never_asks_for_less(seed: int) -> None:
    """What is on for 5 s includes what is on for 5 min, which includes what is on for good."""
    circuit = computed(random_plan(seed, ("resistive", "coil", "motor"))).demands.circuit
    assert (circuit[:, 0] >= circuit[:, 1] - MILLI_A).all()
    assert (circuit[:, 1] >= circuit[:, 2] - MILLI_A).all()


# --- wires and fuses ------------------------------------------------------------------------------------------------


@QUIET
@given(cool=st.floats(-20, 120), hotter=st.floats(0, 80),
       insulation=st.sampled_from(["pvc70", "pvc80", "pvc105", "xlpe125", "etfe150", "silicone200", "cotton"]),
       size=st.sampled_from(["0.5 mm2", "1 mm2", "2.5 mm2", "6 mm2", "16 mm2", "AWG 14", "AV 2"]),
       name=st.sampled_from(names()))
def test_hotter_never_allows_more(cool: float, hotter: float, insulation: str, size: str, name: str) -> None:
    """A hotter ambient never raises the ampacity, nor the largest fuse the wire allows, nor lowers the smallest."""
    def at(ambient_c: float) -> Results:
        data = one_circuit(8.0, 2.0, size, ambient_c)
        data["zone"]["box"]["ambient"] = f"{ambient_c} degC"
        data["circuit"]["one"]["wire"][0]["insulation"] = insulation
        return compute(plan_of(data), limit_set(name))

    before, after = at(cool), at(cool + hotter)
    index = before.network.segments.owner.index(("circuit", "one"))
    first, second = (each.solution.ampacity_a[:, index] for each in (before, after))
    # Past a table's last ambient there is nothing on file, which is not more than a figure.
    assert not (np.isnan(first) & ~np.isnan(second)).any()
    assert (np.nan_to_num(second) <= np.nan_to_num(first) + 1e-9).all()
    if np.isnan(second).any():
        assert np.isnan(after.fusing.proposed_a[0])
    else:
        assert after.fusing.high_a[0] <= before.fusing.high_a[0] + 1e-9
    if not np.isnan(after.fusing.low_a).any():
        assert (after.fusing.low_a >= before.fusing.low_a - MILLI_A).all()


@QUIET
@given(few=st.integers(0, 12), more=st.integers(1, 12), size=st.sampled_from(["1 mm2", "2.5 mm2", "4 mm2"]))
def test_a_fuller_run_never_allows_more(few: int, more: int, size: str) -> None:
    """Adding conductors that carry current to a run never raises the ampacity of the ones in it."""
    first, second = (computed(one_circuit(12.0, 2.0, size, others=count)) for count in (few, few + more))
    index = first.network.segments.owner.index(("circuit", "one"))
    again = second.network.segments.owner.index(("circuit", "one"))
    assert (second.solution.ampacity_a[:, again] <= first.solution.ampacity_a[:, index] + 1e-9).all()
    assert second.fusing.high_a[0] <= first.fusing.high_a[0] + 1e-9


@QUIET
@given(amps=st.floats(0.2, 60), size=st.sampled_from(["0.75 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2"]),
       ambient=st.floats(0, 100), kind=st.sampled_from(["mini", "blade", "maxi", "midi"]),
       use=st.sampled_from(["continuous", "prolonged", "intermittent", "momentary"]),
       evidence=st.sampled_from(["measured", "plate", "published", "typical", "guess"]))
def test_a_proposed_fuse_passes_its_own_checks(amps: float, size: str, ambient: float, kind: str, use: str,
                                               evidence: str) -> None:
    """A rating fuseplan proposes lies inside its window and on its ladder, and the fuse checks accept it."""
    assert kind in FUSE_KINDS
    assessment: Assessment = assess(plan_of(one_circuit(amps, 1.5, size, ambient, use=use, fuse=kind,
                                                        evidence=evidence)))
    fuse = assessment.circuit("one").fuse
    assert fuse is not None
    assert not fuse.entered
    if fuse.rating_a is None:
        return
    assert fuse.range_a.low is not None
    assert fuse.range_a.high is not None
    assert fuse.range_a.low <= fuse.rating_a * (1 + 1e-9)
    assert fuse.rating_a <= fuse.range_a.high * (1 + 1e-9)
    against = {"fuse-exceeds-wire", "no-such-fuse-rating", "fuse-too-small"}
    assert [each for each in assessment.findings if each.check in against and not each.measure] == []


@QUIET
@given(amps=st.floats(1, 30), more=st.floats(0.1, 30))
def test_more_current_never_asks_for_a_smaller_fuse(amps: float, more: float) -> None:
    """The lower edge of the fuse range rises with the load, and the upper edge does not."""
    first, second = (computed(one_circuit(current, 1.5, "6 mm2")).fusing for current in (amps, amps + more))
    assert (second.low_a >= first.low_a - MILLI_A).all()
    assert second.high_a[0] <= first.high_a[0] + 1e-9


# --- what is not known ----------------------------------------------------------------------------------------------

FIGURES = ["feed", "earth", "wire.size", "wire.length", "load", "load.current", "load.kind", "load.power", "fuse"]


@QUIET
@given(seed=SEEDS, left_out=st.sampled_from(FIGURES), which=st.integers(0, 30))
def test_a_figure_left_out_is_unknown_and_nothing_breaks(seed: int, left_out: str, which: int) -> None:
    """A circuit that lacks a figure is `unknown` unless it fails for another reason, says what is missing, and the rest
    of the plan is still judged."""
    data = random_plan(seed)
    name = list(data["circuit"])[which % len(data["circuit"])]
    circuit = data["circuit"][name]
    for other in data["circuit"].values():
        for load in other["load"]:
            load.pop("either", None)
    key, _, part = left_out.partition(".")
    if left_out in ("load.current", "load.power"):
        circuit["load"][0].pop("power")
    elif left_out == "load":
        circuit.pop("load")
    elif left_out == "fuse":
        assume(all("fuse" not in feed for feed in data["feed"].values()))
        circuit.pop("fuse", None)
    elif left_out == "earth":
        circuit.pop("earth")
        for load in circuit["load"]:
            load.pop("earth", None)
    elif part:
        assume(part in circuit[key][0])
        circuit[key][0].pop(part)
    else:
        circuit.pop(key)
    assessment = assess(plan_of(data))
    assert assessment.missing(name)
    if assessment.verdict(name) != "unknown":
        assert left_out != "feed"
        assert assessment.verdict(name) == "fails"
        assert {each.check for each in assessment.findings_for("circuit", name) if each.level != "advice"
                and not each.measure} - {"no-fuse", "no-earth"}
    document = assessment.to_dict()
    assert next(each for each in document["circuits"] if each["id"] == name)["missing"]
    assert len(document["circuits"]) == len(data["circuit"])


@QUIET
@given(seed=SEEDS)
def test_a_plan_of_bare_names_is_judged_without_figures(seed: int) -> None:
    """Nothing but names: no figure is invented, every circuit is unknown."""
    data = random_plan(seed)
    bare = {"fuseplan": 1, "circuit": {name: {"name": name} for name in data["circuit"]}}
    assessment = assess(plan_of(bare))
    assert {assessment.verdict(name) for name in bare["circuit"]} == {"unknown"}
    assert all(view.load_a is None for view in assessment.circuits)


@QUIET
@given(seed=SEEDS, name=st.sampled_from(names()))
def test_every_figure_of_the_document_is_finite_or_none(seed: int, name: str) -> None:
    """Infinities and not-a-number never leave the engine."""
    def walk(value: Any) -> int:
        if isinstance(value, dict):
            return sum(walk(each) for each in value.values())
        if isinstance(value, (list, tuple)):
            return sum(walk(each) for each in value)
        if isinstance(value, float):
            assert np.isfinite(value)
            return 1
        return 0

    assert walk(assess(plan_of(random_plan(seed)), name).to_dict()) > 20

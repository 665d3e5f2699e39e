"""An assessment that follows from the one before an edit is the one made from nothing: every array, every finding."""

from __future__ import annotations

import gc
import random
import tomllib
import weakref
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.rule import all_rules
from fuseplan.engine import compiling
from fuseplan.engine.compiling import compile_plan
from fuseplan.engine.equality import equal
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits, of_fuses, of_the_rest
from fuseplan.engine.patching import OF_THE_FUSES, OF_THE_SHAPE, OF_THE_STARTS, OF_THE_USE, patched
from fuseplan.engine.relays import contact_in_place
from fuseplan.limits import limit_set
from fuseplan.plan.model import Circuit, Plan
from tests.checks import check_plans
from tests.plans import large_plan, near_limit_plan, plan_of, random_plan

SIZES = ("0.5 mm2", "1 mm2", "2.5 mm2", "6 mm2", "AWG 16", None)
INSULATIONS = ("pvc70", "pvc105", "xlpe125")


def _figure(rng: random.Random, circuit: dict[str, Any]) -> None:
    """Change something that stands in a circuit's form: figures mostly, sometimes what makes its shape."""
    load = rng.choice(circuit["load"]) if circuit["load"] else None
    wire = rng.choice(circuit["wire"]) if circuit.get("wire") else None
    kind = rng.randrange(14)
    if kind <= 2 and load is not None:
        load.pop("current", None)
        load["power"] = f"{rng.uniform(1, 120):.3f} W"
    elif kind == 3 and load is not None:
        load["evidence"] = rng.choice(("measured", "plate", "guess"))
    elif kind == 4 and load is not None:
        load["kind"] = rng.choice(("lamp", "motor", "resistive", "electronic", "coil"))
    elif kind == 5 and load is not None:
        load.update(use=rng.choice(("continuous", "momentary")), duty=round(rng.random(), 2), inrush=rng.choice((1, 8)))
    elif kind == 6 and load is not None:
        load["when"] = rng.sample(["always", "engine", "night", "crank"], 2)
    elif kind == 7 and load is not None:
        load.pop("power", None)
        load.pop("current", None)
    elif kind == 8 and wire is not None:
        size = rng.choice(SIZES)
        wire.pop("size", None)
        wire.update({} if size is None else {"size": size})
    elif kind == 9 and wire is not None:
        wire.pop("along", None)
        wire.update(length=f"{rng.uniform(0.2, 6):.2f} m", insulation=rng.choice(INSULATIONS))
    elif kind == 10:
        circuit["fuse"] = {"kind": rng.choice(("mini", "blade", "maxi")), "rating": rng.choice(("10 A", "30 A"))}
    elif kind == 11:
        circuit["fuse"] = {"kind": "blade"}
    elif kind == 12 and load is not None:
        circuit["load"].append({**load, "name": "one more"})
    elif wire is not None:
        circuit["wire"] = [*circuit["wire"], dict(wire)]


def _edited(rng: random.Random, plan: Plan, data: dict[str, Any]) -> Plan:
    """The plan after one edit, of which what is not touched is the very same; `data` follows."""
    name = rng.choice(list(data["circuit"]))
    kind = rng.randrange(20)
    if kind == 0 and len(data["circuit"]) > 2:
        del data["circuit"][name]
        return plan.model_copy(update={"circuit": {each: plan.circuit[each] for each in data["circuit"]}})
    if kind == 1:
        new = f"{name}_again"
        data["circuit"][new] = {**data["circuit"][name]}
        return plan.model_copy(update={"circuit": {**plan.circuit, new: plan.circuit[name]}})
    if kind == 2:
        data["circuit"] = {f"{each}x" if each == name else each: value for each, value in data["circuit"].items()}
        circuits = {f"{each}x" if each == name else each: value for each, value in plan.circuit.items()}
        return plan.model_copy(update={"circuit": circuits})
    if kind == 3:
        data["battery"] = {**data["battery"], "internal_resistance": f"{rng.uniform(4, 20):.2f} mohm"}
        return plan.model_copy(update={"battery": plan_of(data).battery})
    names = [name] if kind < 17 else rng.sample(list(data["circuit"]), min(3, len(data["circuit"])))
    for each in names:
        circuit = {**data["circuit"][each], "load": [{**load} for load in data["circuit"][each]["load"]]}
        if "wire" in circuit:
            circuit["wire"] = [{**segment} for segment in circuit["wire"]]
        _figure(rng, circuit)
        data["circuit"][each] = circuit
    changed = {each: Circuit.model_validate(data["circuit"][each]) for each in names}
    return plan.model_copy(update={"circuit": {each: changed.get(each, value) for each, value in plan.circuit.items()}})


def _differing(first: Any, second: Any, at: str = "") -> list[str]:
    """Fields of two records, at any depth, that are not the same in every cell."""
    if hasattr(first, "__dataclass_fields__") and type(first) is type(second):
        return [each for name in first.__dataclass_fields__ if name not in ("places", "plan")
                for each in _differing(getattr(first, name), getattr(second, name), f"{at}.{name}")]
    if isinstance(first, tuple) and isinstance(second, tuple) and len(first) == len(second):
        return [each for place, (one, other) in enumerate(zip(first, second, strict=True))
                for each in _differing(one, other, f"{at}.{place}")]
    return [] if equal(first, second) else [at]


def _same(first: Assessment, second: Assessment) -> None:
    assert _differing(first.results, second.results) == []
    assert repr(first.findings) == repr(second.findings)
    _same_worked_out(first.results.network, second.results.network)
    assert first.unjudged == second.unjudged


def _same_worked_out(first: Network, second: Network) -> None:
    """What a network works out once and hands on to that after an edit is what it would be from nothing."""
    for name in {*OF_THE_SHAPE, *OF_THE_STARTS, *OF_THE_FUSES, *OF_THE_USE} - {"allowed", "stock"}:
        assert equal(getattr(first, name), getattr(second, name)), name
    assert equal(first.allowed.patterns, second.allowed.patterns)
    assert equal(first.allowed.of, second.allowed.of)
    assert vars(first.stock) == vars(second.stock)
    for (what, note), found in first.notes.items():
        anew = of_circuits(second, note) if what == "circuits" else of_fuses(second, note) if what == "fuses" else {
            0: of_the_rest(second, note)}
        assert list(found.items()) == list(anew.items()), note
    for (kind, owner, _), contact in first.contacts_seen.items():
        parts: Any = second.plan.circuit if kind == "circuit" else second.plan.feed
        assert equal(contact, contact_in_place(second, (kind, owner), parts[owner].relay)), owner


def _counted(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """Whether each network from here on that follows from another is patched."""
    taken: list[bool] = []

    def counted(*inputs: Any) -> Any:
        found = patched(*inputs)
        taken.append(found is not None)
        return found

    monkeypatch.setattr(compiling, "patched", counted)
    return taken


def _go_through(data: dict[str, Any], seed: int, edits: int, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """Edit a plan again and again, undone now and then; how many networks were patched, of how many edits."""
    taken, of_edits = _counted(monkeypatch), list[bool]()
    rng = random.Random(seed)
    plan = plan_of(data)
    assessment = assess(plan)
    earlier: list[tuple[Plan, dict[str, Any]]] = []
    for _ in range(edits):
        if earlier and rng.random() < 0.15:
            plan, data = earlier.pop()
        else:
            earlier.append((plan, {**data, "circuit": {**data["circuit"]}}))
            plan = _edited(rng, plan, data)
        before = len(taken)
        assessment = assess(plan, after=assessment)
        # What comes behind it are networks of the same plan with its faults mended.
        of_edits.append(taken[before])
        _same(assessment, assess(plan))
        assert assessment.plan is plan
    assert repr(assessment.to_dict()) == repr(assess(plan).to_dict())
    return sum(of_edits), len(of_edits)


def test_equals_one_from_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    found = [_go_through(data, seed, 4, monkeypatch)
             for seed, data in enumerate((random_plan(1), near_limit_plan(2, 40), large_plan(12)))]
    assert sum(of for _, of in found) == 12
    assert sum(kept for kept, _ in found) >= 3


@pytest.mark.one_in(9)
@pytest.mark.parametrize("name", all_rules())
def test_what_a_check_notes_of_circuits_follows_an_edit(name: str) -> None:
    """From the circuits of the plan that passes a check to those of the one that fails it, and back."""
    passing, failing = (plan_of(tomllib.loads(text(name))) for text in (check_plans.passing, check_plans.failing))
    circuits = {each: circuit if passing.circuit.get(each) == circuit else passing.circuit.get(each, circuit)
                for each, circuit in failing.circuit.items()}
    before = assess(failing.model_copy(update={"circuit": circuits}))
    after = assess(failing, after=before)
    _same(after, assess(failing))
    _same(assess(before.plan, after=after), before)


@pytest.mark.one_in(9)
@pytest.mark.parametrize("name", all_rules())
def test_what_is_not_marked_has_nothing_to_be_noted(name: str) -> None:
    """A check that asks only parts with what few have finds what it would find among all."""
    network = check_plans.failed(name).results.network
    counts = {"circuits": len(network.circuits), "fuses": len(network.fuses)}
    for (what, note), found in network.notes.items():
        if what in counts:
            assert found == {number: each for number in range(counts[what])
                             if (each := note(network, number)) is not None}, note


@pytest.mark.long
def test_equals_one_from_nothing_after_many_edits(monkeypatch: pytest.MonkeyPatch,
                                                  request: pytest.FixtureRequest) -> None:
    kept = of = 0
    first, count = (int(request.config.getoption(name)) for name in ("--first", "--count"))
    for seed in range(first, first + max(1, count // 200)):
        data = (random_plan(seed), near_limit_plan(seed, 40), large_plan(30, seed))[seed % 3]
        found = _go_through(data, seed, 30, monkeypatch)
        kept, of = kept + found[0], of + found[1]
    assert of < 200 or kept > of / 4  # a few edits may be of the kinds that keep nothing


def test_no_array_of_the_one_before_is_changed() -> None:
    plan = plan_of(large_plan(30))
    before = assess(plan)
    again = assess(plan)
    rng, data = random.Random(3), large_plan(30)
    after = before
    for _ in range(6):
        plan = _edited(rng, plan, data)
        after = assess(plan, after=after)
    assert _differing(before.results, again.results) == []
    assert not np.array_equal(after.results.network.consumers.reference_a, before.results.network.consumers.reference_a)


def test_a_circuit_edited_again_is_compiled_once_an_edit(monkeypatch: pytest.MonkeyPatch) -> None:
    """What it was alone is known from the edit before, and that of another circuit is not taken for it."""
    plans: list[Plan] = []
    run = compiling._Compiler.run

    def counted(compiler: Any) -> Network:
        plans.append(compiler.plan)
        return run(compiler)

    monkeypatch.setattr(compiling._Compiler, "run", counted)
    data, limits = large_plan(12), limit_set("road")
    plan = plan_of(data)
    first, second = list(data["circuit"])[:2]
    network = compile_plan(plan, limits)
    compiled = []
    for number, name in enumerate((first, first, first, second, first), start=1):
        load, *others = data["circuit"][name]["load"]
        load = {**load, "evidence": "measured", "duty": 0.1 * number}
        edited = Circuit.model_validate({**data["circuit"][name], "load": [load, *others]})
        plan = plan.model_copy(update={"circuit": {**plan.circuit, name: edited}})
        plans.clear()
        network = compile_plan(plan, limits, network)
        compiled.append([list(each.circuit) for each in plans])
        assert _differing(network, compile_plan(plan, limits)) == []
    assert compiled[1:] == [[[first]], [[first]], [[second]] * 2, [[first]] * 2]


def test_a_current_is_patched_whatever_relays_have_coil_wires(monkeypatch: pytest.MonkeyPatch) -> None:
    """Those of feeds are on the way of circuits: they stand in the plan of an edited circuit alone, too."""
    taken = _counted(monkeypatch)
    data = tomllib.loads((Path(__file__).parents[2] / "examples" / "boot_battery.toml").read_text(encoding="utf-8"))
    plan, limits = plan_of(data), limit_set("road")
    assert any(feed.relay is not None and feed.relay.wire_86 and feed.relay.wire_85 for feed in plan.feed.values())
    before = compile_plan(plan, limits)
    for name in plan.circuit:
        edited = {**data["circuit"][name], "load": [{**data["circuit"][name]["load"][0], "evidence": "measured",
                                                     "duty": 0.5}, *data["circuit"][name]["load"][1:]]}
        after = plan.model_copy(update={"circuit": {**plan.circuit, name: Circuit.model_validate(edited)}})
        assert _differing(compile_plan(after, limits, before), compile_plan(after, limits)) == []
    assert taken == [True] * len(plan.circuit)


@pytest.mark.parametrize("change", [{"inrush": 1}, {"when": ["night"]}, {"inrush": 1.2}], ids=str)
def test_what_is_taken_over_follows_an_edit_of_any_circuit(change: dict[str, Any]) -> None:
    """Surges and words decide which loads start together: the edit of one is not lost on what is kept."""
    data, limits = large_plan(30), limit_set("road")
    before = compile_plan(plan_of(data), limits)
    kept = [getattr(before, name) for name in (*OF_THE_SHAPE, *OF_THE_STARTS)]
    assert all(each is not None for each in kept)
    changed = 0
    for name, circuit in data["circuit"].items():
        first, *others = circuit["load"]
        edited = Circuit.model_validate({**circuit, "load": [{**first, **change}, *others]})
        plan = before.plan.model_copy(update={"circuit": {**before.plan.circuit, name: edited}})
        after, whole = compile_plan(plan, limits, before), compile_plan(plan, limits)
        _same_worked_out(after, whole)
        changed += not all(equal(getattr(after, each), getattr(before, each)) for each in OF_THE_STARTS)
    assert changed


def test_an_assessment_that_nobody_holds_is_freed_at_once() -> None:
    """The arrays of the plan before an edit do not wait for the garbage collector, whatever was asked of them."""
    data = large_plan(24)
    now = assess(plan_of(data))
    gc.collect()
    gc.disable()
    try:
        for number in range(3):
            data["circuit"]["circuit_3"]["load"][0]["power"] = f"{5 + number} W"
            now.to_dict()
            held = [weakref.ref(each) for each in (now, now.results, now.results.network, now.results.solution)]
            now = assess(plan_of(data), after=now)
            assert not [each for each in held if each() is not None]
    finally:
        gc.enable()

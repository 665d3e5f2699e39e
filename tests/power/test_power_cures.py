"""Each cure, typed into the plan's file, does what was predicted."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.engine.computing import compute
from fuseplan.engine.power import still_a
from fuseplan.limits import limit_set
from fuseplan.planfile.read import read_plan
from tests.power.plans import DEFICIT, WET_IDLE, condition, deficit, typed_in

EXAMPLE = Path(__file__).parents[2] / "examples" / "coupe_turbo.toml"


@pytest.mark.parametrize(("file", "some"), [(DEFICIT, {"fans", "together"}), (EXAMPLE, {"together"})],
                         ids=["deficit", "example"])
def test_typed_in_it_does_what_was_predicted(file: Path, some: set[str]) -> None:
    plan = read_plan(file)
    results = compute(plan, limit_set(plan.vehicle.limits))
    index = condition(results, WET_IDLE)
    cures = results.power.cures(index)
    assert {"bigger", "idle", "pulley", "leds", *some} <= {cure.id for cure in cures}
    for cure in cures:
        after = typed_in(file, cure.changes)
        at = condition(after, WET_IDLE)
        assert float(after.balance.balance_a[0, at]) == pytest.approx(cure.after_a, abs=1e-6), cure.id
        assert float(after.balance.peak_a[0, at]) == pytest.approx(cure.peak_after_a, abs=1e-6), cure.id
        assert cure.closes == (cure.after_a > -1e-3)
        assert cure.after_a >= cure.before_a - 1e-6, cure.id
        assert cure.caution


def test_none_is_offered_that_changes_nothing() -> None:
    """The fans of the example share their time either way: staged, they take as much on average."""
    plan = read_plan(EXAMPLE)
    results = compute(plan, limit_set(plan.vehicle.limits))
    offered = [(cure, float(results.source.available_a[index])) for index in range(len(results.network.conditions))
               for cure in results.power.cures(index)]
    assert len(offered) > 4
    for cure, available_a in offered:
        assert cure.after_a - cure.before_a > still_a(available_a), cure.id


def test_the_bigger_alternator_is_the_one_recommended_for_the_plan() -> None:
    results = deficit()
    cure = next(cure for cure in results.power.cures(condition(results, WET_IDLE)) if cure.id == "bigger")
    size = results.power.alternator_size
    assert size is not None
    assert cure.closes
    assert [float(change.value) for change in cure.changes[:2]] == [size.rated_a, size.low_a]  # type: ignore[arg-type]


def test_no_pulley_is_proposed_that_overspeeds_the_rotor() -> None:
    results = deficit()
    top = float(results.plan.alternator.max_speed)  # type: ignore[union-attr, arg-type]
    for cure in results.power.cures(condition(results, WET_IDLE)):
        for change in cure.changes:
            if change.path == ("alternator", "pulley_ratio"):
                assert float(change.value) * 6500 <= top  # type: ignore[arg-type]


def test_shedding_ends_without_a_deficit_and_keeps_the_essentials() -> None:
    plan = read_plan(DEFICIT)
    plain = {name: circuit.model_copy(update={"role": circuit.role or "other"})
             for name, circuit in plan.circuit.items()}
    results = compute(plan.model_copy(update={"circuit": plain}), limit_set(plan.vehicle.limits))
    steps = results.power.shedding(condition(results, WET_IDLE))
    assert [step.lamp for step in steps] == sorted(step.lamp for step in steps)
    assert steps[-1].balance_a >= 0.0
    assert "ecu" not in {step.circuit for step in steps}
    balances = [step.balance_a for step in steps]
    assert balances == sorted(balances)


def test_what_keeps_the_engine_cool_and_the_driver_seen_is_never_switched_off() -> None:
    """Nor where only their names say what they are for."""
    results = deficit()
    shed = {step.circuit for step in results.power.shedding(condition(results, WET_IDLE))}
    assert shed
    assert not shed & {"ecu", "fan", "dip", "tail"}


def test_nothing_to_cure_where_nothing_is_short() -> None:
    results = deficit()
    index = condition(results, "cruise_day")
    assert results.power.cures(index) == ()
    assert results.power.shedding(index) == ()

"""So much lost between alternator and battery that the post has less than a battery at rest: the battery gives what
does not get through. Kirchhoff's laws hold it together; what is said of it follows from the same figures."""

from __future__ import annotations

import numpy as np
import pytest

from fuseplan.advice.evidence import sample
from fuseplan.checks import Assessment, assess
from fuseplan.engine.loads_table import running
from fuseplan.engine.results import Results
from fuseplan.engine.sampling import Sampler
from fuseplan.engine.source import Source
from fuseplan.papers.car_facts import car_facts
from fuseplan.plan.model import Vehicle
from fuseplan.results.condition import ConditionResult
from tests.power.test_sense_lead import car

LENGTHS_M = (1.0, 6.0, 24.0, 48.0, 96.0)


def thin(length_m: float, sense: str | None = None) -> Assessment:
    """A car with 30 A of loads and an alternator cable of 4 mm²."""
    return car(sense, length_m, cable=[{"size": "4 mm2", "length": f"{length_m} m", "zone": "cabin",
                                        "insulation": "xlpe125"}])


def solved(length_m: float, sense: str | None = None) -> tuple[Results, Source, int]:
    results = thin(length_m, sense).results
    return results, results.source, running(results.network)[-1]


@pytest.mark.parametrize("sense", [None, "battery"])
@pytest.mark.parametrize("length_m", LENGTHS_M)
def test_all_that_draws_is_fed_by_alternator_and_battery(length_m: float, sense: str | None) -> None:
    results, source, index = solved(length_m, sense)
    balance, average = results.balance, results.balance.average
    battery = max(float(source.open_circuit_v[index] - average.root_v[index]), 0.0) / source.internal_ohm[index]
    assert balance.demand_a[0, index] == pytest.approx(average.alternator_a[index] + battery, abs=0.01)
    assert balance.battery_a[0, index] == pytest.approx(-battery, abs=0.01)
    assert bool(balance.held_back[0, index]) is bool(battery > 0.01)
    assert balance.balance_a[0, index] == pytest.approx(balance.available_a[0, index] - balance.demand_a[0, index])
    # Nothing comes below what the battery alone would give it.
    alone = source.open_circuit_v[index] - source.internal_ohm[index] * balance.demand_a[0, index]
    assert average.root_v[index] >= alone - 1e-6


def test_the_longer_the_cable_the_more_the_battery_gives() -> None:
    gives = [-float(solved(length)[0].balance.battery_a[0, solved(length)[2]]) for length in LENGTHS_M]
    assert gives == sorted(gives)
    assert gives[0] == 0.0
    assert gives[-1] > 20.0


@pytest.mark.parametrize("length_m", LENGTHS_M)
def test_it_is_told_as_a_discharge_with_the_cause_of_it(length_m: float) -> None:
    assessment = thin(length_m)
    back = assessment.results.balance.held_back.any()
    [discharge, *_] = [each for each in assessment.findings if each.check == "discharge-while-running"] or [None]
    [charges] = [said for name, said in car_facts(assessment) if name == "Charges"]
    assert (discharge is not None) is bool(back)
    assert charges.startswith("no:" if back else "yes")
    if discharge is not None:
        [drop] = [each for each in assessment.findings if each.check == "charging-voltage-drop"]
        assert discharge.fix == drop.fix
        assert discharge.fields[0] == drop.fields[0]
        assert "too much is lost on the way" in charges


@pytest.mark.parametrize("length_m", LENGTHS_M)
def test_samples_see_the_battery_give_where_the_checks_do(length_m: float) -> None:
    """A discharge that is certain has no chance of 0 beside it, and what the samples say of the currents as entered is
    what the balance says."""
    assessment = thin(length_m)
    results = assessment.results
    balance, currents = results.balance, results.network.consumers
    short = sample(assessment, 100).short
    certain = {results.network.condition_ids[number] for number in np.flatnonzero(balance.battery_a[0] < -1.0)
               if results.source.running[number]}
    assert {name for name, share in short.items() if share > 0.5} == certain
    found = Sampler(results).of(np.stack([currents.reference_a, currents.most_a]))
    assert found.held_back_a == pytest.approx(np.where(balance.held_back, -balance.battery_a, 0.0), abs=0.02)


def test_a_regulator_voltage_below_that_of_a_battery_at_rest_is_told_as_that() -> None:
    assessment = car(None, 1.0, regulator_voltage="12.3 V")
    discharge, *_ = [each for each in assessment.findings if each.check == "discharge-while-running"]
    assert discharge.fields[0] == "alternator.regulator_voltage"
    assert dict(car_facts(assessment))["Charges"].endswith("the regulator voltage is below that of a battery at rest")


@pytest.mark.parametrize(("voltage", "length_m", "by_regulator"), [
    ("12.7 V", 1.0, True), ("12.8 V", 6.0, True), ("12.8 V", 96.0, True), ("13.2 V", 96.0, False),
    ("14.2 V", 96.0, False)])
def test_a_cable_is_not_the_cause_where_a_good_one_would_not_do_either(voltage: str, length_m: float,
                                                                   by_regulator: bool) -> None:
    """A good cable loses up to 0.4 V at rated output: a trade journal printing an automotive handbook's table."""
    assessment = car(None, 1.0, regulator_voltage=voltage, cable=[
        {"size": "10 mm2", "length": f"{length_m} m", "zone": "cabin", "insulation": "xlpe125"}])
    discharge, *_ = [each for each in assessment.findings if each.check == "discharge-while-running"]
    assert (discharge.fields[0] == "alternator.regulator_voltage") is by_regulator
    assert ("is lost on the way" in discharge.message) is not by_regulator
    assert ("regulator voltage" in dict(car_facts(assessment))["Charges"]) is by_regulator


def test_a_loss_on_the_way_is_the_reason_only_where_it_is_that_of_every_condition_that_discharges() -> None:
    """At idle the machine is too small, at speed the cable loses what it gives: a thicker cable does not help at
    idle."""
    cable = [{"size": "4 mm2", "length": "12 m", "zone": "cabin", "insulation": "xlpe125"}]
    assessment = car(None, 12.0, low_speed="20 A", cable=cable)
    short = [view for view in assessment.conditions if view.state == "running" and (view.balance_a or 0) < 0]
    assert {view.held_back for view in short} == {True, False}
    charges = dict(car_facts(assessment))["Charges"]
    assert charges.startswith("no: ")
    assert "on the way" not in charges


@pytest.mark.parametrize("figure", ["balance_a", "average_bus_v"])
def test_a_figure_that_one_condition_lacks_is_never_a_yes(monkeypatch: pytest.MonkeyPatch, figure: str) -> None:
    assessment = thin(1.0)
    assert dict(car_facts(assessment))["Charges"].startswith("yes")
    known = getattr(ConditionResult, figure)
    monkeypatch.setattr(ConditionResult, figure, property(
        lambda view: None if view.id == "town_day" else known.__get__(view)))
    assert dict(car_facts(assessment))["Charges"] == "not known: a current or a voltage is missing"


@pytest.mark.parametrize(("system", "volts", "said"), [
    ("12 V", "12.9 V", "doubtful:"), ("12 V", "13.1 V", "yes,"), ("12 V", "13.6 V", "yes,"),
    ("24 V", "25.9 V", "doubtful:"), ("24 V", "26.2 V", "yes,")])
def test_a_post_just_above_a_battery_at_rest_is_no_charging(system: str, volts: str, said: str) -> None:
    """A low-voltage lamp of a 14 V system is lit below 13 V, one of a 28 V system below 26 V: FAA AC 43.13-1B,
    11-35."""
    plan = car(None, 1.0, rated="180 A", low_speed="120 A", regulator_voltage=volts).plan
    vehicle = Vehicle.model_validate({"system": system})
    assert dict(car_facts(assess(plan.model_copy(update={"vehicle": vehicle}))))["Charges"].startswith(said)

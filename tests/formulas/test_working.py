"""Working is taken at the call and says what was computed."""

from __future__ import annotations

import threading

import numpy as np
import pint
import pytest

from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.resistance import copper_temperature_factor, wire_resistance
from fuseplan.formulas.working import Step, apply, is_recording, note, recording
from tests.formulas.cross_checks.adiabatic import adiabatic_temperature
from tests.formulas.cross_checks.drop import drop_percent

UREG = pint.UnitRegistry()


def test_a_chain_is_recorded_in_order_with_its_own_numbers() -> None:
    with recording() as steps:
        factor = apply(copper_temperature_factor, temperature_c=80.0)
        resistance = apply(wire_resistance, r20_ohm_per_m=0.0076, length_m=4.0, temperature_factor=factor)
        drop = apply(voltage_drop, current_a=8.0, resistance_ohm=resistance)
    assert [step.symbol for step in steps] == ["k", "R", "ΔU"]
    assert steps[0].numbers == "(234.5 + 80) / (234.5 + 20)"
    assert steps[1].equation == "R = r₂₀ · L · k"
    assert steps[1].inputs == (("r₂₀", 0.0076, "ohm/m"), ("L", 4.0, "m"), ("k", factor, "-"))
    assert steps[2].result == drop
    assert steps[2].unit == "V"


def test_a_name_used_again_does_not_spoil_an_earlier_step() -> None:
    current = 5.0
    with recording() as steps:
        apply(voltage_drop, current_a=current, resistance_ohm=0.1)
        current = 50.0
        apply(voltage_drop, current_a=current, resistance_ohm=0.1)
    assert [step.numbers for step in steps] == ["5 · 0.1", "50 · 0.1"]


def test_nothing_is_kept_without_recording() -> None:
    assert not is_recording()
    assert apply(voltage_drop, current_a=8.0, resistance_ohm=0.05) == 0.4
    with recording() as steps:
        assert is_recording()
    note("I", "no block open", 1.0, "A", "definition")
    assert steps == []


def test_an_inner_recording_keeps_its_steps_to_itself() -> None:
    with recording() as outer:
        apply(voltage_drop, current_a=1.0, resistance_ohm=1.0)
        with recording() as inner:
            apply(voltage_drop, current_a=2.0, resistance_ohm=1.0)
        apply(voltage_drop, current_a=3.0, resistance_ohm=1.0)
    assert [step.result for step in outer] == [1.0, 3.0]
    assert [step.result for step in inner] == [2.0]


def test_another_thread_does_not_record_here() -> None:
    with recording() as steps:
        other = threading.Thread(target=apply, args=(voltage_drop,), kwargs={"current_a": 1.0, "resistance_ohm": 1.0})
        other.start()
        other.join()
    assert steps == []


def test_recording_ends_with_an_error_too() -> None:
    with pytest.raises(ZeroDivisionError), recording():
        apply(drop_percent, drop_v=1.0, nominal_v=0.0)
    assert not is_recording()


def test_quantities_get_quantity_constants_and_print_in_declared_units() -> None:
    with recording() as steps:
        result = apply(
            adiabatic_temperature,
            initial_c=UREG.Quantity(70.0, "delta_degC"),
            current_a=UREG.Quantity(0.115, "kA"),
            time_s=UREG.Quantity(1000.0, "ms"),
            area_mm2=UREG.Quantity(1.0, "mm**2"),
        )
    assert result.to("delta_degC").magnitude == pytest.approx(160.0, abs=0.1)
    assert steps[0].numbers == "(70 + 234.5) · exp(115² · 1 / (226² · 1²)) - 234.5"
    assert steps[0].result == pytest.approx(160.0, abs=0.1)


def test_negative_and_tiny_numbers_stand_in_brackets() -> None:
    with recording() as steps:
        apply(voltage_drop, current_a=-2.0, resistance_ohm=1e-6)
    assert steps[0].numbers == "(-2) · (1e-06)"


def test_a_note_is_a_step_in_words() -> None:
    with recording() as steps:
        note("S", "next size up", 2.5, "mm²", "IEC 60228")
    assert steps == [Step("S", "next size up", "", 2.5, "mm²", "IEC 60228")]


def test_a_single_element_array_is_one_figure_and_more_are_refused() -> None:
    with recording() as steps:
        apply(voltage_drop, current_a=np.array([8.0]), resistance_ohm=0.05)
        with pytest.raises(ValueError, match="current_a holds 2 figures"):
            apply(voltage_drop, current_a=np.array([8.0, 9.0]), resistance_ohm=0.05)
    assert [step.result for step in steps] == [0.4]

"""The worst case of the library's loads reaches as far as a wire catalogue prints for such an item (East Penn wire and
cable catalogue 2024-25, p. 140), and what is taken as usual is no less than its low end; that of its filament lamps
as far as their categories allow (UN Regulation 37 and texts that quote it, as each row of the table names)."""

from __future__ import annotations

import pytest

from fuseplan.plan import Circuit, Load
from fuseplan.plan.words import TOLERANCE
from fuseplan.planfile.library import definitions
from fuseplan.tables.load import table

ITEMS = {
    "central_locking": "door locks", "fog_front": "fog lights", "horn_large": "two horns",
    "instrument_cluster": "gauges", "interior_lamp": "dome light", "panel_lamps": "dash lights",
    "power_aerial": "power antenna", "radio": "radio", "reverse_lamps": "two reverse lights",
    "starter_main": "starter motor", "starter_solenoid": "starter solenoid",
    "stop_lamps": "two stop lights", "sunroof": "sunroof", "trailer_socket": "trailer feed", "window_lifts": "windows",
    "wiper_front": "wiper",
}
"""Item of the catalogue by definition. The heated rear window is left out: its range ends at 18.5 A, and its note says
that the catalogue prints more."""

LAMPS: dict[str, dict[str, int]] = {
    "dip_beam_left": {"H4 dip": 1}, "dip_beam_right": {"H4 dip": 1}, "fog_front": {"H1": 2}, "fog_rear": {"P21W": 1},
    "hazard_lamps": {"P21W": 4, "W5W": 2}, "indicators_left": {"P21W": 2, "W5W": 1},
    "indicators_right": {"P21W": 2, "W5W": 1}, "main_beams": {"H4 main": 2}, "number_plate_lamps": {"C5W": 2},
    "reverse_lamps": {"P21W": 2}, "side_tail_left": {"W5W": 1, "P21/5W minor": 1},
    "side_tail_right": {"W5W": 1, "P21/5W minor": 1}, "stop_lamps": {"P21/5W major": 2},
}
"""Filaments by definition: how many of which category."""


def usual_and_most_a(load: Load) -> tuple[float, float]:
    """Current [A] as entered, and in the worst case."""
    if load.current is not None:
        usual = float(load.current)
    else:
        assert load.power is not None
        assert load.at is not None
        usual = float(load.power) / float(load.at)
    tolerance = (1.0 + TOLERANCE[load.evidence or "guess"]) * usual
    return usual, tolerance if load.range is None else max(tolerance, float(load.range[1]))


def usual_and_most_of(name: str) -> tuple[float, float]:
    """The same of all loads of a definition."""
    loads = [load for each in definitions()[name].circuits.values() for load in Circuit.model_validate(each).load]
    figures = [usual_and_most_a(load) for load in loads]
    return sum(usual for usual, _ in figures), sum(most for _, most in figures)


@pytest.mark.parametrize("name", ITEMS)
def test_the_worst_case_reaches_as_far_as_the_catalogue_prints(name: str) -> None:
    row = table("typical_amperes_catalogue_2024").row("item", ITEMS[name])
    assert row is not None
    low_a, high_a = float(str(row["low_a"])), float(str(row["high_a"]))
    usual_a, most_a = usual_and_most_of(name)
    assert usual_a >= low_a
    assert most_a >= high_a


@pytest.mark.parametrize("name", LAMPS)
def test_the_worst_case_reaches_as_far_as_the_category_of_the_lamp_allows(name: str) -> None:
    rows = {str(row["category"]): row for row in table("lamp_categories").rows()}
    allowed_a = sum(count * float(str(rows[each]["max_w"])) / float(str(rows[each]["test_v"]))
                    for each, count in LAMPS[name].items())
    assert usual_and_most_of(name)[1] >= allowed_a

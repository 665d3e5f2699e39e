"""The worst case of the library's loads reaches as far as a wire catalogue prints for such an item (East Penn wire and
cable catalogue 2024-25, p. 140), and what is taken as usual is no less than its low end."""

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


@pytest.mark.parametrize("name", ITEMS)
def test_the_worst_case_reaches_as_far_as_the_catalogue_prints(name: str) -> None:
    row = table("typical_amperes_catalogue_2024").row("item", ITEMS[name])
    assert row is not None
    low_a, high_a = float(str(row["low_a"])), float(str(row["high_a"]))
    loads = [load for each in definitions()[name].circuits.values() for load in Circuit.model_validate(each).load]
    figures = [usual_and_most_a(load) for load in loads]
    assert sum(usual for usual, _ in figures) >= low_a
    assert sum(most for _, most in figures) >= high_a

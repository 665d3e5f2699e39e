"""A working held against arithmetic done by hand, and what is said where there is no figure."""

from __future__ import annotations

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.explain import explain
from fuseplan.errors import FigureError
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.results.address import figures, find

PLAN = """
fuseplan = 1
[battery]
open_circuit = "12.6 V"
internal_resistance = "10 mohm"
[zone.cabin]
ambient = "25 degC"
[feed.lamps]
zone = "cabin"
[feed.behind]
from = "lamps"
wire = [{ size = "6 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }]
[earth.body]
[circuit.lamps]
name = "[red]Lamps[/] \\u001b[31m"
feed = "behind"
fuse = { kind = "blade", rating = "15 A", zone = "cabin" }
wire = [{ size = "2.5 mm2", length = "3 m", zone = "cabin", insulation = "pvc70" }]
earth = "body"
drop_class = "lamp"
[[circuit.lamps.load]]
current = "6 A"
at = "12 V"
kind = "resistive"
evidence = "measured"
[circuit.unknown]
feed = "lamps"
fuse = { kind = "blade", rating = "5 A" }
wire = [{ size = "1 mm2", length = "1 m", zone = "cabin" }]
earth = "body"
[[circuit.unknown.load]]
kind = "motor"
[circuit.bag]
out_of_scope = "airbag"
"""


@pytest.fixture(scope="module")
def assessment() -> Assessment:
    return assess(parse_plan(PLAN))


def test_fuse_window_by_hand(assessment: Assessment) -> None:
    """Load side: without an alternator the rested 12.6 V, I = 6 A · U / 12 V, over 75 % at 25 °C (Lundy, EDN, 26
    September 1996). Wire side: 2.5 mm² PVC 32 A at 30 °C (DIN VDE 0298-4 table 11), × √((70 − 25) / 40) at 25 °C (its
    table 17 prints 1.06 there)."""
    low, high = (explain(assessment, f"circuits.lamps.fuse.range_a.{end}") for end in ("low", "high"))
    assert low.steps[-1].result == pytest.approx(6 * 12.6 / 12 / 0.75)
    assert high.steps[-1].result == pytest.approx(32 * (45 / 40) ** 0.5)
    assert high.steps[-1].result == pytest.approx(32 * 1.06, rel=5e-3)
    assert any("VDE 0298-4" in source for source in high.sources)
    assert any("EDN" in source for source in low.sources)


def test_resistance_by_hand(assessment: Assessment) -> None:
    """2.5 mm² class 5: 7.98 ohm/km at 20 °C (IEC 60228), 3 m, copper at its own temperature by (234.5 + T) / 254.5."""
    working = explain(assessment, "circuits.lamps.segments.0.resistance_ohm")
    hot = next(step.result for step in working.steps if step.symbol == "T" and step.inputs)
    assert isinstance(hot, float)
    assert 25.0 < hot < 30.0
    assert working.steps[-1].result == pytest.approx(7.98e-3 * 3 * (234.5 + hot) / 254.5)


def words(assessment: Assessment, address: str) -> str:
    return "\n".join(step.equation for step in explain(assessment, address).steps)


def test_the_working_says_which_voltage_a_load_is_taken_at(assessment: Assessment) -> None:
    """The regulator's with the engine running, the rested battery's without; for constant power the lowest voltage
    the limits count as running: 10.5 V (ISO 16750-2:2010, code D, second-hand)."""
    coupe = assess(read_plan(shipped_folder("examples") / "coupe_turbo.toml"))
    fans = words(coupe, "fans.load_current_a.continuous")
    assert "design voltage, the highest in the conditions it may be on in" in fans
    assert "regulator voltage at 20 °C" in fans
    assert "of some group another than the strongest" in words(coupe, "feeds.dip_bus.fuse.range_a.low")
    ecu = explain(coupe, "ecu.load_current_a.continuous")
    assert 10.5 in [step.result for step in ecu.steps]
    assert any("ISO 16750-2" in source for source in ecu.sources)
    assert "rested voltage" in words(assessment, "lamps.load_current_a.continuous")


def test_the_largest_short_of_an_unknown_battery_is_that_of_a_strong_one() -> None:
    """A good, warm battery for the most, a small, tired one for the least (both common practice, no source). The 35 A
    blade fuse has no row in the maker's resistance table: for the least it counts as the 30 A one, for the most not."""
    bare = PLAN[PLAN.index("[zone.cabin]"):].replace('rating = "15 A"', 'rating = "35 A"')
    unknown = assess(parse_plan("fuseplan = 1\n" + bare))
    largest, least = (words(unknown, f"circuits.lamps.fault.{key}_a") for key in ("prospective", "far_end"))
    assert "4 mΩ of a good, warm one" in largest
    assert "no resistance printed, counted as nothing" in largest
    assert "of a small, tired one" in least
    assert "no more than the next smaller one printed" in least


def test_a_circuit_and_a_feed_of_one_name_keep_both_addresses(assessment: Assessment) -> None:
    assert explain(assessment, "lamps.resistance_ohm").figure.address == "feeds.lamps.resistance_ohm"
    assert explain(assessment, "lamps.load_current_a.5s").figure.address == "circuits.lamps.load_current_a.5s"
    assert explain(assessment, "feeds.lamps.resistance_ohm").steps[-1].result == 0.0
    with pytest.raises(FigureError, match=r"may be circuits\.lamps\..*_a or feeds\.lamps\..*_a"):
        explain(assessment, "lamps.fault.far_end_a")


def test_unknown_says_what_is_missing(assessment: Assessment) -> None:
    working = explain(assessment, "unknown.load_current_a.continuous")
    assert working.value is None
    assert "current or power" in working.steps[-1].equation


def test_out_of_scope_says_stop(assessment: Assessment) -> None:
    working = explain(assessment, "bag.load_current_a.continuous")
    assert working.steps[-1].equation.startswith("stop:")
    bag = find(assessment.whole, "circuits.bag")
    assert bag is not None
    assert [figure.address for figure in figures(bag) if figure.value is not None] == []


@pytest.mark.parametrize("address", ["", "lamps", "lamps.fuse.windw", "nothing.here", "power", "."])
def test_an_address_that_is_not_there(assessment: Assessment, address: str) -> None:
    with pytest.raises(FigureError, match=r"there is no figure|is no figure|has no"):
        explain(assessment, address)

"""Where the heat of its place asks a wire for much more copper than a better insulation does, that is fitted; check and
proposal name the same."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.checks.fixes import SAVED_SIZES, SHELF_C, insulation_class_c
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from tests.advice.worlds import around

ROAD = limit_set("road")
SIZES = ["0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50"]


def heater(ambient: int, amps: float, insulation: str, size: str | None, rating: str | None = None) -> Plan:
    wire = f'length = "2 m", zone = "bay", insulation = "{insulation}"' + (f', size = "{size} mm2"' if size else "")
    fuse = 'kind = "maxi"' + (f', rating = "{rating}"' if rating else "")
    return around(f"""
[zone.bay]
ambient = "{ambient} degC"
[circuit.heater]
role = "other"
feed = "battery_post"
fuse = {{ {fuse} }}
wire = [{{ {wire} }}]
earth = "battery_negative"
[[circuit.heater.load]]
current = "{amps} A"
at = "14.2 V"
kind = "resistive"
when = ["engine"]
use = "continuous"
evidence = "measured"
""")


def too_thin(plan: Plan) -> bool:
    """Whether the fuse is too large for the wire."""
    return any(each.check == "fuse-exceeds-wire" for each in assess(plan, ROAD).findings)


@pytest.mark.parametrize("size", [None, "2.5"])
@pytest.mark.parametrize(("ambient", "insulation"), [(45, "pvc70"), (60, "pvc105"), (85, "pvc105"), (85, "xlpe125")])
@pytest.mark.parametrize("amps", [8.0, 20.0, 35.0])
def test_no_wire_grows_where_an_insulation_on_the_shelf_saves_two_sizes(amps: float, ambient: int, insulation: str,
                                                                        size: str | None) -> None:
    proposal = propose(heater(ambient, amps, insulation, size), ROAD, look_for_savings=False)
    wire, = proposal.plan.circuit["heater"].wire
    assert wire.insulation is not None
    assert not [each for each in proposal.after.findings_for("circuit", "heater") if each.level != "advice"]
    assert insulation_class_c(wire.insulation) <= SHELF_C
    # Kept, the insulation is so because the best one is too thin two sizes down; changed, because with the one it had
    # the same fuse needs two sizes more.
    rating = proposal.after.circuit("heater").fuse.rating_a
    place = SIZES.index(str(wire.size).split()[0])
    other, size_there = ("xlpe125", SIZES[place - SAVED_SIZES]) if wire.insulation == insulation else \
        (insulation, SIZES[place + SAVED_SIZES - 1])
    assert too_thin(heater(ambient, amps, other, size_there, f"{rating} A"))


def test_a_much_thicker_wire_becomes_one_with_a_better_insulation() -> None:
    """At 85 °C heat-resistant PVC for 105 °C has 20 K to spare, cross-linked polyethylene for 125 °C twice that."""
    proposal = propose(heater(85, 30.0, "pvc105", None), ROAD, look_for_savings=False)
    wire, = proposal.plan.circuit["heater"].wire
    assert wire.insulation == "xlpe125"
    rating = proposal.after.circuit("heater").fuse.rating_a
    assert rating is not None
    alone = next(size for size in SIZES if not too_thin(heater(85, 30.0, "pvc105", size, f"{rating} A")))
    assert SIZES.index(alone) >= SIZES.index(str(wire.size).split()[0]) + SAVED_SIZES


@pytest.mark.parametrize("amps", [18.0, 26.0, 30.0, 36.0, 42.0])
def test_the_check_names_what_the_proposal_fits(amps: float) -> None:
    plan = heater(85, amps, "pvc105", "2.5", "80 A")
    proposal = propose(plan, ROAD, look_for_savings=False)
    wire, = proposal.plan.circuit["heater"].wire
    found = [each for each in assess(plan, ROAD).findings if each.check in ("fuse-exceeds-wire", "wire-overloaded")]
    assert found
    for finding in found:
        named = dict(finding.values)
        assert named.pop("circuit.heater.wire.0.insulation", "pvc105") == wire.insulation
        assert named.pop("circuit.heater.wire.0.size") == str(wire.size)
        assert not named or named["circuit.heater.fuse.rating"].split()[0] == \
            f"{proposal.after.circuit('heater').fuse.rating_a:g}"
        assert (wire.insulation == "xlpe125") == ("with xlpe125 insulation" in finding.fix)

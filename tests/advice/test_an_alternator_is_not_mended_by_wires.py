"""A lamp that is dim because the alternator does not hold its voltage keeps its wires: it follows from the alternator,
and goes with the one that is recommended."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.fixes import copper_mm2
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import BASE

ROAD = limit_set("road")
SMALL, STRONG = 'rated = "28 A"', 'rated = "120 A"\nlow_speed = "70 A"'


def lamp(name: str, metres: float) -> str:
    wire = f'[{{ size = "1 mm2", length = "{metres} m", zone = "cabin", insulation = "pvc105" }}]'
    return f"""
[circuit.{name}]
role = "fog_lamps"
feed = "battery_post"
fuse = {{ kind = "blade", rating = "5 A" }}
wire = {wire}
earth = "battery_negative"
earth_wire = {wire}
drop_class = "control"
[[circuit.{name}.load]]
power = "21 W"
at = "13.5 V"
design_voltage = "13.5 V"
kind = "lamp"
when = ["night"]
use = "continuous"
evidence = "measured"
"""


def car(rated: str, metres: float, lamps: int = 2) -> Plan:
    """A heater of 25 A and some fog lamps on an alternator of some rating, with a battery that is half empty."""
    text = BASE.replace(STRONG, rated).replace("12.6 V", "11.9 V")
    heater = """
[circuit.heater]
role = "other"
feed = "battery_post"
fuse = { kind = "maxi", rating = "40 A" }
wire = [{ size = "10 mm2", length = "1 m", zone = "cabin", insulation = "pvc105" }]
earth = "battery_negative"
[[circuit.heater.load]]
current = "25 A"
at = "13.5 V"
kind = "resistive"
when = ["engine"]
use = "continuous"
evidence = "measured"
"""
    return parse_plan(text + heater + "".join(lamp(f"fog_{number}", metres) for number in range(lamps)))


def dim(assessment: Assessment) -> list[Finding]:
    return [each for each in assessment.findings if each.check == "low-lamp-voltage"]


@pytest.mark.parametrize("metres", [5.0, 6.0])
def test_a_lamp_dim_for_the_alternator_alone_follows_from_it_and_keeps_its_wires(metres: float) -> None:
    proposal = propose(car(SMALL, metres), ROAD)
    for found in (proposal.before, proposal.after):
        assert len(dim(found)) == 2
        assert all(each.cause is not None and found.findings[each.cause].subject_kind == "alternator"
                   for each in dim(found))
    assert not [change for change in proposal.changes if change.path[-1] == "size" and change.path[0] == "circuit"]
    (leader, followers), = proposal.left_by_cause
    assert leader.subject_kind == "alternator"
    assert set(dim(proposal.after)) <= set(followers)
    assert propose_text(proposal).count("Fix:") == 1
    # The recommended one removes leader and followers.
    size = proposal.before.results.power.alternator_size
    assert size is not None
    mended = assess(car(f'rated = "{size.rated_a} A"\nlow_speed = "{size.low_a} A"', metres), ROAD)
    assert not [each for each in mended.findings if each.level != "advice"]


@pytest.mark.parametrize("metres", [8.0, 25.0])
def test_a_small_alternator_asks_for_no_thicker_wire_than_a_strong_one(metres: float) -> None:
    """Lamps at the end of long wires, dim with the small one: with the strong one only the drop asks for copper, and of
    the brighter lamps more."""
    small, strong = (propose(car(rated, metres), ROAD, look_for_savings=False) for rated in (SMALL, STRONG))
    assert dim(small.before)
    copper = [{name: [copper_mm2(str(each.size)) for each in (*circuit.wire, *circuit.earth_wire)]
               for name, circuit in proposal.plan.circuit.items()} for proposal in (small, strong)]
    assert all(thin <= thick for name, sizes in copper[0].items()
               for thin, thick in zip(sizes, copper[1][name], strict=True))
    assert {each.cause is not None for each in dim(small.after)} == {True}
    assert not dim(strong.after)


def test_a_lamp_that_neither_wires_nor_alternator_alone_make_bright_is_told_both() -> None:
    small, strong = (propose(car(rated, 60.0), ROAD, look_for_savings=False) for rated in (SMALL, STRONG))
    for found, is_dim in ((small.before, True), (small.after, True), (strong.before, True), (strong.after, False)):
        assert bool(dim(found)) is is_dim
    for each in dim(small.before):
        assert "mm²" in each.fix
        assert "alternator" in each.fix
        assert not each.values, "what is entered from it would leave the lamp dim"


def on_bad_earth(ohm: str) -> Assessment:
    """The small alternator's lamps behind an earth point of some resistance."""
    plan = car(SMALL, 2.0)
    body = next(iter(plan.earth.values())).model_validate(
        {"to": "battery_negative", "resistance": ohm, "zone": "cabin"})
    circuits = {name: each.model_copy(update={"earth": "body"}) if name.startswith("fog") else each
                for name, each in plan.circuit.items()}
    return assess(plan.model_copy(update={"earth": {**plan.earth, "body": body}, "circuit": circuits}), ROAD)


def test_an_earth_out_of_order_is_mended_before_a_larger_alternator_is_bought() -> None:
    """Both would do: the alternator would lift the lamps, and the earth loses what they lack."""
    bad = on_bad_earth("400 mohm")
    assert len(dim(bad)) == 2
    for each in dim(bad):
        assert each.fields[0] == "earth.body.resistance"
        assert "alternator" not in each.fix
    assert not dim(on_bad_earth("1 mohm"))

"""A size named for a wire that carries too much stands what flows for seconds, a starter's current, as well as what
lasts: entered, nothing of the wire is too hot any more."""

from __future__ import annotations

import math
from typing import Any

import pytest

from fuseplan.checks import assess
from fuseplan.checks.rule import Finding
from fuseplan.engine.intervals import FIVE_S
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_data
from tests.checks.check_plans import passing


def of(data: dict[str, Any]) -> list[Finding]:
    return [each for each in assess(Plan.model_validate(data)).findings if each.check == "earth-strap-overloaded"]


@pytest.mark.parametrize("charges", [True, False], ids=["with a lasting current", "with seconds alone"])
@pytest.mark.parametrize("size", ["2.5 mm2", "4 mm2", "6 mm2", "10 mm2"])
def test_what_it_names_is_enough(size: str, charges: bool) -> None:
    data = parse_data(passing("no-engine-strap"), "plan")
    strap = data["earth"]["engine"]["wire"][0]
    strap |= {"size": size, "length": "0.5 m"}
    data["circuit"]["starter"]["load"][0] |= {"current": "300 A", "use": "momentary"}
    if charges:
        data["alternator"] = {"rated": "70 A", "earth": "engine"}
    found = of(data)
    assert found
    (path, value), = found[0].values
    assert path == "earth.engine.wire.0.size"
    assert found[0].fix == f"fit {value.replace('mm2', 'mm²')} in its place"
    strap["size"] = value
    assert not of(data)


@pytest.mark.parametrize(("role", "seconds"), [("starter", 15.0), ("other", 5.0)])
def test_a_wire_to_a_starter_is_heated_for_as_long_as_it_may_turn(role: str, seconds: float) -> None:
    """Adiabatic, K = 226 A·√s/mm² and β = 234.5 °C for copper (IEC 60949, from memory): 600 A through 10 mm².
    15 s at most at a time: a car maker's workshop manual, second-hand; 5 s: aircraft load analysis."""
    data = parse_data(passing("no-engine-strap"), "plan")
    data["circuit"]["starter"] |= {"role": role}
    del data["alternator"]
    data["earth"]["engine"]["wire"] = [{"size": "10 mm2", "length": "0.5 m", "zone": "cabin", "insulation": "xlpe125"}]
    data["circuit"]["starter"]["load"][0] |= {"current": "600 A", "use": "momentary"}
    plan = Plan.model_validate(data)
    results = assess(plan).results
    segment = results.network.segments.owner.index(("earth", "engine"))
    start_c = float(results.network.segments.ambient_c[segment])
    current_a = float(results.demands.segment[0, FIVE_S, segment])
    grows = math.exp(current_a**2 * seconds / (226.0 * 10.0) ** 2)
    after_c = min((234.5 + start_c) * grows - 234.5, 1083.0)
    finding, = of(data)
    assert finding.unit == "°C"
    assert finding.figure == pytest.approx(after_c, rel=0.01)
    assert f"for {seconds:.0f} s" in finding.message


@pytest.mark.parametrize(("role", "multiple", "seconds"), [("starter", 1.35, "15 s"), ("other", 2.0, "5 s")])
def test_a_relay_contact_carries_a_starter_for_as_long_as_it_may_turn(role: str, multiple: float, seconds: str
                                                                      ) -> None:
    """TE datasheets 7-1393302-5 and F7: 2.0 times its rating for 5 s, and 1.35 times for up to 1800 s; nothing is
    printed between them."""
    data = parse_data(passing("relay-overloaded"), "plan")
    (name, circuit), = ((name, each) for name, each in data["circuit"].items() if each.get("relay"))
    load, circuit["role"] = circuit["load"][0], role

    def told(current_a: float, use: str) -> list[Finding]:
        load.update({"current": f"{current_a} A", "use": use})
        return [each for each in assess(Plan.model_validate(data)).findings
                if (each.check, each.subject) == ("relay-overloaded", name) and not each.measure]

    (lasting,), (brief,) = (told(1000.0, use) for use in ("continuous", "momentary"))
    assert brief.limit == pytest.approx(multiple * lasting.limit)
    assert f"for {seconds} through" in brief.message
    at_limit_a = 1000.0 * brief.limit / brief.figure
    assert told(1.01 * at_limit_a, "momentary")
    assert not told(0.99 * at_limit_a, "momentary")

"""A feed that a fix names instead of another carries the circuit that is moved there, and no switch that the plan says
nothing of decides when it is live."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks import assess
from tests.checks.check_plans import failing
from tests.plans import plan_of

CHECKS = ("dead-when-needed", "live-when-off")
NAMED = re.compile(r"\bother\b")


def fix_of(check: str, rating: str | None, switch: dict[str, Any] | None, load: str | None = "5.5 A",
           evidence: str = "measured", terminal: str | None = None, **circuit_keys: Any) -> str:
    """The fix of a circuit on a feed with the wrong states, where the plan has one more feed with the right ones."""
    data = tomllib.loads(failing(check))
    circuit = list(data["circuit"].values())[-1]
    circuit.pop("relay", None)
    circuit["load"][0].pop("power", None)
    circuit["load"][0].pop("current", None)
    circuit["load"][0] |= {"evidence": evidence} if load is None else {"current": load, "evidence": evidence}
    circuit |= circuit_keys
    circuit["feed"] = {"dead-when-needed": "accessory_bus", "live-when-off": "bus"}[check]
    data["feed"]["other"] = {"from": "ignition_bus"} | ({} if terminal is None else {"terminal": terminal})
    if rating is not None:
        data["feed"]["other"]["fuse"] = {"kind": "blade", "rating": rating, "distance": "100 mm"}
    if switch is not None:
        data["feed"]["other"]["switch"] = switch
    found, = [each.fix for each in assess(plan_of(data)).findings if each.check == check]
    return found


@pytest.mark.parametrize("check", CHECKS)
def test_its_fuse_carries_what_the_circuit_may_draw_at_most(check: str) -> None:
    """Of an unknown current that is what the circuit's own fuse carries."""
    fuse = {"kind": "blade", "distance": "50 mm"}
    assert not NAMED.search(fix_of(check, "5 A", None, None, fuse={**fuse, "rating": "10 A"}))
    assert NAMED.search(fix_of(check, "10 A", None, None, fuse={**fuse, "rating": "10 A"}))
    assert not NAMED.search(fix_of(check, "10 A", None, None, fuse=fuse))
    assert NAMED.search(fix_of(check, "10 A", None, "6.5 A"))
    assert not NAMED.search(fix_of(check, "10 A", None, "6.5 A", evidence="guess"))


@pytest.mark.parametrize("check", CHECKS)
def test_its_fuse_carries_the_circuit(check: str) -> None:
    assert not NAMED.search(fix_of(check, "5 A", None))
    assert NAMED.search(fix_of(check, "15 A", None))
    assert NAMED.search(fix_of(check, None, None))


def test_no_switch_decides_when_it_is_live() -> None:
    switch = {"rating": "20 A"}
    assert not NAMED.search(fix_of("dead-when-needed", "15 A", switch))
    assert NAMED.search(fix_of("dead-when-needed", "15 A", None))


@pytest.mark.parametrize("check", CHECKS)
def test_a_feed_of_lamps_is_named_for_lamps_alone(check: str) -> None:
    """It is live with the lamps on, whatever key positions the plan lists."""
    for terminal in ("56", "58"):
        assert not NAMED.search(fix_of(check, "15 A", None, terminal=terminal))
        assert NAMED.search(fix_of(check, "15 A", None, terminal=terminal, role="headlamps"))
    assert NAMED.search(fix_of(check, "15 A", None, terminal="15"))

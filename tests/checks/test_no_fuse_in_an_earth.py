"""No fix asks for a fuse in an earth wire or strap: with it blown the load stays live and looks dead."""

from __future__ import annotations

import re

import pytest

from tests.checks.test_rules import assessed

EARTH = r"(?:earth wire|strap)[^;,]*"
IN_EARTH = re.compile(rf"{EARTH}, or a (?:smaller )?fuse where it starts|fuse[^;,]* where {EARTH} starts|own fuse")
LAMP = """
[circuit.lamp]
feed = "bus"
{fuse}
wire = [{{ size = "6 mm2", length = "1 m", zone = "cabin", insulation = "pvc105" }}]
earth_wire = [{{ size = "{earth}", length = "1 m", zone = "cabin", insulation = "pvc105" }}{more}]
earth = "body"
[[circuit.lamp.load]]
current = "{current}"
at = "13.5 V"
kind = "lamp"
when = ["always"]
evidence = "measured"
"""
THINNER = ', { size = "0.5 mm2", length = "1 m", zone = "cabin", insulation = "pvc105" }'


@pytest.mark.parametrize(("fuse", "earth", "current", "more", "check"), [
    ('fuse = { kind = "blade", rating = "40 A" }', "1 mm2", "25 A", "", "fuse-exceeds-wire"),
    ('fuse = { kind = "blade", rating = "40 A" }', "1 mm2", "5 A", "", "fuse-exceeds-wire"),
    ("", "1 mm2", "5 A", "", "fuse-exceeds-wire"),
    ('fuse = { kind = "strip", rating = "400 A" }', "95 mm2", "900 A", "", "wire-overloaded"),
    ('fuse = { kind = "blade", rating = "20 A" }', "2.5 mm2", "9 A", THINNER, "fuse-exceeds-wire"),
])
def test_an_earth_is_never_fused(fuse: str, earth: str, current: str, more: str, check: str) -> None:
    found = [each for each in assessed(LAMP.format(fuse=fuse, earth=earth, current=current, more=more)).findings
             if each.subject == "lamp" and (re.search(EARTH, each.message) or re.search(EARTH, each.fix))]
    assert check in {each.check for each in found}
    for each in found:
        assert not IN_EARTH.search(each.fix), each.fix


def test_the_words_that_are_looked_for_are_those_of_a_supply_wire() -> None:
    found = assessed(LAMP.format(fuse='fuse = { kind = "blade", rating = "40 A" }', earth="6 mm2", current="25 A",
                                 more="").replace('wire = [{ size = "6 mm2"', 'wire = [{ size = "1 mm2"', 1)).findings
    fixes = [each.fix.replace("the wire of", "the earth wire of") for each in found if each.subject == "lamp"]
    assert any(IN_EARTH.search(fix) for fix in fixes), fixes

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


def thin_wire(place: int) -> list[str]:
    """Fixes of a lamp of which the wire at a place of two is thin, the others not."""
    sizes = ["6 mm2", "6 mm2"]
    sizes[place] = "1 mm2"
    wires = ", ".join(f'{{ size = "{size}", length = "1 m", zone = "cabin", insulation = "pvc105" }}' for size in sizes)
    text = LAMP.format(fuse='fuse = { kind = "blade", rating = "40 A" }', earth="6 mm2", current="25 A", more="")
    text = re.sub(r"^wire = .*$", f"wire = [{wires}]", text, count=1, flags=re.MULTILINE)
    return [each.fix for each in assessed(text).findings if (each.subject, each.check) == ("lamp", "fuse-exceeds-wire")]


def test_the_words_that_are_looked_for_are_those_of_a_supply_wire() -> None:
    fixes = [re.sub("wire 2 of|the wire of", "the earth wire of", fix) for fix in thin_wire(1)]
    assert any(IN_EARTH.search(fix) for fix in fixes), fixes


def test_no_fuse_is_asked_for_where_the_wire_behind_the_fuse_starts() -> None:
    [first], [second] = thin_wire(0), thin_wire(1)
    assert "fuse where it starts" not in first
    assert "fuse where it starts" in second

"""A feed whose fuse is too small for its load, before a circuit too thin for a larger one: a fuse is fitted where that
circuit starts, if it carries what the circuit does."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.stock import ladder
from fuseplan.plan.model import Plan
from tests.advice.worlds import around

TOO_SMALL = ("fuse-too-small", "no-fuse-fits")
FAULTS = {*TOO_SMALL, "fuse-exceeds-wire", "thinner-wire-unprotected"}


def plan(size: str, lamp: str, feed: str = "", own: str = "", *, back: str | None = None, fan: str = "34 A",
         fan_fuse: str = "50 A") -> Plan:
    """A lamp without a fuse of its own beside a fan, behind the fuse of their feed; with a wire back or earthed where
    it is bolted."""
    wire = 'length = "1 m", zone = "cabin", insulation = "pvc70", size = '
    more = 'at = "14 V"\nkind = "resistive"\nevidence = "measured"\nwhen = ["engine"]'
    return around(f"""
[feed.box]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "maxi", distance = "100 mm" {feed} }}
wire = [{{ {wire} "16 mm2" }}]
[circuit.lamp]
feed = "box"
{own}
wire = [{{ {wire} "{size}" }}]
{"" if back is None else f'earth_wire = [{{ {wire} "{back}" }}]'}
earth = "engine"
[[circuit.lamp.load]]
current = "{lamp}"
{more}
[circuit.fan]
feed = "box"
fuse = {{ kind = "maxi", rating = "{fan_fuse}" }}
wire = [{{ {wire} "10 mm2" }}]
earth = "engine"
[[circuit.fan.load]]
current = "{fan}"
{more}
""")


@pytest.mark.parametrize("feed", ["", ', rating = "30 A"', ', rating = "40 A"'])
@pytest.mark.parametrize(("size", "lamp", "carries"), [
    ("2.5 mm2", "5 A", True), ("1 mm2", "5 A", True), ("1.5 mm2", "12 A", True), ("1.5 mm2", "19 A", False)])
def test_it_removes_both_faults_or_is_not_named(size: str, lamp: str, carries: bool, feed: str) -> None:
    found = next(each for each in assess(plan(size, lamp, feed)).findings if each.check in TOO_SMALL)
    named = re.search(r"fit ([\d.]+) A and a fuse of its own of at most ([\d.]+) A where the wire of lamp", found.fix)
    assert bool(named) == carries, found.fix
    if named:
        own = max(rating for rating in ladder("blade") if rating <= float(named[2]))
        after = assess(plan(size, lamp, f', rating = "{named[1]} A"',
                            f'fuse = {{ kind = "blade", rating = "{own:g} A" }}'))
        assert not FAULTS & {each.check for each in after.findings}


@pytest.mark.parametrize(("size", "thin"), [
    ("1 mm2", "the wire of lamp (1 mm²)"), ("1.5 mm2", "the wire of lamp (1.5 mm²)")])
def test_the_wire_named_too_thin_is_that_of_the_other_part(size: str, thin: str) -> None:
    """Behind the feed's fuse the wire of one circuit is too thin for the fuse, not for the load it carries itself."""
    found = next(each for each in assess(plan(size, "5 A")).findings if each.check == "no-fuse-fits")
    assert found.message.endswith(f": {thin} is too thin for that fuse")

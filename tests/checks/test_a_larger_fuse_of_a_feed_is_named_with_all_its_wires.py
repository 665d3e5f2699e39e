"""A larger fuse that a fix names for a feed comes with what every circuit on it needs whose wires do not allow it:
done as told, no circuit is left behind a fuse too large for it."""

from __future__ import annotations

import random
import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.stock import ladder
from fuseplan.plan.model import Plan
from tests.advice.worlds import around

TOO_SMALL = ("fuse-too-small", "no-fuse-fits", "blows-at-switch-on", "fuse-exceeds-wire")
TOO_LARGE = {"fuse-exceeds-wire", "thinner-wire-unprotected"}
SIZES = ("1", "1.5", "2.5", "4")
NAMED = re.compile(r"\b(?:fit|then) (?:a )?([\d.]+) A( maxi)?\b")
FUSE = re.compile(r"of its own of (?:at most )?([\d.]+) A where the wire of (\w+) starts")


class Entered:
    """A feed of any wire and fuse, or without a rating, and what is on it: wires out and back [mm²], loads [A]."""

    def __init__(self, seed: int) -> None:
        chance = random.Random(seed)
        self.feed, self.rating = chance.choice(("2.5", "4", "6", "10")), chance.choice(("", "7.5", "10", "15", "20"))
        self.names = ("left", "middle", "right")[:chance.choice((2, 3))]
        self.sizes = {name: (chance.choice(SIZES), chance.choice(SIZES)) for name in self.names}
        self.loads = {name: chance.choice((4, 6, 8, 10, 13)) for name in self.names}
        self.kind, self.own = "blade", dict[str, float]()

    def plan(self) -> Plan:
        wire = 'length = "1 m", zone = "cabin", insulation = "pvc70", size = '
        rating = f', rating = "{self.rating} A"' if self.rating else ""
        return around(f"""
[feed.box]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "{self.kind}", distance = "100 mm"{rating} }}
wire = [{{ {wire} "{self.feed} mm2" }}]
""" + "".join(f"""
[circuit.{name}]
feed = "box"
{f'fuse = {{ kind = "blade", rating = "{self.own[name]:g} A" }}' if name in self.own else ''}
wire = [{{ {wire} "{self.sizes[name][0]} mm2" }}]
earth_wire = [{{ {wire} "{self.sizes[name][1]} mm2" }}]
earth = "engine"
[[circuit.{name}.load]]
current = "{self.loads[name]} A"
at = "14 V"
kind = "resistive"
evidence = "measured"
when = ["engine"]
""" for name in self.names))

    def do(self, fix: str) -> float | None:
        """What a fix says, done; the rating it names for the feed's fuse, None for none."""
        named = NAMED.search(fix)
        if named is None:
            return None
        self.rating, self.kind = named[1], "maxi" if named[2] else "blade"
        for most, name in FUSE.findall(fix):
            self.own[name] = max(each for each in ladder("blade") if each <= float(most))
        for name in self.names:
            out = re.search(rf"([\d.]+) mm² in place of the wire (?:and of the earth wire )?of {name}\b", fix)
            back = re.search(rf"([\d.]+) mm² in place of (?:the wire and of )?the earth wire of {name}\b", fix)
            self.sizes[name] = (out[1] if out else self.sizes[name][0], back[1] if back else self.sizes[name][1])
        thicker = re.search(r"([\d.]+) mm² in place of the wire to box", fix)
        self.feed = thicker[1] if thicker else self.feed
        return float(self.rating)


@pytest.mark.parametrize("seed", range(60))
def test_no_circuit_is_left_behind_a_fuse_too_large_for_it(seed: int) -> None:
    entered = Entered(seed)
    for finding in assess(entered.plan()).findings:
        if finding.check not in TOO_SMALL or finding.subject != "box" or finding.measure:
            continue
        told = Entered(seed)
        rating_a = told.do(finding.fix)
        if rating_a is None or (entered.rating and rating_a <= float(entered.rating)):
            continue
        after = assess(told.plan()).findings
        assert not [(each.subject, each.message) for each in after if each.check in TOO_LARGE], finding.fix
        assert {f"circuit.{name}.fuse.rating" for name in told.own} <= {*finding.fields}

"""What a feed hands out overloads its wire and every part in it: one cause, one entry. Parts of one circuit made for
the other earth polarity are one entry, too."""

from __future__ import annotations

import itertools

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.papers.findings import finding_lines
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import BASE, around

PARTS = {
    "ammeter": 'ammeter = { scale = "20 A" }',
    "limit": 'limit = "15 A"',
    "switch": 'switch = { rating = "15 A" }',
    "wire": 'wire = [{ size = "1.5 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }]',
}


def feed(*parts: str, current: str = "32 A") -> Assessment:
    wire = "" if "wire" in parts else PARTS["wire"].replace("1.5 mm2", "16 mm2")
    return assess(around("\n".join(["""
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = { kind = "maxi", rating = "60 A", distance = "100 mm" }""", wire, *(PARTS.get(each, each) for each in parts), """
[circuit.heater]
role = "other"
feed = "bus"
fuse = { kind = "maxi", rating = "50 A" }
wire = [{ size = "10 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
earth = "battery_negative"
[[circuit.heater.load]]
CURRENT
kind = "resistive"
when = ["engine"]
use = "continuous"
evidence = "measured"
""".replace("CURRENT", f'current = "{current}"')])), "road")


def overloads(found: Assessment) -> list[Finding]:
    return [each for each in found.findings if each.check == "feed-overloaded"]


@pytest.mark.parametrize("parts", [each for count in (1, 2, 3, 4) for each in itertools.combinations(PARTS, count)],
                         ids="-".join)
def test_an_overloaded_feed_is_one_entry_whatever_is_in_it(parts: tuple[str, ...]) -> None:
    found = feed(*parts)
    assert len({each.identity for each in overloads(found)}) == len(parts)
    leader, = (each for each in overloads(found) if each.cause is None or
               found.findings[each.cause].check != "feed-overloaded")
    assert {number for number, each in enumerate(found.findings)
            if each.check == "feed-overloaded" and each is not leader} <= set(leader.follows) | {
                number for each in found.findings for number in each.follows}


@pytest.mark.parametrize("scale_a", [5, 10, 18])
@pytest.mark.parametrize("part", ["ammeter", "switch"])
def test_a_wire_that_burns_leads_whatever_is_in_it_and_how_far_that_is_past_its_rating(part: str, scale_a: int) -> None:
    """A larger ammeter or switch is one change, and leaves the wire as it is."""
    text = f'{part} = {{ {"scale" if part == "ammeter" else "rating"} = "{scale_a} A" }}'
    found = feed("wire", text)
    leader, = (each for each in found.findings if each.cause is None and each.check == "feed-overloaded")
    assert leader.fields[0] == "feed.bus.wire.0.size"
    under = [found.findings[number] for number in leader.follows]
    assert {each.fields[0].split(".")[2] for each in under if each.check == "feed-overloaded"} == {part}
    assert all(each.fix in " ".join(line.strip() for line in finding_lines(each, found, 1000))
               for each in under if each.check == "feed-overloaded")
    assert {"fuse-exceeds-wire"} <= {each.check for each in under}, "one thicker wire mends both"


@pytest.mark.parametrize("part", ["limit", "switch", "ammeter"])
def test_what_no_size_mends_in_a_feed_does_not_keep_its_wire_thin(part: str) -> None:
    """The part is given up on in a proposal, the wire is not, though no fuse on file carries so much."""
    proposal = propose(feed(part, "wire", current="260 A").plan, limit_set("road"), look_for_savings=False)
    assert "feed-overloaded" in {each.check for each in proposal.collisions}
    assert overloads(proposal.after)
    assert not [each.message for each in overloads(proposal.after) if each.fields[0].endswith(".size")]


def test_a_fuse_too_large_for_its_wire_is_not_told_as_mended_by_less_load() -> None:
    found = feed("limit", "wire")
    leader, = (each for each in found.findings if each.cause is None and each.check == "feed-overloaded")
    assert leader.fields[0] == "feed.bus.limit"
    assert {found.findings[number].check for number in leader.follows} == {"feed-overloaded"}
    assert [each.check for each in found.findings if each.cause is None and each.check == "fuse-exceeds-wire"]


def test_two_overloaded_feeds_are_two_entries() -> None:
    text = "".join(f"""
[feed.bus_{number}]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "maxi", rating = "60 A", distance = "100 mm" }}
{PARTS["limit"]}
{PARTS["switch"]}
wire = [{{ size = "16 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }}]
[circuit.heater_{number}]
role = "other"
feed = "bus_{number}"
fuse = {{ kind = "maxi", rating = "50 A" }}
wire = [{{ size = "10 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "battery_negative"
[[circuit.heater_{number}.load]]
current = "32 A"
kind = "resistive"
when = ["engine"]
use = "continuous"
evidence = "measured"
""" for number in range(2))
    found = overloads(assess(around(text), "road"))
    assert len(found) == 4
    assert {each.subject for each in found if each.cause is None} == {"bus_0", "bus_1"}
    assert sum(each.cause is None for each in found) == 2


@pytest.mark.parametrize("lamps", [1, 2, 4])
def test_parts_of_one_circuit_for_the_other_polarity_are_one_entry(lamps: int) -> None:
    load = "".join(f"""
[[circuit.indicators.load]]
name = "LED {number}"
current = "0.25 A"
kind = "electronic"
when = ["turning"]
evidence = "measured"
""" for number in range(lamps))
    text = BASE.replace('name = "Around one circuit"', 'name = "Around one circuit"\nearthed = "positive"') + f"""
[circuit.indicators]
role = "indicators"
feed = "battery_post"
fuse = {{ kind = "blade", rating = "5 A" }}
wire = [{{ size = "1 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }}]
earth = "battery_negative"
{load}"""
    found, = (each for each in assess(parse_plan(text), "road").findings
              if each.check == "wrong-earth-polarity" and each.subject_kind == "circuit")
    assert all(f"'LED {number}'" in found.message for number in range(lamps))
    assert [f"circuit.indicators.load.{number}.made_for" for number in range(lamps)] == list(found.fields[:-1])

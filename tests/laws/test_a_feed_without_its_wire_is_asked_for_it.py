"""A feed without a wire counts as bolted to the one it comes from: whatever says that there is a wire asks for it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.not_said import NotSaid
from fuseplan.papers.summary import first_page
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
CAR = """
fuseplan = 1
[battery]
cold_crank = "500 A"
capacity = "60 Ah"
[zone.bay]
ambient = "40 degC"
[zone.cabin]
ambient = "30 degC"
[feed.post]
zone = "bay"
[feed.bus]
from = "post"
zone = "{zone}"
{fuse}
{wire}
[feed.coils]
from = "bus"
fuse = {{ kind = "blade", rating = "5 A", distance = "0.1 m" }}
[earth.body]
"""
LARGE = 'fuse = { kind = "maxi", rating = "40 A", distance = "0.1 m" }'
SMALL = 'fuse = { kind = "blade", rating = "10 A", distance = "0.1 m" }'
WIRE = 'wire = [{ size = "6 mm2", length = "0.1 m", zone = "bay" }]'


def _asked(text: str) -> list[NotSaid]:
    return [each for each in assess(parse_plan(text)).not_said if each.kind == "feed_wire"]


@pytest.mark.parametrize(("zone", "fuse", "asked"), [
    ("bay", LARGE, True), ("cabin", LARGE, True), ("cabin", SMALL, True), ("bay", SMALL, False)])
def test_another_zone_or_a_fuse_for_more_than_coils_says_that_there_is_a_wire(
        zone: str, fuse: str, asked: bool) -> None:
    found = _asked(CAR.format(zone=zone, fuse=fuse, wire=""))
    assert [(each.subject, each.safety) for each in found] == ([("bus", True)] if asked else [])
    assert not _asked(CAR.format(zone=zone, fuse=fuse, wire=WIRE))


def test_a_bare_cable_is_asked_about_once() -> None:
    found = assess(parse_plan(CAR.format(zone="cabin", fuse="", wire=""))).not_said
    assert [each.kind for each in found if each.subject == "bus"] == ["cable"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_no_example_is_ok_without_the_wires_of_its_feeds(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not _asked(text)
    bare = re.sub(r"(\[feed\.[^\]]+\](?:\n(?!\[).*)*?)\nwire = \[[^\n]*\]", r"\1",
                  text.replace(", wire_before = 1", ""))
    assert bare != text
    found = assess(parse_plan(bare))
    assert [each for each in found.not_said if each.kind in ("feed_wire", "cable") and each.subject_kind == "feed"]
    assert "No fault found" not in first_page(found)

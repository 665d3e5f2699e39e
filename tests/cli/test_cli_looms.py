"""What ``fuseplan looms`` prints and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

LOOMS = """
[loom.car]
kind = "chassis"
[loom.engine]
kind = "donor"
[connector.bulkhead]
name = "Bulkhead plug"
loom = "car"
cavities = 3
[connector.bulkhead.pin]
1 = { function = "charge lamp", signal = "signal", colour = "BU", known = "measured", fate = "keep" }
2 = { colour = "GNWH", size = "0.5 mm2" }
[connector.engine_plug]
loom = "engine"
[connector.engine_plug.pin]
A = { function = "charge lamp", signal = "signal", colour = "BU", known = "diagram", fate = "keep" }
"""


@pytest.fixture
def two(tmp_path: Path, quiet: Path) -> Path:
    plan = tmp_path / "two.toml"
    plan.write_text(quiet.read_text(encoding="utf-8") + LOOMS, encoding="utf-8")
    return plan


def test_one_page_tells_what_is_unknown_and_what_to_probe_first(fuseplan, two):
    ran = fuseplan("looms", two)
    assert ran.status == 1
    for words in ("NOT READY FOR POWER", "4 cavities in 2 connectors, 2 settled, 2 unknown", "pin 2 of 'Bulkhead plug'",
                  "'Bulkhead plug': one cavity not entered", "→ battery off", "Pins by connector",
                  "qualified auto electrician"):
        assert words in ran.out, words
    assert max(map(len, ran.out.splitlines())) <= 100


def test_one_connector_and_every_order(fuseplan, two):
    only = fuseplan("looms", two, "bulkhead", "--by", "fate")
    assert "Connector Bulkhead plug [bulkhead]" in only.out
    assert "engine_plug" not in only.out.partition("Pins by fate")[2].partition("DANGER")[0]
    assert fuseplan("looms", two, "--by", "function").status == 1


def test_merging_tells_each_function_and_what_can_be_done(fuseplan, two):
    out = fuseplan("looms", two, "--merge").out
    for words in ("charge lamp", "not known", "start signal", "missing", "Find out:"):
        assert words in out, words


def test_the_documents_hold_the_same(fuseplan, two):
    document = json.loads(fuseplan("looms", two, "--json").out)
    assert (document["cavities"], document["unknown"], document["ready"]) == (4, 2, False)
    assert [pin["pin"] for pin in document["pins"]] == ["1", "2", "A"]
    merged = json.loads(fuseplan("looms", two, "--merge", "--json").out)
    assert sum(merged["counts"].values()) == len(merged["functions"])


def test_a_plan_without_connectors_is_ready_and_says_so(fuseplan, quiet):
    ran = fuseplan("looms", quiet)
    assert ran.status == 0
    assert "no connectors yet" in ran.out


def test_what_is_not_there_is_refused_with_what_is(fuseplan, two):
    ran = fuseplan("looms", two, "bulkhaed")
    assert ran.status == 2
    assert "there is no connector 'bulkhaed'; the nearest known is 'bulkhead'" in ran.err
    assert fuseplan("looms", two, "bulkhead", "--merge").status == 2

"""The screens that show figures open on a plan that has next to none, and on one whose battery goes flat."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.planfile.read import parse_plan
from fuseplan.tui.widgets.findings_list import _extras

from .conftest import CAR, opened

CAR_TEXT = CAR.read_text(encoding="utf-8")
PLANS = {
    "nothing": "fuseplan = 1\n",
    "flat battery": CAR_TEXT.replace("[battery]", "[battery]\nstate_of_charge = 0.0", 1),
}


@pytest.mark.parametrize("text", PLANS.values(), ids=PLANS)
async def test_screens_of_figures_and_their_working_open(text: str, tmp_path: Path) -> None:
    assert text != CAR_TEXT
    file = tmp_path / "sparse.toml"
    file.write_text(text, encoding="utf-8")
    async with opened(file) as driver:
        for keys in (("w", "escape"), ("3", "w", "escape"), ("4",), ("9",)):
            await driver.press(*keys)
            for word in ("nan", "None", " inf "):
                assert word not in driver.seen()
        assert driver.app.return_code is None


LACKING = """
fuseplan = 1
[feed.battery]
[earth.body]
[circuit.lamp]
feed = "battery"
earth = "body"
fuse = { kind = "blade", rating = "10 A" }
load = [{ name = "Bulb" }]
"""


async def test_what_is_missing_stands_once_beside_a_circuit(tmp_path: Path) -> None:
    (file := tmp_path / "lacking.toml").write_text(LACKING, encoding="utf-8")
    async with opened(file) as driver:
        assert "not checked until entered: wire" in driver.read()
        assert "Not checked yet" not in driver.read()


def test_a_finding_with_the_word_in_a_sentence_does_not_say_that_it_is_missing() -> None:
    """A fuse that is too small says nothing of a fuse or a wire that is not entered."""
    findings = assess(parse_plan(LACKING.replace('"10 A"', '"1 A"').replace(
        'name = "Bulb"', 'current = "5 A", kind = "lamp"'))).findings_for("circuit", "lamp")
    small, = (each for each in findings if each.check == "fuse-too-small")
    lacking, = (each for each in findings if each.check == "figures-missing")
    assert "fuse" in small.message

    def told(missing: str, *found: Finding) -> bool:
        return any(f"Missing: {missing}" in each.plain for each in _extras(found, None, None, (missing,), "", (), ()))

    assert told("fuse", small)
    assert told("wire", small)
    assert not told("wire", small, lacking)

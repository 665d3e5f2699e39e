"""Where a lamp is dim though its own wires lose no more than they may, the fix names what keeps the voltage down, and
it removes it."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value
from tests.laws.test_silence_never_helps import GOOD

LAMP = ("circuit", "lamps", "load", 0)
Edit = tuple[tuple[str | int, ...], Any]


def with_edits(*edits: Edit) -> Assessment:
    data: Any = tomllib.loads(GOOD)
    for at, value in edits:
        data = with_value(data, at, value)
    return assess(Plan.model_validate(data))


def dim(found: Assessment) -> Finding | None:
    return next((each for each in found.findings if each.check == "low-lamp-voltage" and not each.measure), None)


CASES: dict[str, tuple[tuple[Edit, ...], str, Edit]] = {
    "for another system": (((((*LAMP, "at"), "24 V"), ((*LAMP, "design_voltage"), "24 V"))),
                           "circuit.lamps.load.0.design_voltage", ((*LAMP, "design_voltage"), "12 V")),
    "for no system": ((((*LAMP, "design_voltage"), "17 V"),), "circuit.lamps.load.0.design_voltage",
                      ((*LAMP, "design_voltage"), "12 V")),
    "regulator low": (((("alternator", "regulator_voltage"), "12.0 V"), ((*LAMP, "design_voltage"), "14.9 V")),
                      "alternator.regulator_voltage", (("alternator", "regulator_voltage"), "14.2 V")),
    "alternator small": (((("alternator", "rated"), "6 A"), (("alternator", "low_speed"), "3 A"),
                          ((*LAMP, "design_voltage"), "14.9 V")), "alternator.rated",
                         (("alternator", "rated"), "90 A")),
    # A lamp's limit counts from the feed of its switch: the wire before that loses more than any other lead may.
    "feed thin": (((("alternator", "rated"), "20 A"), (("alternator", "low_speed"), "12 A"),
                   (("feed", "bus", "wire", 0, "size"), "2.5 mm2"), (("feed", "bus", "wire", 0, "length"), "6 m"),
                   ((*LAMP, "design_voltage"), "14 V")), "feed.bus.wire.0.size",
                  (("feed", "bus", "wire", 0, "size"), "10 mm2")),
}


@pytest.mark.parametrize("name", CASES)
def test_a_dim_lamp_names_what_keeps_it_dim_and_that_removes_it(name: str) -> None:
    edits, first, cure = CASES[name]
    found = dim(with_edits(*edits))
    assert found is not None
    assert found.fields[0] == first
    # A larger alternator has its own output at idle: the small one's no longer holds.
    more = ((("alternator", "low_speed"), "50 A"),) if first == "alternator.rated" else ()
    assert dim(with_edits(*edits, cure, *more)) is None

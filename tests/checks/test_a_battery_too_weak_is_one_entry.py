"""A battery whose own resistance is most of every loop is one fault: no wire, relay or feed cures it, a stronger one
removes it and all that follows."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan
from tests.checks.check_plans import BASE
from tests.plans import cabin_wire, circuit_text, fuse, load

NAMES = ("boot_battery", "coupe_turbo", "van_24v")


def _text(name: str) -> str:
    return (shipped_folder("examples") / f"{name}.toml").read_text(encoding="utf-8")


WEAK = {"cold_crank": ("90 A", "a battery with a higher cold-cranking current"),
        "internal_resistance": ("100 mohm", "a battery of less internal resistance")}


def _with(text: str, key: str, value: str = "") -> Assessment:
    stated = "" if key == "cold_crank" else re.search(r'cold_crank = "[^"]+"', text)[0] + "\n"  # type: ignore[index]
    changed = re.sub(r'cold_crank = "[^"]+"', f'{stated}{key} = "{value or WEAK[key][0]}"', text)
    assert changed != text
    return assess(parse_plan(changed))


@pytest.mark.parametrize("key", WEAK)
@pytest.mark.parametrize("name", NAMES)
def test_what_a_weak_battery_causes_is_one_entry_that_names_it(name: str, key: str) -> None:
    strong = {(each.check, each.subject) for each in assess(parse_plan(_text(name))).findings if not each.measure}
    found = _with(_text(name), key).findings
    caused = [each for each in found if each.check in ("no-trip-far-end", "low-cranking-voltage")
              and not each.measure and (each.check, each.subject) not in strong]
    assert len(caused) > 1
    assert {each.fields[0] for each in caused} == {f"battery.{key}"}
    leads = [each for each in caused if each.cause is None]
    assert len(leads) == 1
    assert leads[0].fix.startswith(WEAK[key][1])


def _long() -> str:
    return re.sub(r'length = "([0-9.]+) m"', lambda found: f'length = "{float(found[1]) * 10:g} m"',
                  _text("boot_battery"))


@pytest.mark.parametrize(("key", "value"), [("cold_crank", "400 A"), ("internal_resistance", "12 mohm")])
def test_a_stronger_battery_is_named_by_what_the_plan_counts(key: str, value: str) -> None:
    """Also where it is one fix among others, as for a control unit; a rated current that does not count changes
    nothing."""
    named = [each for each in _with(_long(), key, value).findings
             if each.check == "low-cranking-voltage" and re.search("a battery (with|of)", each.fix)]
    assert "control unit" in " ".join(each.message for each in named)
    for each in named:
        assert WEAK[key][1] in each.fix
        assert f"battery.{key}" in each.fields


def test_where_a_wire_is_most_of_the_loop_no_battery_is_named() -> None:
    caused = [each for each in assess(parse_plan(_long())).findings if each.check == "no-trip-far-end"]
    assert caused
    assert not any("battery" in each.fix for each in caused)


@pytest.mark.parametrize(("own", "length", "named"), [(200, 10, True), (60, 8, False), (5, 20, False)])
def test_a_battery_is_named_beside_wires_that_alone_do_not_bring_the_loop_down(own: int, length: int, named: bool
                                                                               ) -> None:
    """The loop may have 0.21 ohm: 0.20 of the battery leave next to nothing to 10 m of 1 mm², 0.06
    leave enough to 8 m."""
    text = BASE.replace('"8 mohm"', f'"{own} mohm"') + circuit_text(
        "horn", load("5 A", use="intermittent"), wire=cabin_wire("1 mm2", f"{length} m", "pvc105"),
        fuse=fuse("30 A"), feed="bus", earth="body", role="horn")
    slow, = (each for each in assess(parse_plan(text)).findings
             if (each.check, each.subject) == ("no-trip-far-end", "horn"))
    assert ("a battery of less internal resistance, and besides" in slow.fix) is named

"""Parts of old cars, and the figures that are entered wrong for them most often."""

from __future__ import annotations

import re
import tomllib

import pytest

from fuseplan.checks import assess
from fuseplan.plan.model import Plan
from tests.advice.worlds import one
from tests.checks.check_plans import BASE, failing
from tests.checks.test_by_hand import of, plan


def test_a_mark_entered_as_the_rating_is_what_a_fix_asks_for_first() -> None:
    """35 A blow on a wire for 20 A: the fuse fitted may be right, and only what was entered wrong."""
    fused = 'fuse = {{ kind = "glass_british", rating = "{}", blows_at = 2.0 }}'
    load = 'current = "3 A"\nkind = "resistive"\nevidence = "measured"'
    [marked] = of(plan(load, more=fused.format("35 A")), "fuse-exceeds-wire")
    assert marked.fix.startswith("if it is marked to blow at 35 A enter 17.5 A; else fit ")
    assert not of(plan(load, more=fused.format("17.5 A")), "fuse-exceeds-wire")
    [other] = of(plan(load, more=fused.format("40 A")), "fuse-exceeds-wire")
    assert other.fix.startswith("fit "), "20 A is no British rating"


@pytest.mark.parametrize("current", ["2 A", "5 A", "7 A", "8 A"])
@pytest.mark.parametrize("rating", ["15 A", "20 A", "35 A"])
def test_a_mark_that_is_too_small_for_the_load_is_not_to_be_entered(rating: str, current: str) -> None:
    entered = 'fuse = {{ kind = "glass_british", rating = "{}", blows_at = 2.0 }}'
    data = one('size = "0.5 mm2"', entered.format(rating), current)
    for each in of(assess(data), "fuse-exceeds-wire"):
        named = re.search(r"blow at .* enter ([\d.]+ A); else", each.fix)
        if named:
            assert not of(assess(one('size = "0.5 mm2"', entered.format(named[1]), current)), "fuse-too-small")


@pytest.mark.parametrize(("kind", "rating", "known"), [
    ("mega", "350 A", False), ("mega", "400 A", False), ("mega", "500 A", False), ("mega", "600 A", True),
    ("mega", "60 A", False), ("mega", "110 A", False), ("midi", "175 A", False), ("midi", "200 A", False),
    ("midi", "250 A", True), ("midi", "400 A", True), ("midi", "90 A", False), ("micro2", "3 A", False),
    ("micro3", "30 A", False), ("micro2", "40 A", True), ("micro3", "35 A", True), ("glass", "40 A", False),
    ("glass", "60 A", False), ("glass", "70 A", True), ("glass", "100 A", True), ("glass_british", "100 A", True),
    ("glass_british", "6 A", False), ("blade", "50 A", True),
    ("mini", "6 A", True), ("jcase", "35 A", True), ("maxi", "90 A", True), ("maxi", "100 A", True)])
def test_what_a_list_from_memory_leaves_out_is_not_said_to_be_unsold(kind: str, rating: str, known: bool) -> None:
    """A rating that a printed list leaves out is not sold; of one from memory it is said that nobody knows. ISO 8820-5
    covers bolt-in types up to 500 A, and the holder for a midi fuse takes 200 A (Littelfuse MIDI 498); ISO 8820-12 and
    -13 go to 30 A, UL 248-14 to 60 A, as printed in a fuse maker's selection guide."""
    load = 'current = "6 A"\nkind = "resistive"\nevidence = "measured"'
    found = plan(load, more=f'fuse = {{ kind = "{kind}", rating = "{rating}" }}')
    assert bool(of(found, "no-such-fuse-rating")) is known
    unknown = [each.words for each in found.unjudged if each.check == "no-such-fuse-rating"]
    assert [each.startswith("whether ") and rating in each for each in unknown] == ([] if known else [True])


def test_an_alternator_on_positive_earth_may_be_a_dynamo_that_was_not_stated() -> None:
    data = tomllib.loads(BASE) | {"circuit": {}}
    data["vehicle"] = data.get("vehicle", {}) | {"earthed": "positive"}
    [found] = of(assess(Plan.model_validate(data)), "wrong-earth-polarity")
    assert found.fix.startswith('if it is a dynamo, state it (`machine = "dynamo"`); if it is an alternator, fit one ')
    data["alternator"] |= {"made_for": "negative"}
    [found] = of(assess(Plan.model_validate(data)), "wrong-earth-polarity")
    assert "dynamo" not in found.fix
    data["alternator"] = {key: value for key, value in data["alternator"].items() if key != "made_for"} | {
        "machine": "dynamo"}
    assert not of(assess(Plan.model_validate(data)), "wrong-earth-polarity")


@pytest.mark.parametrize("kind", ["lamp", "electronic"])
@pytest.mark.parametrize("stated", [{"role": "headlamps"}, {"drop_class": "headlamp"}])
def test_headlamps_of_any_kind_share_a_fuse_by_role_or_drop_class(stated: dict[str, str], kind: str) -> None:
    data = tomllib.loads(failing("headlamps-share-fuse"))
    beams = {key: value for key, value in data["circuit"]["beams"].items() if key != "drop_class"} | stated
    data["circuit"]["beams"] = beams | {"load": [each | {"kind": kind} for each in beams["load"]]}
    assert of(assess(Plan.model_validate(data)), "headlamps-share-fuse")
    beams["load"] = beams["load"][:1]
    data["circuit"]["beams"] = beams
    assert not of(assess(Plan.model_validate(data)), "headlamps-share-fuse")


@pytest.mark.parametrize(("lamps", "pair"), [
    ("dip main", False), ("main dip", False), ("dip dip", True), ("dip dip main main", True), ("dip led", True),
    ("dip main main", True), ("main main", True)])
def test_dip_and_main_beam_of_one_side_are_no_pair(lamps: str, pair: bool) -> None:
    """The lamps of the two sides are on together, whatever each of them draws: a bulb on one side, an LED on the
    other. Dip and main beam are not."""
    beams = {"dip": ("55 W", "night"), "main": ("60 W", "full"), "led": ("25 W", "night")}
    data = tomllib.loads(failing("headlamps-share-fuse"))
    one, *_ = data["circuit"]["beams"]["load"]
    data["circuit"]["beams"]["load"] = [
        one | {"power": power, "when": list(dict.fromkeys((when, "full")))}
        for power, when in (beams[lamp] for lamp in lamps.split())]
    data["condition"] = {word: {"state": "running", "when": [word]} for word in ("night", "full")}
    assert bool(of(assess(Plan.model_validate(data)), "headlamps-share-fuse")) is pair


@pytest.mark.parametrize("apart", [True, False])
@pytest.mark.parametrize("main", ["23 W", "110 W", "140 W", "400 W"])
def test_what_is_on_at_other_times_makes_no_dip_beam_too_small_to_be_a_headlamp(main: str, apart: bool) -> None:
    """Whatever the main beam draws, entered as a pair or not, both dip beams go out with the fuse they share."""
    data = tomllib.loads(failing("headlamps-share-fuse"))
    beams = data["circuit"]["beams"]
    one = beams["load"][0] | {"kind": "electronic", "power": "23 W"}
    pair = {**one, "power": main, "when": ["full"]}
    beams["load"] = [one, one] if apart else [one, one, pair]
    if apart:
        data["circuit"]["main"] = beams | {"load": [pair]}
    data["condition"] = {word: {"state": "running", "when": [word]} for word in ("night", "full")}
    [found] = of(assess(Plan.model_validate(data)), "headlamps-share-fuse")
    assert found.subject == "beams"


def test_no_larger_fuse_is_said_to_part_headlamps_that_share_it() -> None:
    data = tomllib.loads(failing("headlamps-share-fuse"))
    data["circuit"]["beams"]["fuse"]["rating"] = "5 A"
    assessment = assess(Plan.model_validate(data))
    assert of(assessment, "fuse-too-small")
    [found] = of(assessment, "headlamps-share-fuse")
    assert found.cause is None


def test_side_lamps_left_on_alone_are_no_headlamps() -> None:
    """Side lamps of 5 W (W5W, UN R37) behind the fuse of a headlamp."""
    data = tomllib.loads(failing("headlamps-share-fuse"))
    beams = data["circuit"]["beams"]
    one = beams["load"][0]
    side = one | {"power": "5 W", "when": ["night", "parked"]}
    assert "parked" not in one["when"]
    beams["load"] = [one, side, side]
    data["circuit"]["other"] = beams | {"load": [one]}
    data["condition"] = {word: {"state": "running", "when": [word]} for word in ("night", "parked")}
    assert not of(assess(Plan.model_validate(data)), "headlamps-share-fuse")


def test_a_control_unit_beside_a_headlamp_is_no_second_headlamp() -> None:
    data = tomllib.loads(failing("headlamps-share-fuse"))
    assert of(assess(Plan.model_validate(data)), "headlamps-share-fuse")
    lamps = [load for circuit in data["circuit"].values() for load in circuit["load"]]
    for load in lamps[1:]:
        load.update({"power": "3 W", "kind": "electronic"})
    assert not of(assess(Plan.model_validate(data)), "headlamps-share-fuse")



def test_what_a_maker_allows_names_both_ends_where_no_ratings_of_the_type_are_on_file() -> None:
    fused = 'fuse = {{ kind = "strip", rating = "{}", blows_at = 3.5 }}'
    load = 'current = "6 A"\nkind = "resistive"\nmax_fuse = "12 A"\nevidence = "measured"'
    [found] = of(plan(load, more=fused.format("16 A")), "fuse-exceeds-equipment")
    low, high = (float(each) for each in re.findall(r"[\d.]+", found.fix))
    assert high == 12.0
    for rating in (low, high):
        fitted = plan(load, more=fused.format(f"{rating} A"))
        assert not of(fitted, "fuse-exceeds-equipment")
        assert all(each.measure for each in of(fitted, "fuse-too-small"))

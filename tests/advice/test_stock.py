"""What is at hand is taken first, never instead of what is safe; what is needed and not at hand is said."""

from __future__ import annotations

import pytest

from fuseplan.advice import Change, Proposal, propose
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import assess
from fuseplan.engine.stock import AtHand
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from fuseplan.plan.stock import Stock
from tests.advice.worlds import around, gappy, one
from tests.plans import cabin_wire, circuit_text, load, plan_of

ROAD = limit_set("road")


def with_stock(stock: str, current: str = "6 A", size: str = "", fuse: str = "blade") -> Proposal:
    wire = cabin_wire(size or None, "0.5 m")
    if size:
        wire[0]["origin"] = "existing"
    return propose(around(f"[stock]\n{stock}\n" + circuit_text("one", load(current, inrush=1), fuse={"kind": fuse},
                                                               wire=wire)), ROAD)


def fitted(proposal: Proposal) -> tuple[str, float | None, str]:
    view = proposal.after.circuit("one")
    assert view.fuse is not None
    return str(proposal.plan.circuit["one"].wire[0].size), view.fuse.rating_a, view.fuse.kind


def bought(proposal: Proposal) -> list[Change]:
    return [change for change in proposal.changes if not change.in_stock]


def test_sizes_and_ratings_at_hand_are_taken() -> None:
    """6 A ask for 8.24 A; 0.5 mm² (12 A, DIN VDE 0298-4:2023 table 11) would do with 10 A: 1.5 mm² and 15 A
    are there."""
    proposal = with_stock('wire = ["1.5 mm2", "4 mm2"]\nblade = ["5 A", "15 A"]')
    assert fitted(proposal) == ("1.5 mm2", 15.0, "blade")
    assert proposal.accepted
    assert not bought(proposal)


def test_an_existing_thin_wire_is_guarded_by_what_must_be_bought() -> None:
    """A kept 0.5 mm² bears 12 A: the 15 A fuse at hand would let it burn."""
    proposal = with_stock('blade = ["5 A", "15 A"]', size="0.5 mm2")
    assert fitted(proposal) == ("0.5 mm2", 10.0, "blade")
    assert [change.new for change in bought(proposal)] == ["10 A"]
    assert "10 A (not in stock)" in propose_text(proposal)


def test_a_size_thicker_than_all_at_hand_is_named_as_missing() -> None:
    proposal = with_stock('wire = ["0.75 mm2"]', current="24 A", fuse="maxi")
    size, _, _ = fitted(proposal)
    assert float(size.split()[0]) > 0.75
    assert "size" in {change.path[-1] for change in bought(proposal)}
    assert "(not in stock)" in propose_text(proposal)


def test_a_fix_names_what_is_at_hand() -> None:
    """2 A ask for 2.7 A, a 1 mm² allows 18 A: 5 A would do, 7.5 A is there, and 10 A is not."""
    plan = around('[stock]\nblade = ["7.5 A", "30 A"]\n' + circuit_text(
        "one", load("2 A", inrush=1), fuse={"kind": "blade", "rating": "30 A"}, wire=cabin_wire("1 mm2", "0.5 m")))
    [found] = [each for each in assess(plan, "road").findings if each.check == "fuse-exceeds-wire"]
    assert "fit 7.5 A, which" in found.fix


def test_only_a_type_that_is_listed_is_added() -> None:
    proposal = propose(around('[stock]\nmini = ["10 A"]\n' + circuit_text(
        "one", load("6 A", inrush=1), wire=cabin_wire("2.5 mm2", "0.5 m"))), ROAD)
    assert fitted(proposal) == ("2.5 mm2", 10.0, "mini")


def test_without_a_list_blades_are_proposed_from_5_to_30_a_and_the_next_type_above() -> None:
    assert fitted(propose(one(current="0.5 A", wire='size = "1 mm2"'), ROAD))[1] == 5.0
    _, rating, kind = fitted(propose(one(current="25 A", wire='size = "16 mm2"'), ROAD))
    assert (rating, kind) == (40.0, "maxi")


def test_what_is_listed_but_not_on_file_is_said() -> None:
    proposal = with_stock('relay = ["shed_find"]\nblade = ["12 A"]\nwire = ["1 mm2"]')
    assert proposal.not_on_file == ["blade fuse 12 A", "relay shed_find"]
    assert "nothing on file says what it carries" in propose_text(proposal)
    assert fitted(proposal)[1] == 10.0


def test_a_rating_left_out_is_never_taken_to_be_one_that_is_not_on_file() -> None:
    """6 A ask for more than 8 A, 8 A for more than 11 A: 9 A and 12 A are at hand, but no such blade fuse is
    on file."""
    for current, rating in (("6 A", 10.0), ("8 A", 15.0)):
        plan = around('[stock]\nblade = ["9 A", "12 A"]\n' + circuit_text(
            "one", load(current, inrush=1), fuse={"kind": "blade"}, wire=cabin_wire("6 mm2", "0.5 m")))
        assert assess(plan, "road").results.fusing.rating_a[-1] == rating


def test_the_buy_list_marks_what_is_at_hand() -> None:
    proposal = with_stock('wire = ["1.5 mm2"]\nblade = ["5 A", "15 A"]')
    marked = {line.item.split(",")[0]: line.in_stock for line in build_facts(proposal.after).buying
              if line.group in ("Wire", "Fuses")}
    assert marked == {"35 mm²": False, "1.5 mm²": True, "standard blade fuse 15 A": True}


def test_no_stock_makes_anything_unsafe() -> None:
    """Whatever is at hand: the wire is never thinner and its fuse never larger than it allows."""
    for seed in range(3):
        data = gappy(5, seed)
        for stock in ({"blade": ["3 A", "30 A"], "wire": ["0.5 mm2"]}, {"mini": ["2 A"], "wire": ["AWG 10", "25 mm2"]}):
            proposal = propose(plan_of({**data, "stock": stock}), ROAD, look_for_savings=False)
            fusing = proposal.after.results.fusing
            chosen = {change.path[1] for change in proposal.changes if change.path[-1] == "rating"}
            assert chosen
            for index, row in enumerate(proposal.after.results.network.fuses):
                if row.owner[1] in chosen:
                    assert fusing.rating_a[index] <= fusing.high_a[index] * (1 + 1e-9)


@pytest.mark.parametrize("system", ["mm2", "AWG", "SAE", "AV"])
def test_sizes_ascend_and_begin_at_half_a_square_millimetre(system: str) -> None:
    areas = [size.area_mm2 for size in AtHand(None).sizes(system)]
    assert areas == sorted(areas)
    assert areas[0] >= 0.5
    listed = [size.area_mm2 for size in AtHand(Stock.model_validate({"wire": ["AWG 16", "1 mm2"]})).sizes(system)]
    assert listed == sorted(listed)
    assert listed[2:] == [area for area in areas if area > listed[1]]


def test_another_type_in_stock_is_taken_before_one_that_must_be_bought() -> None:
    """6 A ask for 8.24 A: no maxi fuse in stock is small enough for a 1.5 mm², a 10 A blade fuse is there."""
    proposal = with_stock('blade = ["10 A"]\nmaxi = ["60 A"]', size="1.5 mm2", fuse="maxi")
    assert fitted(proposal) == ("1.5 mm2", 10.0, "blade")
    assert not bought(proposal)


@pytest.mark.parametrize("size", ["", "2.5 mm2"])
def test_no_wire_grows_for_a_larger_type_that_is_in_stock(size: str) -> None:
    """6 A ask for 8.24 A: a 10 A blade fuse is bought, not a 100 A bolt-in fuse fitted with the cable it needs."""
    proposal = with_stock('mega = ["100 A"]', size=size)
    wire, rating, kind = fitted(proposal)
    assert (rating, kind) == (10.0, "blade")
    assert wire == (size or "0.5 mm2")
    assert [change.new for change in bought(proposal)] == ["10 A"]


def test_a_relay_that_is_not_at_hand_is_said_in_the_fix_and_in_the_proposal() -> None:
    """35 A of heating element: a 30 A contact is too small, and the stock has no other."""
    text = circuit_text("one", load("35 A", inrush=1), fuse={"kind": "maxi", "rating": "60 A"},
                        relay={"contact": "micro_30", "coil_feed": "battery_post", "suppression": "resistor"},
                        wire=cabin_wire("16 mm2", "0.5 m"))
    for stock, said in (('relay = ["micro_30"]', True), ('relay = ["micro_30", "maxi_70"]', False)):
        plan = around(f"[stock]\n{stock}\n{text}")
        [found] = [each for each in assess(plan, "road").findings if each.check == "relay-overloaded"]
        assert ("(not in stock)" in found.fix) == said, found.fix
        proposal = propose(plan, ROAD)
        [change] = [each for each in proposal.changes if each.path[-1] == "contact"]
        assert change.in_stock != said
        assert said or change.new == "maxi_70"


@pytest.mark.one_in(4)
@pytest.mark.parametrize("current", ["0.5 A", "3 A", "8 A", "12 A"])
@pytest.mark.parametrize("blades", ['["5 A", "10 A", "20 A"]', '["5 A"]'])
@pytest.mark.parametrize("kind", ["blade", "mini", None])
def test_no_small_load_gets_a_bolt_in_fuse(current: str, blades: str, kind: str | None) -> None:
    """Bolt-in fuses and some blades are at hand; the plan has more circuits with bolt-in fuses than others."""
    stock = f'[stock]\nblade = {blades}\nmidi = ["30 A", "40 A", "60 A"]\nmega = ["100 A"]\n'
    fuse = {} if kind is None else {"fuse": {"kind": kind}}
    large = "".join(circuit_text(f"heater_{number}", load("30 A", inrush=1), wire=cabin_wire("16 mm2", "0.5 m"),
                                 fuse={"kind": "midi", "rating": "60 A"}) for number in range(2))
    proposal = propose(around(stock + large + circuit_text(
        "one", load(current, inrush=1), wire=cabin_wire("6 mm2", "0.5 m"), **fuse)), ROAD, look_for_savings=False)
    view = proposal.after.circuit("one").fuse
    assert view is not None
    assert view.kind in ("blade", "mini")
    assert view.rating_a is not None


@pytest.mark.parametrize("twice", [["10 mm2", "10 mm2"], ["AWG 8", "AWG 8"]])
def test_a_size_listed_twice_is_one(twice: list[str]) -> None:
    """A step from a size to itself gains nothing and takes no copper: a drop's fix divided by it."""
    once = AtHand(Stock.model_validate({"wire": ["2.5 mm2", twice[0], "16 mm2"]}))
    listed = AtHand(Stock.model_validate({"wire": ["2.5 mm2", *twice, "16 mm2"]}))
    assert listed.sizes("mm2") == once.sizes("mm2")
    long = circuit_text("one", load("9 A"), wire=[{"size": "1.5 mm2", "length": "9 m", "zone": "cabin",
                                                   "insulation": "pvc105"}])
    found = [assess(around(f"[stock]\nwire = {sizes}\n{long}")).findings for sizes in (
        ["2.5 mm2", twice[0], "16 mm2"], ["2.5 mm2", *twice, "16 mm2"])]
    drops = [[each.fix for each in findings if each.check == "voltage-drop"] for findings in found]
    assert drops[0]
    assert drops[0] == drops[1]

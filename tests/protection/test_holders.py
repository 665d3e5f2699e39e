"""Holders and terminals: their names, their printed limits, and the finding that they govern.

Printed: push-on terminals TE catalogue 82004 p. 3-11; sealed contacts a connector-kit dealer's comparison; ring
terminals a cable dealer's table; holders Littelfuse MAH, FHA, FHM and 498 datasheets (second-hand).
"""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.errors import PlanError, TableError
from fuseplan.planfile.read import parse_plan
from fuseplan.tables.terminals import TERMINALS, holders, terminal_limit_a
from tests.plans import plan_of
from tests.protection.small import assessed, data, found


@pytest.mark.parametrize(("name", "area_mm2", "limit_a"), [
    ("flat_6.3", 2.09, 15.0), ("flat_6.3", 5.27, 24.0), ("flat_6.3", 10.0, 24.0), ("flat_2.8", 0.83, 4.0),
    # Between two gauges the thinner one answers: 2.5 mm² lies above No. 14 (2.08 mm²).
    ("flat_6.3", 2.5, 15.0), ("flat_6.3", 0.5, 3.0), ("sealed_20", 0.5, 7.5), ("sealed_16", 1.0, 13.0),
    ("sealed_12", 2.5, 22.0), ("ring_22", 22.0, 94.0), ("ring_38", 38.0, 132.0), ("ring_60", 60.0, 175.0)])
def test_printed_limits(name, area_mm2, limit_a):
    assert terminal_limit_a(name, area_mm2).value == limit_a


def test_every_name_has_words_and_a_limit():
    assert len(TERMINALS) >= 8
    for name, words in TERMINALS.items():
        assert words
        assert terminal_limit_a(name, 60.0) is not None
    assert terminal_limit_a("flat_6.3", 0.2) is None
    with pytest.raises(TableError, match=r"no terminal 'flat_9\.5' is on file"):
        terminal_limit_a("flat_9.5", 2.5)


@pytest.mark.parametrize(("line", "message"), [
    ('end = { terminal = "faston" }', "no terminal 'faston' is on file"),
    ('start = { terminal = "ring22" }', "no terminal 'ring22' is on file; the nearest known is 'ring_22'")])
def test_unknown_terminals_are_refused_with_their_line(line, message):
    text = f"""fuseplan = 1
[feed.post]
[earth.negative]
[circuit.fan]
feed = "post"
earth = "negative"
wire = [{{ size = "2.5 mm2", length = "1 m", {line} }}]
"""
    with pytest.raises(PlanError) as refused:
        parse_plan(text, "fan.toml")
    (problem,) = refused.value.problems
    assert message in problem.message
    assert "wire segment 1 of circuit 'fan'" in problem.message
    assert problem.line == 7


def test_unknown_sockets_are_refused():
    text = """fuseplan = 1
[feed.post]
[circuit.fan]
feed = "post"
relay = { contact = "mini_40", coil_feed = "post", socket = "round" }
"""
    with pytest.raises(PlanError, match="no socket terminal 'round' is on file"):
        parse_plan(text)


LOAD = {"current": "18 A", "kind": "motor"}


def test_the_rating_of_the_terminal_is_the_limit():
    plan = data(load=LOAD, rating="30 A", size="2.5 mm2")
    plan["circuit"]["lamp"]["wire"][0]["end"] = {"terminal": "flat_6.3"}
    (finding,) = found(assess(plan_of(plan)), "connection-overloaded")
    assert finding.limit == 15.0
    assert "the terminal's rating is the limit, not the wire" in finding.message
    assert finding.fields[0] == "circuit.lamp.wire.0.end.terminal"
    plan["circuit"]["lamp"]["wire"][0]["size"] = "6 mm2"
    assert not found(assess(plan_of(plan)), "connection-overloaded")


def test_the_rating_of_the_socket_is_the_limit():
    plan = data(load=LOAD, rating="30 A", size="2.5 mm2")
    plan["circuit"]["lamp"]["relay"] = {"contact": "mini_40", "coil_feed": "battery_post", "driver": "switch",
                                        "suppression": "diode", "socket": "flat_6.3"}
    (finding,) = found(assess(plan_of(plan)), "connection-overloaded")
    assert finding.fields[0] == "circuit.lamp.relay.socket"


def test_an_earth_named_like_a_feed_borrows_no_socket():
    plan = data(load=LOAD, rating="30 A", size="6 mm2", box={
        "wire": [{"size": "10 mm2", "length": "1 m", "zone": "place"}],
        "relay": {"contact": "maxi_70", "coil_feed": "battery_post", "driver": "switch", "suppression": "diode",
                  "socket": "ring_22"}})
    plan["earth"]["box"] = {"to": "negative", "wire": [{"size": "1 mm2", "length": "1 m", "zone": "place"}]}
    plan["circuit"]["lamp"]["earth"] = "box"
    assert not found(assess(plan_of(plan)), "connection-overloaded")


def test_a_fuse_above_its_holder_and_the_holder_that_bears_it():
    held = {"fuse": {"holder": "blade_in_line"}, "kind": "blade", "rating": "25 A", "size": "6 mm2"}
    (finding,) = found(assessed(**held), "connection-overloaded")
    assert (finding.figure, finding.limit) == (25.0, 20.0)
    assert "blade_in_line_heavy" in finding.fix
    assert not found(assessed(**{**held, "fuse": {"holder": "blade_in_line_heavy"}}), "connection-overloaded")


def test_a_holder_for_another_type():
    (finding,) = found(assessed(fuse={"holder": "maxi_in_line"}), "connection-overloaded")
    assert "a mini blade fuse does not fit" in finding.message
    assert all(holder.fuse_kind for holder in holders().values())

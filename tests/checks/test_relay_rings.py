"""Relays that wait for themselves: which are told, and that what hangs behind them is dead."""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import Assessment
from fuseplan.tables.relays import CONTACTS, contact_rating
from tests.checks.test_rules import assessed

FEED = """
[feed.{name}]
from = "{upstream}"
relay = {{ contact = "{contact}", coil_feed = "{coil}", driver = "ecu", driver_limit = "1 A", suppression = "diode" }}
"""
LAMP = """
[circuit.lamp]
feed = "{feed}"
fuse = {{ kind = "blade", rating = "10 A" }}
wire = [{{ size = "1.5 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }}]
earth = "body"
[[circuit.lamp.load]]
current = "3 A"
kind = "lamp"
when = ["hazard"]
evidence = "measured"
"""


def feed(name: str, coil: str, upstream: str = "bus", contact: str = "mini_40") -> str:
    return FEED.format(name=name, coil=coil, upstream=upstream, contact=contact)


def rings(assessment: Assessment) -> list[tuple[str, tuple[str, ...]]]:
    return [(each.subject, each.fields) for each in assessment.findings if each.check == "relay-cannot-pull-in"]


def test_a_coil_on_its_own_feed() -> None:
    found = assessed(feed("a", "a") + LAMP.format(feed="a"))
    assert rings(found) == [("a", ("feed.a.relay.coil_feed",))]
    assert not found.results.network.feed_live["a"].any()
    assert [each.subject for each in found.findings if each.check == "load-without-supply"] == ["lamp"]


def test_a_coil_is_fed_through_a_fuse_for_its_wires() -> None:
    """A bus has a fuse far too large for the wires of a coil; a feed for coils has its own."""
    wire = '[feed.coils]\nfrom = "bus"\nfuse = { kind = "blade", rating = "5 A" }\n'
    for others, small in (("", True), (wire + feed("other", "coils"), False)):
        found = assessed(feed("a", "a") + others)
        finding, = (each for each in found.findings if each.check == "relay-cannot-pull-in")
        assert finding.fix.startswith("feed the coil from what is live before it: " + ("bus" if small else "coils"))
        assert ("a fuse small enough for its coil wires" in finding.fix) is small, finding.fix


def test_a_coil_on_a_feed_that_hangs_on_it() -> None:
    found = assessed(feed("a", "c") + '[feed.b]\nfrom = "a"\n[feed.c]\nfrom = "b"\n')
    assert rings(found) == [("a", ("feed.a.relay.coil_feed",))]
    message, = (each.message for each in found.findings if each.check == "relay-cannot-pull-in")
    assert "a → c → b → a" in message
    assert not any(found.results.network.feed_live[name].any() for name in "abc")


@pytest.mark.parametrize("order", ["abc", "cba", "bac"])
def test_relays_that_feed_each_others_coils_in_a_circle(order: str) -> None:
    coil = {"a": "b", "b": "c", "c": "a"}
    found = assessed("".join(feed(name, coil[name]) for name in order))
    (_, fields), = rings(found)
    assert sorted(fields) == [f"feed.{name}.relay.coil_feed" for name in "abc"]
    assert not any(found.results.network.feed_live[name].any() for name in "abc")


def test_what_waits_for_such_a_relay_is_dead_but_not_told_again() -> None:
    found = assessed(feed("d", "a") + feed("a", "a"))
    assert rings(found) == [("a", ("feed.a.relay.coil_feed",))]
    assert not found.results.network.feed_live["d"].any()


def test_a_chain_of_relays_is_no_circle() -> None:
    found = assessed(feed("a", "b") + feed("b", "c") + feed("c", "bus"))
    assert rings(found) == []
    assert all(found.results.network.feed_live[name].all() for name in "abc")


def test_a_contact_closed_at_rest_in_its_own_coils_supply_chatters() -> None:
    found = assessed(feed("a", "a", contact="mini_40_nc"))
    message, = (each.message for each in found.findings if each.check == "relay-cannot-pull-in")
    assert "chatters" in message
    assert found.results.network.feed_live["a"].all()


PUMP = LAMP.replace("[circuit.lamp]", '[circuit.lamp]\nmust_stop = ["off"]').replace("hazard", "engine")


def at_rest(assessment: Assessment) -> list[tuple[str, str, str]]:
    return [(each.level, each.subject_kind, each.subject) for each in assessment.findings
            if each.check == "normally-closed-contact"]


@pytest.mark.parametrize(("circuit", "level"), [(LAMP, "advice"), (PUMP, "danger")])
def test_a_contact_closed_at_rest_is_live_whatever_its_coil_has(circuit: str, level: str) -> None:
    """On a circuit and on a feed ahead of it, straight or with another feed between; the key is told once."""
    relay = 'relay = { contact = "mini_40_nc", coil_feed = "ignition_bus", driver = "ecu", driver_limit = "1 A", ' \
            'suppression = "none" }\n'
    own = assessed(circuit.format(feed="bus").replace("earth =", relay + "earth ="))
    assert at_rest(own) == [(level, "circuit", "lamp")]
    assert own.results.network.circuit_live[0].all()
    assert not [each for each in own.findings if each.check in ("load-without-supply", "live-when-off")]
    shared = assessed(feed("a", "ignition_bus", contact="mini_40_nc") + '[feed.b]\nfrom = "a"\n' +
                      circuit.format(feed="b"))
    assert at_rest(shared) == [(level, "feed", "a")]
    assert shared.results.network.feed_live["b"].all()


@pytest.mark.parametrize("amps", [3, 20, 34, 45, 90])
@pytest.mark.parametrize("stock", ["", '[stock]\nrelay = ["mini_60", "maxi_70"]\n'])
def test_the_normally_open_contact_that_is_named_carries_the_load_and_is_at_hand(amps: int, stock: str) -> None:
    """At the temperature of its place, which is not that of the front of a data sheet; none is named where none on
    file does."""
    relay = 'relay = { contact = "mini_40_nc", coil_feed = "ignition_bus", driver = "switch", suppression = "diode" }\n'
    found = assessed(stock + LAMP.replace("hazard", "engine").replace('"3 A"', f'"{amps} A"').replace(
        "lamp\"\nwhen", "resistive\"\nwhen").format(feed="bus").replace("earth =", relay + "earth ="))
    [fix] = [each.fix for each in found.findings if each.check == "normally-closed-contact"]
    ambient_c = found.results.network.places.relay(("circuit", "lamp")).ambient_c
    fits = {name for name, entry in CONTACTS.items() if entry.contact == "NO"
            and (rated := contact_rating(name, ambient_c)) is not None and rated.value >= amps}
    named = {name for name in CONTACTS if f"({name})" in fix}
    assert named <= fits
    assert bool(named) == (amps < 40)  # at the regulator voltage 45 A are more than is printed for any
    assert "not in stock" not in fix or not fits & {"mini_60", "maxi_70"}

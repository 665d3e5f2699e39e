"""Relays and switches: what is on each pin, what its contact carries, what switches it."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.devices import FittedRelay, FittedSwitch
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.relays import loads_of
from fuseplan.papers.build_cells import CHECK, verdict_words
from fuseplan.papers.paper import MEMORY_MARK, Block, Cell, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.part_names import owner_title
from fuseplan.quantities import writing
from fuseplan.tables.building import relay_pins

_PINS = ("30", "87", "87a", "86", "85")
_RELAYS = (TableColumn("of", "Relay of"), TableColumn("type", "Contact"),
           TableColumn("current_a", "Carries", "A", True, "burden"), TableColumn("suppression", "Coil suppression"),
           TableColumn("driver", "Switched by"), TableColumn("socket", "Socket terminals"), CHECK)
_WIRED = (TableColumn("of", "Relay of"), *(TableColumn(f"pin_{pin}", pin) for pin in _PINS),
          TableColumn("checked", "Checked with a meter", fill_in=True))
_NUMBERS = (TableColumn("iso", "Socket, ISO 7588"), TableColumn("din", "Relay, DIN 72552"), TableColumn("what", "What"))
_SWITCHES = (TableColumn("of", "Switch of"), TableColumn("rating_a", "Rating", "A", True, "limit"),
             TableColumn("rated_for", "Rated for"), TableColumn("current_a", "Carries", "A", True, "burden"),
             TableColumn("wire", "Wire behind it"), CHECK)


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The relays, their pins, the switches."""
    facts = build_facts(assessment)
    relays, switches = facts.relays, facts.switches
    if not relays and not switches:
        yield Words("The plan has no relays and no switches.", "note")
        return
    yield Words("Find coil and contact pins with a meter, or by the diagram on the relay, before you wire it: makers "
                "number them differently. With a diode across the coil, 85 and 86 mixed up destroy the diode or what "
                "switches it.", "caution")
    if relays:
        yield Table("relays", _RELAYS, tuple(_relay(assessment, each) for each in relays), "Relays")
        yield Table("pins", _WIRED, tuple(_pins(assessment, each) for each in relays), "What is on their pins",
                    note="86 is the supply side of a coil and 85 its earth side. Where no wire is named there, the "
                         "plan has none: 86 and 85 then name the feed and what switches the coil, not which of the "
                         "two is on the supply side. With a diode across the coil 86 is plus: where the "
                         "positive post is earthed, such a relay has its supply on 85 and its earth on 86.")
        pins = relay_pins()
        yield Table("numbers", _NUMBERS, tuple(
            (f"{pin.iso}{MEMORY_MARK}", pin.din, pin.what) for pin in pins.value), "Numbers of the pins")
    if switches:
        yield Table("switches", _SWITCHES, tuple(_switch(assessment, each) for each in switches), "Plain switches")


def _relay(assessment: Assessment, fitted: FittedRelay) -> tuple[Cell, ...]:
    relay, name = fitted.relay, fitted.relay.contact.replace("_", " ")
    contact = f"{name}: {fitted.contact.words}" if fitted.contact is not None else f"{name}: not on file"
    return owner_title(assessment.plan, fitted.owner), contact, fitted.current_a, relay.suppression, \
        fitted.driver if relay.driver is not None else None, \
        None if relay.socket is None else relay.socket.replace("_", " "), verdict_words(assessment, fitted.owner)


def _pins(assessment: Assessment, fitted: FittedRelay) -> tuple[Cell, ...]:
    on_pin = dict(fitted.pins)
    return owner_title(assessment.plan, fitted.owner), *(on_pin.get(pin, writing.NONE) for pin in _PINS), ""


def _switch(assessment: Assessment, fitted: FittedSwitch) -> tuple[Cell, ...]:
    rating, kind = fitted.switch.rating, fitted.switch.rated_for
    return owner_title(assessment.plan, fitted.owner), None if rating is None else float(rating), \
        writing.NONE if rating is None else loads_of(kind) if kind else "resistive load", fitted.current_a, \
        ", ".join(fitted.wires) or "no wire in the plan", verdict_words(assessment, fitted.owner)


SHEET = Sheet("relays", "Relays and switches", 70, "every relay pin by pin, every plain switch with its current",
              blocks, landscape=True)

"""The change log: a line for every wire that is changed, and which wires lack theirs."""

from __future__ import annotations

from typing import Any

from fuseplan.plan.beside_the_car import Change
from fuseplan.plan.looms import Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, PinId, end_words, pin_at, pins_of
from fuseplan.plan.part_names import named_end, pin_words

CHANGED = ("extend", "new", "join", "cut_and_insulate")
"""Fates by which a wire is no longer what it was found as."""


def what_was_done(plan: Plan, at: PinId, pin: Pin) -> str:
    """What becomes of a wire, as the log says it: by ids, which stay when a plug gets another name."""
    return _done(at.words, pin, _joined_to(plan, pin))


def what_is_done(plan: Plan, at: PinId, pin: Pin) -> str:
    """The same by names."""
    to = _joined_to(plan, pin)
    return _done(pin_words(plan, at), pin, f" to {named_end(plan, pin.join_to)}" if to and pin.join_to is not None
                 and pin_at(plan, pin.join_to) is not None else to)


def _done(words: str, pin: Pin, to: str) -> str:
    named = words + (f", {pin.function}" if pin.function else "")
    added = f", {pin.extension.length} of wire added" if pin.extension is not None and pin.fate not in GONE else ""
    return f"{named}: {_WORDS[pin.fate]}{to}{added}"


def _joined_to(plan: Plan, pin: Pin) -> str:
    """What a wire is joined to, behind 'joined'; nothing for one that is not."""
    if pin.fate != "join":
        return ""
    return f" to {end_words(plan, pin.join_to)}" if pin.join_to is not None and (
        pin.join_to.connector or pin.join_to.pin) else ", to what is open"


def _tells_of(plan: Plan, change: Change, pin: Pin) -> bool:
    """Whether a line of the log tells what a wire is now: one that says it is joined must say to what."""
    own = f": {_WORDS['join']}"
    at = change.what.rfind(own)
    return pin.fate != "join" or at < 0 or change.what[at + len(own):].startswith(_joined_to(plan, pin))


_WORDS = {"extend": "made longer", "new": "new wire", "join": "joined", "cut_and_insulate": "cut off, end insulated"}


def logged(plan: Plan) -> set[PinId]:
    """The pins of which the log has a line, the last of which still tells what is so."""
    found = {at: change for change in plan.change if (at := pin_at(plan, change.wire)) is not None}
    return {at for at, change in found.items() if _tells_of(plan, change, at.of(plan))}


def unlogged(plan: Plan) -> list[tuple[PinId, Pin]]:
    """Changed wires of which the log says nothing, in the order of the plan."""
    known = logged(plan)
    return [(at, pin) for at, _, pin in pins_of(plan) if pin.fate in CHANGED and at not in known]


def line(plan: Plan, at: PinId, pin: Pin, date: str, why: str | None = None) -> dict[str, Any]:
    """A line of the log as the plan's file has it: date, what, why, and the wire."""
    found: dict[str, Any] = {"date": date, "what": what_was_done(plan, at, pin)}
    if why:
        found["why"] = why
    return found | {"wire": {"connector": at.connector, "pin": at.pin}}

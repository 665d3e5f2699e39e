"""Figures of one part of a plan that cannot stand beside each other, each with both keys and what is accepted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fuseplan.errors import AmountError
from fuseplan.quantities.amounts import CURRENT, SPEED, Amount, Dimension, amount, clean

LASTING = ("continuous", "prolonged")


def contradictions(kind: str, part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """(key, what is wrong and what is accepted) of a part as the file has it; values that are no figures are passed
    over."""
    if kind == "alternator":
        yield from _alternator(part)
    elif kind == "load":
        yield from _load(part)
    elif kind == "condition":
        yield from _condition(part)
    elif kind == "fuse_box":
        yield from _fuse_box(part)
    elif kind in ("circuit", "feed", "earth"):
        yield from _order(part)
    if kind in ON_THE_WAY:
        yield from _at_the_root(kind, part)


ON_THE_WAY = {
    "feed": ("from", {"wire": "the wire from the feed it comes from"}),
    "earth": ("to", {"wire": "the strap or cable to the earth point it leads to",
                     "resistance": "panels and joints on the way to the earth point it leads to",
                     "switch": "an isolator in the lead to the earth point it leads to"}),
}
"""What of a feed and an earth point lies between it and the next, by its key, and the key that names the next."""


def _at_the_root(kind: str, part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    key, between = ON_THE_WAY[kind]
    for name, words in between.items():
        if name in part and part[name] != [] and key not in part:
            yield name, (f"`{name}` is {words}, but this one has no `{key}`; accepted is on the one whose way it is "
                         "on, or, of the battery itself, `battery.internal_resistance`")


def _order(part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    wire = part.get("wire", [])
    for key, word in (("relay", "wire_before"), ("switch", "wire_before"), ("second_battery", "converter_before")):
        device = part.get(key)
        before = device.get(word) if isinstance(device, dict) else None
        if isinstance(before, int) and isinstance(wire, list) and before > len(wire):
            yield key, (f"`{key}` has {before} as `{word}`, but `wire` has {len(wire)} segments; accepted is no "
                        "more than there are")
    relay = part.get("relay")
    if isinstance(relay, dict):
        yield from _coil(relay)


def _coil(relay: dict[str, Any]) -> Iterator[tuple[str, str]]:
    driver, side, before = (relay.get(key) for key in ("driver", "driver_side", "driver_before"))
    if driver is None and (side is not None or before is not None):
        yield "relay", ("`relay` says on which side or behind which wire its coil is switched, but not by what; "
                        "accepted is that with `driver`")
    side = side or ("earth" if driver == "ecu" else "supply")
    key = "wire_85" if side == "earth" else "wire_86"
    wire = relay.get(key, [])
    if isinstance(before, int) and isinstance(wire, list) and before > len(wire):
        yield "relay", (f"`relay` has {before} as `driver_before`, but its `{key}` has {len(wire)} segments; accepted "
                        "is no more than there are")


def _figure(part: dict[str, Any], key: str, dimension: Dimension) -> Amount | None:
    try:
        return amount(part[key], dimension) if key in part else None
    except AmountError:
        return None


def _alternator(part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    rated, low = _figure(part, "rated", CURRENT), _figure(part, "low_speed", CURRENT)
    if rated is not None and low is not None and low > rated:
        yield "low_speed", (f"`low_speed` is {low}, more than `rated`, {rated}; accepted is an output at 1500 r/min "
                            "that is no higher than that at 6000 r/min")
    curve = part.get("curve")
    given = [_figure(point, "current", CURRENT) for point in curve if isinstance(point, dict)] \
        if isinstance(curve, list) else []
    if given and all(each is not None and float(each) == 0.0 for each in given):
        yield "curve", "`curve` has no current above 0 A; accepted is at least one point at which it gives something"
    for key, what in (("sense_feed", "where a sense lead ends"), ("sense_lead", "a sense lead's circuit")):
        if key in part and part.get("sense") != "battery":
            yield key, f"`{key}` is {what}, but `sense` states none; accepted is `sense` as battery beside it"
    yield from _dynamo(part)


def _dynamo(part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    dynamo = part.get("machine") == "dynamo"
    for key in ("cut_in", "full_output"):
        if key in part and not dynamo:
            yield key, f'`{key}` is of a dynamo; accepted with `machine = "dynamo"`'
    low, high = _figure(part, "cut_in", SPEED), _figure(part, "full_output", SPEED)
    if low is not None and high is not None and low >= high:
        yield "full_output", f"`full_output` is {high}, `cut_in` {low}; accepted is a speed of full output above it"


def _load(part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    span = part.get("range")
    if isinstance(span, list) and len(span) == 2:
        try:
            low, high = (amount(value, CURRENT) for value in span)
        except AmountError:
            return
        if low > high:
            yield "range", f"`range` goes from {low} down to {high}; accepted is the lower figure first"
    current, peak = _figure(part, "current", CURRENT), _figure(part, "pulse_peak", CURRENT)
    if current is not None and peak is not None:
        ramp = part.get("pulse_shape") == "ramp"
        least = float(current) * (2.0 if ramp else 1.0)
        if float(peak) < least:
            yield "pulse_peak", (f"`pulse_peak` is {peak} with a mean `current` of {current}; accepted is "
                                 + ("twice the mean or more: a pulse that rises from nothing cannot have less" if ramp
                                    else "the mean or more"))
    locked = [key for key in ("locked_current", "locked_at") if key in part]
    if len(locked) == 1:
        other = "locked_at" if locked[0] == "locked_current" else "locked_current"
        yield locked[0], (f"`{locked[0]}` stands without `{other}`; accepted are both figures of the locked point, or "
                          "none")
    duty, use = part.get("duty"), part.get("use", LASTING[0])
    if isinstance(duty, int | float) and not isinstance(duty, bool) and duty == 0 and use in LASTING:
        yield "duty", (f"`duty` is 0 while `use` is {use}: the load would count as nothing in every average; "
                       "accepted is a share above 0")


def _condition(part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    engine = _figure(part, "engine", SPEED)
    if part.get("state") == "running" and engine is not None and float(engine) == 0:
        yield "engine", (f"`engine` is {engine} while `state` is running; accepted is the speed at which the engine "
                         "runs, or another state")


def _fuse_box(part: dict[str, Any]) -> Iterator[tuple[str, str]]:
    rows, columns, numbered = (part.get(key) for key in ("rows", "columns", "numbered"))
    feeds, own = part.get("row_feed"), part.get("position")
    if isinstance(numbered, str):
        if not numbered[-1:].isdecimal() or not numbered[-1:].isascii():
            yield "numbered", (f"`numbered` is '{clean(numbered)}', which ends in no number to count on from; accepted "
                               "is a name such as F1")
        elif rows is None or columns is None:
            yield "numbered", "`numbered` without `rows` and `columns`; accepted is all three: they say how many"
    for key in ("rows", "row_feed"):
        if columns is None and part.get(key):
            yield key, f"`{key}` without `columns`; accepted is with it: it says how many positions are in a row"
    if isinstance(rows, int) and isinstance(feeds, list) and len(feeds) > rows:
        yield "row_feed", (f"`row_feed` names {len(feeds)} rows, `rows` is {rows}; accepted is one feed a row at most")
    if isinstance(rows, int) and isinstance(columns, int) and isinstance(own, dict) and numbered is None \
            and len(own) > rows * columns:
        yield "position", (f"`position` lists {len(own)} positions, `rows` × `columns` are {rows * columns}; accepted "
                           "are no more positions than places")

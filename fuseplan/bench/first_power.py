"""The order of first power, made from the plan: outwards along the feeds, permanent ones first, lowest current first,
each through a series lamp; the control unit is plugged in last, fuel and spark wait until the engine has been cranked.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

from fuseplan.bench.expected import expected
from fuseplan.bench.limits import PLUG_SUPPLY_V
from fuseplan.bench.model import STATIC_STATES, bench_model
from fuseplan.bench.plug_points import DEAD_V, plugs
from fuseplan.bench.points import points
from fuseplan.bench.series_lamp import BULB_W, SPARE, Glow, SeriesLamp, behind, lamp_for
from fuseplan.bench.signatures import StageKey
from fuseplan.bench.turns import Turn, turn_of
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.idle_feeds import idle_feeds
from fuseplan.plan.model import Circuit
from fuseplan.plan.words import OTHER_POST, State
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.address import joined

STAGE_OF_TURN: dict[Turn, StageKey] = {"usual": "control_unit", "control unit": "cranking", "starter": "cranking",
                                       "fuel": "driving", "ignition": "driving"}
"""Before which stage the circuits of each turn have had their first power."""
_LAST: dict[Turn, int] = {"usual": 0, "control unit": 1, "starter": 2, "fuel": 3, "ignition": 4}
KEY: dict[State, str] = {"off": "key off", "accessory": "key in accessory", "ignition": "key on, engine off",
                         "crank": "cranking", "running": "engine running", "run_on": "run-on after switch-off"}


@dataclass(frozen=True)
class Step:
    """One step of first power."""

    kind: Literal["feed", "circuit", "plug"]
    """``plug``: the control unit is plugged in."""
    subject: str
    """Id of the feed or circuit; empty for a plug."""
    title: str
    turn: Turn
    key: str
    """Where the key is."""
    words: str
    """What to do."""
    lamp: SeriesLamp | None
    """The bulb in the place of its fuse; None for a feed that has none and is live with the one before it."""
    limit_a: float | None
    """What a bench supply in the bulb's place is limited to [A]; None where the current is not known."""
    glow: Glow | None
    """What the bulb should show; None without one."""
    unplugged: bool
    """The loads are unplugged while the bulb is in the fuse's place."""
    current_a: float | None
    """Expected with the real fuse [A]; None where it is not known."""


def first_power(assessment: Assessment) -> tuple[Step, ...]:
    """The steps in their order."""
    steps = [*_feeds(assessment), *_circuits(assessment)]
    steps += _plug(assessment, [step for step in steps if step.turn == "control unit"])
    states = {state: place for place, state in enumerate(STATIC_STATES)}
    feeds = {name: place for place, name in enumerate(assessment.results.network.feed_ids)}

    def rank(step: Step) -> tuple[float, ...]:
        if step.kind == "feed":
            return (0, states.get(_state_of_feed(assessment, step.subject), 9), feeds[step.subject], 0, 0.0)
        if step.kind == "plug":
            return (_LAST[step.turn], math.inf, 0, 0, 0.0)
        state = bench_model(assessment).static.get(step.subject, "off")
        feed = assessment.plan.circuit[step.subject].feed or ""
        # Within one position of the key each feed is followed by its circuits, the smallest current first.
        return (_LAST[step.turn], states[state], feeds.get(feed, 0) if step.turn == "usual" else 0, 1,
                math.inf if step.current_a is None else step.current_a)

    return tuple(sorted(steps, key=rank))


def _state_of_feed(assessment: Assessment, feed: str) -> State:
    live = assessment.results.network.feed_live[feed]
    return next((state for state in STATIC_STATES if live[STATE_INDEX[state]]), "crank")


def _feeds(assessment: Assessment) -> Iterator[Step]:
    """Feed by feed; one with nothing on it yet stays without its fuse."""
    plan, idle = assessment.plan, idle_feeds(assessment.plan)
    for name in assessment.results.network.feed_ids:
        feed = plan.feed.get(name)
        state = None if feed is None or name in idle else _state_of_feed(assessment, name)
        if feed is None or state == "crank" or state is None:
            continue
        lamp: SeriesLamp | None = SeriesLamp(BULB_W, assessment.results.network.system_v)
        assert lamp is not None
        if feed.upstream is None:
            words = ("All fuses out, everything unplugged. Look at the signs beside the battery's posts, put the live "
                     f"lead on the {OTHER_POST[plan.vehicle.earthed]} one, then the earth lead through a {lamp.words}: "
                     "dark. Then connect it.")
        elif feed.fuse is not None:
            words = f"A {lamp.words} in the place of its fuse: dark. Then its fuse."
        else:
            words, lamp = "It has no fuse of its own: it is live now. Read its volts.", None
        yield Step("feed", name, feed.name or name, "usual", KEY[state], words, lamp, None,
                   None if lamp is None else Glow(0.0, 0.0, 0.0), True, 0.0)


def _circuits(assessment: Assessment) -> Iterator[Step]:
    model, at = bench_model(assessment), points(assessment)
    volts = assessment.results.network.system_v * 1.05
    for name, state in model.static.items():
        circuit = assessment.plan.circuit[name]
        meant = expected(assessment, at[joined(("circuit", name, "current"))], "alone")
        filaments = any(load.kind in ("lamp", None) for load in circuit.load)
        # A cold filament behind the bulb looks like a short: unplug it.
        lamp = None if meant.high is None or filaments else lamp_for(meant.high, assessment.results.network.system_v)
        unplugged = lamp is None
        turn = turn_of(name, circuit)
        lamp = lamp or SeriesLamp(BULB_W, assessment.results.network.system_v)
        glow = Glow(0.0, 0.0, 0.0) if unplugged or not meant.high else behind(lamp, volts, volts / meant.high)
        limit = None if meant.high is None else SPARE * meant.high
        words = _circuit_words(turn, lamp, unplugged, limit, circuit.fuse is not None, _driver(assessment, name))
        yield Step("circuit", name, circuit.name or name, turn, KEY[state],
                   words + _second_battery_words(circuit, assessment.results.network.system_v), lamp, limit, glow,
                   unplugged, meant.value)
    yield from _later(assessment)


def _later(assessment: Assessment) -> Iterator[Step]:
    """Circuits that are on only while cranking or with the engine running, or of which nothing is known: their wires
    are tried now."""
    static, consumers = bench_model(assessment).static, assessment.results.network.consumers
    stated = set(consumers.circuit[consumers.kind == LOAD].tolist())
    for name, circuit in assessment.plan.circuit.items():
        if name in static or circuit.out_of_scope is not None or circuit.fuse is None:
            continue
        turn = turn_of(name, circuit)
        lamp = SeriesLamp(BULB_W, assessment.results.network.system_v)
        when = "it is on only while cranking or with the engine running, and is read then." \
            if assessment.circuit_index[name] in stated else \
            "the plan does not say what it draws. Read its amps and enter them."
        words = (f"{_BEFORE[turn]}Loads unplugged. A {lamp.words} in the place of its fuse: dark. Then plug in and "
                 f"fit its fuse: {when}{_second_battery_words(circuit, lamp.rated_v)}")
        yield Step("circuit", name, circuit.name or name, turn, KEY["off"], words, lamp, None, Glow(0.0, 0.0, 0.0),
                   True, None)


def _second_battery_words(circuit: Circuit, system_v: float) -> str:
    """How the second battery at the far end of a circuit is connected, once the circuit has been tried without it."""
    if circuit.second_battery is None:
        return ""
    fused = circuit.second_battery.fuse is not None
    first, last = ("its fuse out, ", "Then its fuse.") if fused else ("", "")
    return (f" Then the second battery: {first}look at the signs beside its posts, put its live lead on, then its "
            f"earth lead through a {SeriesLamp(BULB_W, system_v).words}: dark. Then connect it. {last}").rstrip()


EARTH_PIN_V = 0.005
"""An earth pin of an open plug has less, as nothing flows. Common practice, no source."""


def _plug(assessment: Assessment, units: Sequence[Step]) -> Iterator[Step]:
    """The control unit is plugged in, when all its fuses are in and its open plug shows what it should."""
    if not units:
        return
    system_v = assessment.results.network.system_v
    every = plugs(assessment.plan) if assessment.plan.connector else ()
    open_plugs = [each for each in every if each.is_control_unit]
    supplies, earths, signals = (
        _pins([(each.name, pins) for each in open_plugs for pins in [getattr(each, kind)] if pins])
        for kind in ("live", "earths", "signals"))
    of = " (of " + "; ".join(dict.fromkeys(step.title for step in units)) + ")"
    bulb = SeriesLamp(BULB_W, system_v).words
    words = (f"Its fuses are in, its plug is out. At the open plug, to battery {assessment.plan.vehicle.earthed}: each "
             "supply pin"
             f"{supplies or of} {writing.stated(PLUG_SUPPLY_V * system_v / 12.0, 'V')} or more; each earth pin{earths} "
             f"less than {writing.stated(1e3 * EARTH_PIN_V, 'mV')}; each other pin{signals} less than "
             f"{writing.stated(DEAD_V, 'V')}, but for those a lamp or a coil feeds. A {bulb} from a supply pin to each "
             "earth pin: full light, as no meter tells an open earth here. Then key off, plug it in, key on: amps and "
             "volts.")
    yield Step("plug", "", "Control unit: plug it in", "control unit", KEY["ignition"], words, None, None, None, False,
               None)


def _pins(found: Sequence[tuple[str, tuple[str, ...]]]) -> str:
    """Pins in words, plug by plug; empty without any."""
    words = "; ".join(" ".join((name, ", ".join(pins))) for name, pins in found)
    return f" ({words})" if found else ""


def _driver(assessment: Assessment, name: str) -> str | None:
    relay = assessment.plan.circuit[name].relay
    return None if relay is None else relay.driver


_BEFORE: dict[Turn, str] = {
    "usual": "", "starter": "Gear out, hands and clothing clear. ",
    "control unit": "The control unit's plug stays out. ",
    "fuel": "Only after cranking has been tested. No leaks, extinguisher to hand. ",
    "ignition": "Only after cranking has been tested, and last of all. "}


def _circuit_words(turn: Turn, lamp: SeriesLamp, unplugged: bool, limit_a: float | None, fused: bool,
                   driver: str | None) -> str:
    before = _BEFORE[turn]
    plugs = "Loads unplugged. " if unplugged else ""
    place = "in the place of its fuse" if fused else "in its supply wire"
    supply = "" if limit_a is None or limit_a <= 0 else \
        f" (or a bench supply limited to {writing.burden(limit_a, 'A')}, loads plugged in)"
    plug_in, fit = "plug in, " if unplugged else "", "fit its fuse" if fused else "take the bulb out"
    after = "Then its fuse: volts at the open plug." if turn == "control unit" else \
        f"Then switch off, {plug_in}{fit}, switch on: amps and volts."
    bridge = " The control unit drives its relay: use the output test, or bridge 30 to 87 with a fused lead." \
        if driver == "ecu" else ""
    return f"{before}{plugs}A {lamp.words} {place}, switched on: dark{supply}. {after}{bridge}"

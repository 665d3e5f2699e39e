"""Two looms becoming one: each function that is wanted, against what the looms of car and engine offer."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from typing import Literal, get_args

from fuseplan.looms.functions import NO_SOURCE, Function, Side, function_of, functions
from fuseplan.plan.mating import normal, signal_words
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, Net, Nets, PinId, pins_of
from fuseplan.plan.part_names import in_words, pin_words
from fuseplan.quantities.listing import all_of
from fuseplan.records import dataclass

State = Literal["missing", "mismatched", "doubled", "not known", "not joined", "matched", "one side only"]
STATES: tuple[State, ...] = get_args(State)
"""What becomes of a function, worst first."""
_SIDES: dict[str, Side] = {"chassis": "car", "engine": "engine", "donor": "engine"}


@dataclass(frozen=True)
class Offer:
    """One wire of a loom that does a function: its pins, those joined to one another once."""

    loom: str
    pins: tuple[PinId, ...]


@dataclass(frozen=True)
class Merge:
    """One function.

    Attributes:
        function: id where it is on file, else its own words
        car, engine: wires that offer it; those of a new loom stand on both sides
        words: what is so, in a sentence's middle
        to_do: what can be done, in general terms; empty where nothing is to be done
        measure: how what is not known is found out
    """

    function: str
    name: str
    group: str
    state: State
    car: tuple[Offer, ...]
    engine: tuple[Offer, ...]
    words: str
    to_do: str
    measure: str
    source: str

    @property
    def is_open(self) -> bool:
        """Whether something is to be done or found out."""
        return self.state not in ("matched", "one side only")


class _Looms:
    def __init__(self, plan: Plan) -> None:
        self.plan, self.nets = plan, Nets(plan)
        self.by_words: dict[str, list[PinId]] = defaultdict(list)
        self.names: dict[str, str] = {}
        for at, connector, pin in pins_of(plan):
            if pin.function is not None and pin.fate not in GONE and connector.loom is not None:
                known = function_of(pin.function)
                words = known.id if known is not None else normal(pin.function)
                self.by_words[words].append(at)
                self.names.setdefault(words, pin.function)

    def named(self, looms: Iterable[str]) -> str:
        """Looms in the middle of a sentence."""
        return all_of([in_words(self.plan, "loom", name) for name in looms])

    def kind(self, loom: str) -> str:
        return self.plan.loom[loom].kind

    def offers(self, words: str) -> list[Offer]:
        found: dict[tuple[str, int], list[PinId]] = defaultdict(list)
        for at in self.by_words.get(words, ()):
            loom = self.plan.connector[at.connector].loom
            if loom is not None:
                found[loom, id(self.nets.of(at))].append(at)
        return [Offer(loom, tuple(pins)) for (loom, _), pins in found.items()]

    def side(self, offers: list[Offer], side: Side) -> tuple[Offer, ...]:
        return tuple(each for each in offers if _SIDES.get(self.kind(each.loom), side) == side)

    def net(self, offer: Offer) -> Net:
        return self.nets.of(offer.pins[0])


def merges(plan: Plan) -> list[Merge]:
    """Every function that is wanted or offered, those on file in their order, then those the plan alone names.

    Empty for a plan without looms: then nothing is to be merged.
    """
    if not plan.loom:
        return []
    looms = _Looms(plan)
    found = [each for function in functions().values() if (each := _of(looms, function)) is not None]
    own = [words for words in looms.by_words if words not in functions()]
    return found + [_own(looms, words) for words in own]


def counts(found: list[Merge]) -> dict[State, int]:
    """How many functions are in which state; states without any are left out."""
    counted = Counter(each.state for each in found)
    return {state: counted[state] for state in STATES if counted[state]}


def _of(looms: _Looms, function: Function) -> Merge | None:
    offers = looms.offers(function.id)
    if not offers and function.wanted == "found":
        return None
    car, engine = looms.side(offers, "car"), looms.side(offers, "engine")
    state, words, to_do = _judged(looms, function, car, engine, offers)
    return Merge(function.id, function.name, function.group, state, car, engine, words, to_do, function.measure,
                 function.source)


def _judged(looms: _Looms, function: Function, car: tuple[Offer, ...], engine: tuple[Offer, ...],
            offers: list[Offer]) -> tuple[State, str, str]:
    if not offers:
        return "missing", "no loom offers it", function.missing or f"{function.missing_car}; {function.missing_engine}"
    if function.sides == "one":
        kinds = list(dict.fromkeys(each.loom for each in offers))
        if len(kinds) > 1 and len({id(looms.net(each)) for each in offers}) > 1:
            return "doubled", f"{looms.named(kinds)} bring it", function.doubled or _KEEP_ONE
        return _alike(looms, function, offers) or ("matched", f"{looms.named(kinds)} brings it", "")
    if not engine:
        return "missing", "nothing on the engine's side offers it", function.missing_engine
    if not car:
        return "missing", "nothing on the car's side takes it", function.missing_car
    doubled = _doubled(looms, car) or _doubled(looms, engine)
    if doubled:
        return "doubled", doubled, function.doubled or _KEEP_ONE
    wrong = _alike(looms, function, offers)
    if wrong is not None:
        return wrong
    here, there = (pin_words(looms.plan, side[0].pins[0]) for side in (car, engine))
    if not {id(looms.net(each)) for each in car} & {id(looms.net(each)) for each in engine}:
        return ("not joined", f"{here} and {there} are not joined yet",
                f"join {there} to {here}, through the plug between the looms or by a splice")
    return "matched", f"{here} to {there}", ""


_KEEP_ONE = "keep one; cut the other off and insulate it"


def _doubled(looms: _Looms, offers: tuple[Offer, ...]) -> str:
    """The looms of one side that both bring a function; empty where one does."""
    names = list(dict.fromkeys(each.loom for each in offers if looms.kind(each.loom) != "new"))
    return f"{looms.named(names)} bring it" if len(names) > 1 else ""


def _alike(looms: _Looms, function: Function, offers: list[Offer]) -> tuple[State, str, str] | None:
    """What is not alike on the wires that are to meet, or is not known to be; None where all is well."""
    pins = [(at, at.of(looms.plan)) for each in offers for at in each.pins]
    signals = {pin.signal: at for at, pin in pins if pin.signal is not None}
    to_do = function.mismatched or "take the part that belongs to the other side, or a converter made for both"
    if len(signals) > 1:
        words = ", ".join(f"{signal_words(signal)} at {pin_words(looms.plan, at)}" for signal, at in signals.items())
        return "mismatched", words, to_do
    stated = {normal(pin.characteristic): at for at, pin in pins if pin.characteristic is not None}
    if len(stated) > 1:
        words = ", ".join(f"{at.of(looms.plan).characteristic} at {pin_words(looms.plan, at)}" for at in
                          stated.values())
        return "mismatched", words, to_do
    if function.compare and function.sides == "both":
        silent = [offer for offer in offers if all(at.of(looms.plan).characteristic is None for at in offer.pins)]
        if silent:
            where = " and ".join(pin_words(looms.plan, offer.pins[0]) for offer in silent[:2])
            return "not known", f"{function.compare}: not entered for {where}", f"compare {function.compare}"
    return None


def _own(looms: _Looms, words: str) -> Merge:
    """A function that is on file nowhere: only what the plan itself says of it."""
    offers = looms.offers(words)
    car, engine = looms.side(offers, "car"), looms.side(offers, "engine")
    function = Function(words, looms.names[words], "other", "one", "found", "")
    wrong = _alike(looms, function, offers)
    state: State = "one side only"
    said, to_do = f"{looms.named([offers[0].loom])} brings it", ""
    if wrong is not None:
        state, said, to_do = wrong
    elif car and engine and any(looms.kind(each.loom) != "new" for each in offers):
        shared = {id(looms.net(each)) for each in car} & {id(looms.net(each)) for each in engine}
        one, other = (pin_words(looms.plan, side[0].pins[0]) for side in (car, engine))
        state, said, to_do = ("matched", f"{one} to {other}", "") if shared else (
            "not joined", f"{one} and {other} are not joined yet", f"join them, or {_KEEP_ONE}")
    return Merge(words, looms.names[words], "other", state, car, engine, said, to_do, "", NO_SOURCE)

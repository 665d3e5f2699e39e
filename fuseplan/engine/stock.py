"""What a proposal or a fix takes first: the parts at hand, else those that are on every shelf.

Nothing unsafe is ever taken because it is at hand: what fits is found first, and the stock only chooses among that.
Where nothing at hand fits, what is needed is named all the same, with the words that it is not in stock.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from fuseplan.engine.at_limit import at_most
from fuseplan.errors import AmountError, TableError
from fuseplan.plan.parts import Fuse
from fuseplan.plan.stock import Stock
from fuseplan.plan.words import FUSE_KINDS
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables import relays as relay_tables

LEAST_BLADE_A, MOST_BLADE_A = 5.0, 30.0
"""Blade fuses outside this range are hardly on any shelf, and those below blow at a touch of a lamp's surge: none is
proposed where one inside fits. Whoever has others lists them. Common practice, no source."""
BLADES = ("blade", "mini", "micro2", "micro3")
SMALLEST_MM2 = 0.5
"""Smallest size proposed; thinner wire on its own breaks (common practice, no source)."""
NOT_IN_STOCK = " (not in stock)"
BRITISH = "glass_british"
"""The type of fuse whose mark is the current it blows at, twice what it carries."""
LARGER = {"micro2": "mini", "micro3": "mini", "mini": "blade", "glass": "blade", BRITISH: "blade",
          "ceramic": "blade", "blade": "maxi", "jcase": "midi", "maxi": "midi", "midi": "mega"}
"""The next larger type, where the ratings of one end. Each needs a holder of its own."""


class Size(NamedTuple):
    """A size of wire on file."""

    words: str
    area_mm2: float
    ohm_per_m: float


@lru_cache(maxsize=64)
def ladder(kind: str) -> tuple[float, ...]:
    """Standard ratings of a type in A, ascending; empty where none are on file."""
    found = fuse_tables.ratings(kind)
    return () if found is None else found.value


def marked_to_blow_at(rating_a: float) -> float | None:
    """What a British glass fuse carries that is marked with a rating, as the current it blows at [A]; None where none
    is marked so."""
    return rating_a / 2.0 if rating_a / 2.0 in ladder(BRITISH) else None


def in_range(rating_a: float, low_a: float, high_a: float) -> bool:
    """Whether a rating is known to carry the load and to be allowed by what it protects."""
    return at_most(low_a, rating_a) and at_most(rating_a, high_a)


def ratings_between(kind: str, low_a: float, high_a: float = math.inf) -> tuple[float, ...]:
    """Standard ratings of a type from what the load needs to what is allowed, ascending; empty where one of them is
    NaN."""
    return tuple(step for step in ladder(kind) if in_range(step, low_a, high_a))


def size_words(system: str, name: str) -> str:
    """A standard size as the plan writes it: ``2.5 mm2``, ``AWG 14``."""
    return f"{name} mm2" if system == "mm2" else f"{system} {name}"


def usual_ratings(kind: str) -> tuple[float, ...]:
    """Ratings of a type that are on every shelf, ascending."""
    return tuple(step for step in ladder(kind) if LEAST_BLADE_A <= step <= MOST_BLADE_A) if kind in BLADES else \
        ladder(kind)


def larger_types(kind: str) -> list[str]:
    """The larger types in their order."""
    chain: list[str] = []
    while kind in LARGER:
        kind = LARGER[kind]
        chain.append(kind)
    return chain


def largest_on_file_a(kind: str) -> float:
    """The largest rating of a type and of the larger ones [A]; 0 where none is on file."""
    return max((rating for each in (kind, *larger_types(kind)) for rating in ladder(each)), default=0.0)


def may_change_type(fuse: Fuse) -> bool:
    """Whether a larger type can go there: no position of a fuse box and no holder is named, which takes its own
    alone."""
    return fuse.position is None and fuse.holder is None


class AtHand:
    """The stock of one plan."""

    def __init__(self, stock: Stock | None) -> None:
        self._fuses: dict[str, tuple[float, ...]] = {} if stock is None else {
            kind: tuple(sorted(float(each) for each in getattr(stock, kind)))
            for kind in FUSE_KINDS if getattr(stock, kind, ())}
        self._wires = () if stock is None else tuple(stock.wire)
        self._relays: tuple[str, ...] = () if stock is None else stock.relay
        # A size listed twice, or in two systems, is one step.
        listed = {size.area_mm2: size for size in reversed([*map(_size, self._wires)]) if size is not None}
        self._sizes = [listed[area] for area in sorted(listed)]
        self._named = {(size.system, size.name) for size in self._wires}

    # --- fuses -------------------------------------------------------------------------------------------------

    def ratings(self, kind: str) -> tuple[float, ...]:
        """Standard ratings of a type taken first: those listed, else the usual ones where the plan lists none of any
        type."""
        return tuple(step for step in ladder(kind) if step in self.listed(kind)) if self._fuses else usual_ratings(kind)

    @property
    def words(self) -> str:
        """What those taken first are called."""
        return "rating in stock" if self._fuses else "standard rating"

    @property
    def lists_fuses(self) -> bool:
        """Whether the plan lists any fuse."""
        return bool(self._fuses)

    def preferred(self, kind: str, fits: Sequence[float]) -> list[float]:
        """Of ratings that fit those taken first; all of them where none is."""
        first = self.ratings(kind)
        return [step for step in fits if step in first] or list(fits)

    def next_rating(self, kind: str, need_a: float, most_a: float = math.inf) -> float | None:
        """The smallest rating of a type that is enough for `need_a`, up to `most_a` where there is one, one at hand
        before any other. None where none is sold."""
        fits = ratings_between(kind, need_a, most_a) or ratings_between(kind, need_a)
        return next(iter(self.preferred(kind, fits)), None)

    def larger_type(self, kind: str, need_a: float) -> str | None:
        """The next larger type with a rating of at least `need_a`, one at hand before any other; None where none is
        sold."""
        chain = larger_types(kind)
        return next((each for each in chain if self._carries(self.ratings(each), need_a)),
                    next((each for each in chain if ratings_between(each, need_a)), None))

    def instead(self, fuse: Fuse, need_a: float) -> str | None:
        """The larger type that is fitted where no rating of a fuse's own type at hand, nor a usual one, is enough for
        `need_a`, and one of a larger type at hand is; None where the fuse keeps its type."""
        if not may_change_type(fuse) or self._carries((*self.ratings(fuse.kind), *usual_ratings(fuse.kind)), need_a):
            return None
        larger = self.larger_type(fuse.kind, need_a)
        return larger if larger is not None and self._carries(self.ratings(larger), need_a) else None

    @staticmethod
    def _carries(ratings: Iterable[float], need_a: float) -> bool:
        return any(at_most(need_a, rating) for rating in ratings)

    def listed(self, kind: str) -> tuple[float, ...]:
        """Ratings of a type the plan lists."""
        return self._fuses.get(kind, ())

    def has_fuse(self, kind: str, rating_a: float) -> bool:
        """Whether a fuse need not be bought because the stock does not list it; true where it lists no fuse."""
        return not self._fuses or kind not in Stock.model_fields or rating_a in self.listed(kind)

    def fuse_words(self, kind: str, rating_a: float) -> str:
        """A rating, and that it is not in stock: ``15 A (not in stock)``."""
        return writing.rating(rating_a) + ("" if self.has_fuse(kind, rating_a) else NOT_IN_STOCK)

    # --- wires -------------------------------------------------------------------------------------------------

    def sizes(self, system: str) -> tuple[Size, ...]:
        """Sizes taken, ascending: those in stock, whatever their system, and of one system those thicker than all of
        these; every size of the system from 0.5 mm² where none is listed. Raises TableError for a system without
        sizes."""
        standard = _standard(system)
        most = self._sizes[-1].area_mm2 * 1.0001 if self._sizes else 0.0
        return (*(size for size in self._sizes if size.area_mm2 >= SMALLEST_MM2),
                *(size for size in standard if size.area_mm2 > most))

    @property
    def lists_wires(self) -> bool:
        """Whether the plan lists any wire."""
        return bool(self._wires)

    def has_wire(self, size: str) -> bool:
        """Whether a size is at hand; true where the stock lists no wire."""
        if not self._wires:
            return True
        read = WireSize.read(size)
        return (read.system, read.name) in self._named

    def wire_words(self, size: str) -> str:
        """A size as it is printed, and that it is not in stock: ``2.5 mm² (not in stock)``."""
        return writing.wire_size(size) + ("" if self.has_wire(size) else NOT_IN_STOCK)

    # --- relays ------------------------------------------------------------------------------------------------

    @property
    def lists_relays(self) -> bool:
        """Whether the plan lists any relay."""
        return bool(self._relays)

    def has_relay(self, contact: str) -> bool:
        """Whether a relay contact is at hand; true where the stock lists none."""
        return not self._relays or contact in self._relays

    def relay_words(self, contact: str) -> str:
        """A relay contact with its id, and that it is not in stock: ``a maxi relay, normally open (maxi_70) (not in
        stock)``."""
        return relay_tables.contact_to_enter(contact) + ("" if self.has_relay(contact) else NOT_IN_STOCK)

    def relays_first(self, found: Iterable[tuple[float, str]]) -> list[tuple[float, str]]:
        """Of relay contacts that fit those at hand; all of them where none is."""
        found = list(found)
        return [each for each in found if self.has_relay(each[1])] or found

    # --- what the stock lists and nothing on file knows ------------------------------------------------------------

    def not_on_file(self) -> list[str]:
        """What is listed but never proposed, since nothing on file says what it carries."""
        known: Collection[str] = relay_tables.CONTACTS
        return [*(f"wire {size}" for size in self._wires if _size(size) is None),
                *(f"{kind} fuse {writing.rating(rating)}" for kind, ratings in self._fuses.items()
                  for rating in ratings if rating not in ladder(kind)),
                *(f"relay {contact}" for contact in self._relays if contact not in known)]


def _size(size: WireSize) -> Size | None:
    try:
        found = conductors.conductor(size.system, size.name)
    except (TableError, AmountError):
        return None
    return Size(str(size), found.area_mm2, found.r20_ohm_per_m)


@lru_cache(maxsize=16)
def _standard(system: str) -> tuple[Size, ...]:
    found = []
    for name in conductors.standard_sizes(system):
        conductor = conductors.conductor(system, name)
        if conductor.area_mm2 >= SMALLEST_MM2 * 0.9999:
            found.append(Size(size_words(system, name), conductor.area_mm2, conductor.r20_ohm_per_m))
    return tuple(found)

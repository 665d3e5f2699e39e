"""Every pin as a line of a table: what it is, where its wire goes, what becomes of it, what is not known."""

from __future__ import annotations

from typing import Literal, get_args

from fuseplan.plan.looms import Connector, Pin
from fuseplan.plan.mating import normal, signal_words
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import Nets, PinId, mates_of, pin_at, pins_of
from fuseplan.plan.part_names import in_words, named_end, pin_words
from fuseplan.plan.references import part_kind_words
from fuseplan.plan.unknown_pins import lacks_of
from fuseplan.plan.words import FATES
from fuseplan.records import dataclass

By = Literal["connector", "function", "fate"]
ORDERS: tuple[By, ...] = get_args(By)


@dataclass(frozen=True)
class PinRow:
    """One pin.

    Attributes:
        ends: pins at the other ends of its wires, the same cavity of the mating half last
        goes_to: where its wire goes, in words: pins, parts, splices, circuits
        circuits: ids of the circuits whose wires end on it
        lacks: what is not known of it
    """

    at: PinId
    connector: Connector
    pin: Pin
    ends: tuple[PinId, ...]
    goes_to: tuple[str, ...]
    circuits: tuple[str, ...]
    lacks: tuple[str, ...]

    @property
    def key(self) -> str:
        """Tells it from all others."""
        return f"{self.at.connector}\n{self.at.pin}"

    @property
    def function(self) -> str:
        """What it does; empty where that is not known."""
        return self.pin.function or ""

    @property
    def signal(self) -> str:
        """Its kind of signal in words; empty where that is not known."""
        return "" if self.pin.signal is None else signal_words(self.pin.signal)

    @property
    def fate(self) -> str:
        """What becomes of it in words."""
        return self.pin.fate.replace("_", " ")

    @property
    def text(self) -> str:
        """All its words, as a filter looks through them."""
        words = (self.at.connector, self.at.pin, self.connector.name, self.connector.loom, self.function, self.signal,
                 self.pin.colour, self.pin.size, self.pin.splice, self.fate, self.pin.known, *self.goes_to,
                 *(f"{each} unknown" for each in self.lacks))
        return normal(" ".join(str(each) for each in words if each))


def pin_rows(plan: Plan, by: By = "connector", filter_text: str = "") -> list[PinRow]:
    """All pins in an order, those alone whose words hold every word of a filter; by connector, those that are called so
    themselves before those that lead there.

    By function those without one come first, by fate what is not decided: that is what is left to do.
    """
    if not plan.connector:
        return []
    nets, mates = Nets(plan), mates_of(plan)
    rows = [_row(plan, nets, mates, at, connector, pin) for at, connector, pin in pins_of(plan)]
    wanted = normal(filter_text).split()
    rows = [row for row in rows if all(word in row.text for word in wanted)]
    if by == "connector" and wanted:
        rows.sort(key=lambda row: not all(word in normal(row.at.words) for word in wanted))
    if by == "function":
        rows.sort(key=lambda row: normal(row.function))
    elif by == "fate":
        rows.sort(key=lambda row: -FATES.index(row.pin.fate))
    return rows


def _row(plan: Plan, nets: Nets, mates: dict[str, str], at: PinId, connector: Connector, pin: Pin) -> PinRow:
    ends = list(nets.wires.get(at, ()))
    net, words = nets.of(at), [pin_words(plan, end) for end in ends]
    for end in (pin.other_end, pin.join_to):
        if end is not None and pin_at(plan, end) is None:
            words += [named_end(plan, end)] if end.connector or end.pin else []
    words += [f"splice {each}" for each in net.splices]
    words += dict.fromkeys(f"{part_kind_words(end.owner[0])} {in_words(plan, *end.owner)}" if end.owner[1] else
                           in_words(plan, *end.owner) for end in nets.ends.get(at, ()))
    if pin.feed is not None:
        words.append(f"feed {in_words(plan, 'feed', pin.feed)}")
    if pin.earth is not None:
        words.append(f"earth point {in_words(plan, 'earth', pin.earth)}")
    mate = mates.get(at.connector)
    if mate is not None and at.pin in plan.connector[mate].pin:
        ends.append(PinId(mate, at.pin))
        words.append(f"{pin_words(plan, PinId(mate, at.pin))} (plugged)")
    out_of_scope = connector.out_of_scope is not None
    return PinRow(at, connector, pin, tuple(dict.fromkeys(ends)), tuple(dict.fromkeys(each for each in words if each)),
                  tuple(end.owner[1] for end in nets.ends.get(at, ()) if end.owner[0] == "circuit"),
                  () if out_of_scope else lacks_of(pin))

"""The wires of the looms that are in no circuit, each once, from whichever of its pins it is entered."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.plan.looms import Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, PinId, circuit_ends, pin_at, pins_of
from fuseplan.plan.parts import WireEnd
from fuseplan.records import dataclass


@dataclass(frozen=True)
class LoomWire:
    """One wire between a pin and a pin, splice, stud or part; what one of its pins does not say the other may, unless
    another wire is entered there.

    Attributes:
        at: the pin it is named after
        pin: what is entered there
        far: the pin at its other end; None where it ends on none
        far_pin: what is entered there
        end: its other end as entered; None where that is not, or it is a splice
        splice: splice it goes to
    """

    at: PinId
    pin: Pin
    far: PinId | None
    far_pin: Pin | None
    end: WireEnd | None
    splice: str | None

    @property
    def is_settled(self) -> bool:
        """What becomes of it is decided at both its pins, and it is neither cut off nor left over."""
        fates = {pin.fate for pin in (self.pin, self.far_pin) if pin is not None}
        return "unknown" not in fates and not fates & set(GONE)

    @property
    def there(self) -> Pin:
        """What the pin at its other end says of it: nothing where that is entered with another wire."""
        far = self.far_pin
        other = far is not None and far.other_end is not None and \
            (far.other_end.connector, far.other_end.pin) != self.at
        return Pin() if far is None or other else far

    @property
    def is_new(self) -> bool:
        """It is made new, by what either pin says."""
        return "new" in (self.pin.fate, self.there.fate)


def loom_wires(plan: Plan) -> tuple[LoomWire, ...]:
    """All of them, in the order of the plan. A pin on which a circuit's wire ends has none of its own; one of which
    nothing is entered but its number has none either."""
    found: dict[object, LoomWire] = {}
    for each in _entered(plan):
        key = frozenset((each.at, each.far)) if each.far is not None else each.at
        known = found.get(key)
        if known is None or _named_before(each, known):
            found[key] = each
    return tuple(found.values())


def _entered(plan: Plan) -> Iterator[LoomWire]:
    taken = {at for at, ends in circuit_ends(plan).items() if any(end.owner[0] != "loom" for end in ends)}
    named = {pin_at(plan, pin.other_end) for _, _, pin in pins_of(plan)}
    beyond = {pin_at(plan, pin.other_end): pin.splice for _, _, pin in pins_of(plan) if pin.splice is not None}
    for at, _, pin in pins_of(plan):
        if at in taken:
            continue
        far = pin_at(plan, pin.other_end) if pin.other_end is not None else None
        there = None if far is None or far == at else far.of(plan)
        splice = pin.splice or (there.splice if there is not None else None if pin.other_end is not None
                                else beyond.get(at))
        if splice is not None:
            yield LoomWire(at, pin, None, None, None, splice)
        elif there is not None and far is not None and far not in taken:
            yield LoomWire(at, pin, far, there, pin.other_end, None)
        elif pin.other_end is not None and pin.other_end.connector is not None and far != at:
            yield LoomWire(at, pin, None, None, pin.other_end, None)
        elif at not in named and (pin.size or pin.colour or pin.function or pin.signal):
            yield LoomWire(at, pin, None, None, None, None)


def _named_before(one: LoomWire, other: LoomWire) -> bool:
    """Which of the two pins of a wire it is named after: the one that has a number, else the first by name."""
    return (one.pin.number is None, one.at) < (other.pin.number is None, other.at)

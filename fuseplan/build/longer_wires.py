"""Wires of the looms that are in no circuit and are made longer: what is cut for each, and how it is joined on."""

from __future__ import annotations

from fuseplan.build.cutting import Cut, cut, termination_m
from fuseplan.plan.looms import Extension, Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, PinId, pins_of
from fuseplan.quantities import writing
from fuseplan.records import dataclass


@dataclass(frozen=True)
class LongerWire:
    """The new wire of one pin, with what it is cut to."""

    at: PinId
    pin: Pin
    extension: Extension
    cut: Cut

    @property
    def size(self) -> str:
        """Size of the new wire, as it is printed."""
        size = self.extension.size or self.pin.size
        return "size not stated" if size is None else writing.wire_size(size)

    @property
    def colour(self) -> str:
        """Colour of the new wire, or that it is not stated."""
        return self.extension.colour or self.pin.colour or "not stated"


def longer_wires(plan: Plan) -> tuple[LongerWire, ...]:
    """All of them, connector by connector. The wires of circuits are segments of their own."""
    end = termination_m(None)
    return tuple(LongerWire(at, pin, pin.extension, cut(float(pin.extension.length), end, end))
                 for at, _, pin in pins_of(plan) if pin.extension is not None and pin.fate not in GONE)

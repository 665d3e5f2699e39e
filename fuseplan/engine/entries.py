"""Which entries of the plan the figures of each consumer come from, for a recorded run."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fuseplan.engine.coils import coil_ohm
from fuseplan.engine.consumers import COIL, LOAD, STANDBY, UNSTATED
from fuseplan.engine.load_figures import (
    bounds,
    heating_of,
    locked_ohm,
    nominal,
    stated_v,
    tolerances_of,
    usual_locked_ohm,
)
from fuseplan.engine.names import Names
from fuseplan.engine.network import Network
from fuseplan.formulas.power import upper_bound
from fuseplan.formulas.relay import coil_current
from fuseplan.plan.parts import Load
from fuseplan.plan.words import TOLERANCE
from fuseplan.quantities import writing
from fuseplan.tables import loads as load_tables
from fuseplan.trace import apply, decided, given, per_part


class _Entries:
    def __init__(self, network: Network) -> None:
        self.network, self.consumers, self.names = network, network.consumers, Names(network)

    def load(self, number: int) -> Load:
        return self.network.circuits[int(self.consumers.circuit[number])].load[int(self.consumers.number[number])]

    def reference_a(self, number: int) -> Any:
        kind, who = int(self.consumers.kind[number]), self.names.consumer(number)
        if kind == LOAD:
            found = nominal(self.load(number), self.network.system_v, self.names.load(number))[0]
            return given(0.0, "I₁", "A", f"current of {who}: not stated", "the plan") if found != found else found
        if kind == STANDBY:
            return given(float(self.consumers.reference_a[number]), "I₁", "A", f"current of {who}",
                         self.names.load(number).cite("standby"))
        if kind == COIL:
            owner, name = self.consumers.owner[number]
            part = (self.network.plan.circuit if owner == "circuit" else self.network.plan.feed)[name]
            assert part.relay is not None
            return apply(coil_current, voltage=self.reference_v(number),
                         resistance=coil_ohm(part.relay, self.network.system_v, who))
        return 0.0

    def reference_v(self, number: int) -> Any:
        if int(self.consumers.kind[number]) == LOAD:
            return stated_v(self.load(number), self.network.system_v, self.names.load(number))
        return given(self.network.system_v, "U₁", "V", "system voltage", "the plan, vehicle.system")

    def most_a(self, number: int) -> Any:
        kind, found = int(self.consumers.kind[number]), float(self.consumers.most_a[number])
        if kind == UNSTATED:
            return given(found, "I", "A", f"{self.names.consumer(number)}, nothing being stated: the smallest fuse "
                         "rating before it", "the plan, rating of that fuse")
        if kind == LOAD and self.load(number).kind is None and found > 0:
            return decided(found, "I", "A", "no kind of load is given: the most any kind draws at a voltage it works "
                           "at, where its fuse carries that", "definition", self.reference_a(number),
                           self.upper(number))
        return apply(upper_bound, value=self.reference_a(number), tolerance=self.upper(number))

    def upper(self, number: int) -> Any:
        kind = int(self.consumers.kind[number])
        evidence = "published"
        if kind in (LOAD, STANDBY):
            evidence = self.load(number).evidence or "guess"
        own = evidence in self.network.plan.tolerance and kind != COIL
        taken = "definition: the most that may be drawn" if evidence == "limit" else \
            f"common practice, no source (tolerance {writing.stated(TOLERANCE[evidence])})"
        tolerance = given(
            tolerances_of(self.network.plan)[evidence] if kind != COIL else TOLERANCE[evidence], "τ", "-",
            f"how far a {evidence} current may be off", "the plan, tolerance" if own else taken)
        if kind != LOAD:
            return tolerance
        return bounds(self.load(number), self.reference_a(number), tolerance, self.names.load(number))[1]

    def follows(self, number: int) -> str:
        if self.consumers.locked_ohm[number] > 0:
            return "a starter draws what the engine's drag asks, whatever the voltage, until it stalls"
        kind = self.consumers.load_kind[number]
        return f"how the current of {'an' if kind[0] in 'aeiou' else 'a'} {kind} load follows the voltage"

    def locked_ohm(self, number: int) -> Any:
        if not float(self.consumers.locked_ohm[number]):
            return 0.0
        load = self.load(number)
        if load.locked_current is not None:
            return locked_ohm(load, self.names.load(number))
        return usual_locked_ohm(self.reference_a(number), self.network.system_v)

    def heating(self, number: int) -> Any:
        if int(self.consumers.kind[number]) != LOAD or float(self.consumers.heating[number]) == 1.0:
            return float(self.consumers.heating[number])
        load = self.load(number)
        return heating_of(load, float(self.consumers.reference_a[number]), self.network.system_v,
                          self.names.load(number))

    def follows_cite(self, number: int) -> str:
        if self.consumers.locked_ohm[number] > 0:
            return "at one torque a motor draws one current (derived)"
        kind = self.consumers.load_kind[number]
        return load_tables.exponent(kind).source.line() if kind in load_tables.EXPONENTS else "Ohm's law"


def with_entries(network: Network) -> Network:
    """The network with its consumers' figures traced to the entries of the plan."""
    at, consumers = _Entries(network), network.consumers
    return replace(network, consumers=replace(
        consumers, reference_a=per_part(consumers.reference_a, at.reference_a),
        reference_v=per_part(consumers.reference_v, at.reference_v), most_a=per_part(consumers.most_a, at.most_a),
        locked_ohm=per_part(consumers.locked_ohm, at.locked_ohm),
        heating=per_part(consumers.heating, at.heating),
        exponent=given(consumers.exponent, "n", "-", at.follows, at.follows_cite),
        duty=given(consumers.duty, "D", "-", lambda number: f"share of the time {at.names.consumer(number)} is on",
                   lambda number: at.names.load(number).cite("duty"))))

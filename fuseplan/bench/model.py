"""The car on the bench: the plan's network solved for every circuit switched on by itself, and in the plan's own
conditions, at the ends of what is not known: currents, temperature of the wires, assumed joints, voltage of the source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cached_property

import numpy as np

from fuseplan.array_types import Flags
from fuseplan.bench.solved_rows import Piece, Variant, solved_piece
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.consumers import ALTERNATOR, COIL, LOAD, STANDBY
from fuseplan.engine.network import Network
from fuseplan.engine.scenario import rows
from fuseplan.engine.source import Source
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Condition
from fuseplan.plan.words import State
from fuseplan.quantities.amounts import Amount

STATIC_STATES: tuple[State, ...] = ("off", "accessory", "ignition", "run_on")
"""States a circuit is tested in with the engine off, the first in which it is live."""
AT_ONCE = 32
"""Circuits that are solved together, each switched on by itself: few enough that their own parts are about as many as
what they all share."""


def bench_model(assessment: Assessment) -> BenchModel:
    """The car on the bench of an assessment; that of the last one asked for where only readings were added since."""
    if not _LAST or not _same_car(_LAST[0].assessment, assessment):
        _LAST[:] = [BenchModel(assessment)]
    return _LAST[0]


def let_go() -> None:
    """Keep no car on the bench any longer: the solved rows of a thousand circuits are 140 MB."""
    _LAST.clear()


_LAST: list[BenchModel] = []
_BESIDE_THE_CAR = ("reading", "signed", "change", "note")
"""What of a plan no figure follows from."""


def _same_car(one: Assessment, other: Assessment) -> bool:
    """Whether two assessments are of the very same parts: an edit leaves what it does not touch as it is."""
    return one.limit_set is other.limit_set and all(
        getattr(one.plan, name) is getattr(other.plan, name) for name in type(one.plan).model_fields
        if name not in _BESIDE_THE_CAR)


class BenchModel:
    """The rows of a plan's conditions, and behind them a row for each circuit that is tested with the engine off."""

    def __init__(self, assessment: Assessment) -> None:
        self.assessment = assessment
        self.expected: dict[tuple[str, str], object] = {}
        """What points show, by address and condition, as far as it was asked for."""
        self.network = assessment.results.network
        self._pieces: dict[int, Piece] = {}
        self.static: dict[str, State] = {}
        """State each circuit is tested in with the engine off; circuits that are not are left out."""
        for number, name in enumerate(self.network.circuit_ids):
            state = self._static_state(number)
            if state is not None:
                self.static[name] = state

    def _static_state(self, number: int) -> State | None:
        if self.network.circuits[number].out_of_scope is not None or not self.own_loads(number).any():
            return None
        live = self.network.circuit_live[number]
        return next((state for state in STATIC_STATES if live[STATE_INDEX[state]]), None)

    def own_loads(self, number: int) -> Flags:
        """Consumers that are on when a circuit is switched on by itself with the engine off (L,): its loads that are on
        in some condition other than cranking, of each `either` group the strongest."""
        consumers = self.network.consumers
        calm = np.array([state != STATE_INDEX["crank"] for state in self.network.state.tolist()], dtype=bool)
        found = np.asarray((consumers.circuit == number) & (consumers.kind == LOAD)
                           & consumers.possible[calm].any(axis=0))
        for group in set(consumers.group[found].tolist()) - {-1}:
            members = np.flatnonzero(found & (consumers.group == group))
            found[members] = False
            found[members[int(np.argmax(consumers.reference_a[members]))]] = True
        return found

    def row(self, condition: str, circuit: str = "") -> int | None:
        """Number of the row of a condition, ``alone`` with its circuit; None where there is none."""
        if condition == "alone":
            place = self._static_place.get(circuit)
            return None if place is None else len(self.network.conditions) + place
        ids = self.network.condition_ids
        return ids.index(condition) if condition in ids else None

    @cached_property
    def _static_place(self) -> dict[str, int]:
        """Place of each circuit among those tested with the engine off."""
        return {name: place for place, name in enumerate(self.static)}

    @cached_property
    def chosen(self) -> tuple[Network, Source]:
        """The network and its source with all rows."""
        results = self.assessment.results
        count, alone = len(self.network.conditions), list(self.static)
        few, narrow = rows(self.network, results.source, [*range(count), *[0] * len(alone)])
        warm = next((index for index, condition in enumerate(self.network.conditions) if condition.state != "crank"), 0)
        on, possible = few.consumers.on.copy(), few.consumers.possible.copy()
        states = few.state.copy()
        conditions = list(few.conditions)
        for place, name in enumerate(alone):
            row, state = count + place, self.static[name]
            on[row] = possible[row] = self._on_alone(name, state)
            states[row] = STATE_INDEX[state]
            conditions[row] = Condition(name=f"{name} alone", state=state, duration=Amount(300.0, "5 min"))
        consumers = replace(few.consumers, on=on, possible=possible, instead=())
        duration = few.duration_s.copy()
        duration[count:] = 300.0
        source = narrow
        still = np.arange(len(few.conditions)) >= count
        source = replace(source, running=source.running & ~still,
                         open_circuit_v=np.where(still, results.source.open_circuit_v[warm], source.open_circuit_v),
                         internal_ohm=np.where(still, results.source.internal_ohm[warm], source.internal_ohm),
                         available_a=np.where(still, 0.0, source.available_a))
        return replace(few, consumers=consumers, conditions=tuple(conditions), state=states,
                       duration_s=duration), source

    def _on_alone(self, circuit: str, state: State) -> Flags:
        network = self.network
        consumers, number = network.consumers, network.circuit_number[circuit]
        on = np.where(consumers.circuit == number, False, self._always_on[state]) | self.own_loads(number)
        way = [("feed", name) for name in way_to(network.plan, network.plan.circuit[circuit].feed)]
        on[[self._coils[owner] for owner in (("circuit", circuit), *way) if owner in self._coils]] = True
        return np.asarray(on)

    @cached_property
    def _coils(self) -> dict[tuple[str, str], int]:
        """Number of the relay coil of each owner that has one."""
        consumers = self.network.consumers
        return {consumers.owner[index]: index for index in np.flatnonzero(consumers.kind == COIL).tolist()}

    @cached_property
    def _always_on(self) -> dict[State, Flags]:
        """Consumers that draw in each state whatever is switched off (L,): loads that are always on, standby, and the
        alternator's place."""
        network, plan = self.network, self.network.plan
        consumers = network.consumers
        found: dict[State, Flags] = {}
        for state in STATIC_STATES:
            number, on = STATE_INDEX[state], consumers.kind == ALTERNATOR
            for index in np.flatnonzero((consumers.kind == LOAD) | (consumers.kind == STANDBY)).tolist():
                owner = plan.circuit[consumers.owner[index][1]]
                if consumers.kind[index] == STANDBY:
                    live = network.feed_live.get(owner.feed or "")
                    on[index] = live is not None and bool(live[number])
                else:
                    on[index] = "always" in owner.load[int(consumers.number[index])].when and bool(
                        network.circuit_live[int(consumers.circuit[index]), number])
            found[state] = on
        return found

    def piece(self, row: int) -> tuple[Piece, int]:
        """The piece a row is solved in, and its number within."""
        number = -1 if row < len(self.network.conditions) else (row - len(self.network.conditions)) // AT_ONCE
        low, high = self._ends_of(number)
        if number not in self._pieces:
            network, source = self.chosen
            self._pieces[number] = solved_piece(*rows(network, source, range(low, high)),
                                               self.assessment.results.fuse_ohm)
        return self._pieces[number], row - low

    def _ends_of(self, number: int) -> tuple[int, int]:
        """First row of a piece, and the one behind its last; the plan's own conditions are piece -1."""
        count, every = len(self.network.conditions), len(self.network.conditions) + len(self.static)
        return (0, count) if number < 0 else (count + number * AT_ONCE, min(count + (number + 1) * AT_ONCE, every))

    def consumer_a(self, row: int, consumer: int) -> float:
        """Current of a consumer as entered, wires at the temperature of a garage [A]."""
        piece, at = self.piece(row)
        return piece.cold.consumer_a(at, consumer)

    def span(self, row: int, value: Callable[[Variant, int], float]) -> tuple[float, float, float]:
        """A figure in a row: as entered, its least and its most; NaN where the row has no solution.

        Args:
            row: of `row`
            value: callable (variant, row of its solution)
        """
        piece, at = self.piece(row)
        # The engine is hot in no conditions but those in which it runs.
        nominal = value(piece.hot if piece.source.running[at] else piece.cold, at)
        every = [nominal, *(value(each, at + bound) for each in piece.ends for bound in (0, piece.count))]
        return nominal, float(np.min(every)), float(np.max(every))

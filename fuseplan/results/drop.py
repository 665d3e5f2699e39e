"""The voltage drop of one circuit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fuseplan.engine.assumed import drop_class_of
from fuseplan.engine.drops import SMALLEST_A, counted_from
from fuseplan.engine.intervals import FIVE_S
from fuseplan.results.naming import condition_words
from fuseplan.results.part import Part, entry, figure

if TYPE_CHECKING:
    from fuseplan.results.circuit import CircuitResult


class DropResult(Part):
    """Bus voltage less the voltage across the load, of the load and in the condition where that is most."""

    circuit: CircuitResult
    consumer: int
    """Number of that load's consumer."""

    @property
    def called(self) -> str:
        results = self.circuit.solved.results
        return f"at {results.network.names.consumer(self.consumer)} {condition_words(results.network, self.row)}"

    @property
    def row(self) -> int:
        """Number of the condition."""
        return int(self.circuit.solved.results.drops.condition[0, self.consumer])

    @figure("voltage drop", unit="V", side="burden")
    def volts(self) -> float:
        return float(self.circuit.solved.results.drops.total_v[0, self.consumer])

    @figure("supply-side voltage drop", unit="V", side="burden")
    def supply_v(self) -> float:
        return float(self.circuit.solved.results.drops.supply_v[0, self.consumer])

    @figure("earth-side voltage drop", unit="V", side="burden")
    def return_v(self) -> float:
        return float(self.circuit.solved.results.drops.return_v[0, self.consumer])

    @figure("voltage drop of the part the limit is for", unit="V", side="burden")
    def judged_v(self) -> float:
        return float(self.circuit.solved.results.drops.out.volts[0, self.consumer])

    @figure("permitted voltage drop", unit="V", side="limit")
    def limit_v(self) -> float | None:
        results = self.circuit.solved.results
        if results.demands.load[1, FIVE_S, self.consumer] < SMALLEST_A:
            return None
        found = results.limit_set.drop_limit(self.drop_class, results.network.system_v, self.lasts)
        return None if found is None else found.value

    @entry("class of circuit the limit is for", key="class")
    def drop_class(self) -> str:
        return drop_class_of(self.circuit.circuit)

    @entry("the feed the limit counts from: the battery post, for a lamp the feed of its switch, while the starter "
           "turns where the circuit leaves the starter's cable")
    def judged_from(self) -> str:
        network = self.circuit.solved.results.network
        root = next(name for name, feed in network.plan.feed.items() if feed.upstream is None)
        return counted_from(network, self.circuit.circuit, self._judged_row) or root

    @entry("the condition in which that part is worst")
    def judged_in(self) -> str:
        return self.circuit.solved.condition_ids[self._judged_row]

    @property
    def _judged_row(self) -> int:
        return int(self.circuit.solved.results.drops.out.condition[0, self.consumer])

    @entry("the condition")
    def condition(self) -> str:
        return self.circuit.solved.condition_ids[self.row]

    @entry("number of the load, from 0")
    def load(self) -> int:
        return int(self.circuit.solved.results.network.consumers.number[self.consumer])

    @property
    def lasts(self) -> str:
        """Whether the limit is that of continuous or of intermittent use."""
        return "continuous" if self.circuit.use_of(self.load) in ("continuous", "prolonged") else "intermittent"

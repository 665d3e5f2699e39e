"""The car as a mechanic probes it, as a record: what `diagnosis_builder` makes of a plan."""

from __future__ import annotations

from fuseplan.array_types import Ints
from fuseplan.bench.diagnosis_tree import Element, Tested
from fuseplan.engine.consumers import COIL, LOAD
from fuseplan.engine.part import Part
from fuseplan.engine.results import Results
from fuseplan.records import dataclass


@dataclass(frozen=True)
class CarModel:
    """The network of a plan with some circuits as they are probed. K consumers."""

    results: Results
    circuits: tuple[str, ...]
    """Those whose parts are elements."""
    supply: Tested
    returns: Tested
    consumers: Ints
    """Number of each in the engine's network (K,)."""
    part: Part
    feed_node: dict[str, int]
    earth_node: dict[str, int]
    node_of: dict[Element, int]

    def load(self, circuit: str, number: int) -> int:
        """Place of a load among the consumers."""
        return self._place(("circuit", circuit), LOAD, number)

    def coil(self, owner: tuple[str, str]) -> int:
        """Place of a relay's coil among the consumers, -1 where it has none."""
        return self._place(owner, COIL, None)

    def _place(self, owner: tuple[str, str], kind: int, number: int | None) -> int:
        consumers = self.results.network.consumers
        for place, index in enumerate(self.consumers.tolist()):
            if consumers.owner[index] == owner and consumers.kind[index] == kind \
                    and (number is None or consumers.number[index] == number):
                return place
        return -1

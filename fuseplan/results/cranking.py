"""The figures while cranking."""

from __future__ import annotations

from fuseplan.engine.cranking import Cranking, Dip, Piece, Survivor
from fuseplan.results.part import Part, entry, figure, part
from fuseplan.results.solved_plan import SolvedPlan, known


class PieceResult(Part):
    """One piece of the way from the battery to the starter and back."""

    solved: SolvedPlan
    index: int

    @property
    def called(self) -> str:
        return f"{self.owner_kind} {self.owner}"

    @property
    def facts(self) -> Piece:
        """What the engine knows of it."""
        return self.solved.results.power.cranking.pieces[self.index]

    @entry("supply side or return side")
    def side(self) -> str:
        return self.facts.side

    @entry("kind of part it belongs to")
    def owner_kind(self) -> str:
        return self.facts.owner[0]

    @entry("the part it belongs to")
    def owner(self) -> str:
        return self.facts.owner[1]

    @figure("voltage drop while cranking", unit="V", side="burden", from_network=True)
    def drop_v(self) -> float | None:
        return known(self.facts.drop_v[0])

    @figure("resistance while cranking", unit="ohm", side="burden", from_network=True)
    def resistance_ohm(self) -> float | None:
        return known(self.facts.resistance_ohm)

    @entry("it is the strap of the engine")
    def engine_strap(self) -> bool:
        return self.facts.engine_strap


class CrankConsumer(Part):
    """A load that is on while cranking."""

    solved: SolvedPlan
    index: int

    @property
    def called(self) -> str:
        return self.solved.results.network.names.consumer(self.facts.consumer)

    @property
    def facts(self) -> Survivor:
        """What the engine knows of it."""
        return self.solved.results.power.cranking.survivors[self.index]

    @entry("kind of part it belongs to")
    def owner_kind(self) -> str:
        return self.facts.owner[0]

    @entry("the part it belongs to")
    def owner(self) -> str:
        return self.facts.owner[1]

    @entry("what it is")
    def what(self) -> str:
        return self.facts.what

    @entry("kind of load")
    def kind(self) -> str:
        return self.facts.kind

    @figure("voltage across it while cranking", unit="V", side="limit")
    def volts(self) -> float | None:
        return known(self.facts.volts[0])

    @figure("voltage across it at the first instant", unit="V", side="limit")
    def dip_v(self) -> float | None:
        dip = self.solved.results.power.dip
        return None if dip is None else known(dip.survivor_v[self.index])

    @figure("lowest voltage at which it works", unit="V", side="burden")
    def limit_v(self) -> float | None:
        return None if self.facts.limit is None else self.facts.limit.value

    @entry("source of the lowest voltage")
    def limit_source(self) -> str | None:
        return None if self.facts.limit is None else self.facts.limit.source.line()

    @entry("it has to work while cranking")
    def must_run(self) -> bool:
        return self.facts.must_run


class CrankingResult(Part):
    """While cranking."""

    solved: SolvedPlan

    @property
    def facts(self) -> Cranking:
        """What the engine knows of it."""
        return self.solved.results.power.cranking

    @property
    def dip(self) -> Dip | None:
        """The first instant, with the starter's inrush; None where that is not given."""
        return self.solved.results.power.dip

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    @entry("the circuit of the starter")
    def starter(self) -> str | None:
        return None if self.facts.starter is None else self.facts.starter[0]

    @entry("what the starter current rests on")
    def basis(self) -> str:
        return self.facts.basis

    @figure("starter current", unit="A", side="burden", from_network=True)
    def current_a(self) -> float | None:
        return known(self.facts.current_a[0])

    @figure("voltage of the battery post while cranking", unit="V", side="limit", from_network=True)
    def battery_v(self) -> float | None:
        return known(self.facts.battery_v[0])

    @figure("voltage of the battery post while cranking, every current at its worst case", unit="V", side="limit",
            from_network=True)
    def battery_upper_v(self) -> float | None:
        return known(self.facts.battery_v[1])

    @figure("lowest permitted voltage of the battery post while cranking", unit="V", side="burden")
    def battery_limit_v(self) -> float:
        return self.facts.battery_limit.value

    @entry("source of the lowest permitted voltage")
    def battery_limit_source(self) -> str:
        return self.facts.battery_limit.source.line()

    @figure("voltage across the starter", unit="V", side="limit")
    def starter_v(self) -> float | None:
        return known(self.facts.starter_v[0])

    @figure("power of the starter", unit="W", side="limit", from_network=True)
    def starter_w(self) -> float | None:
        return known(self.facts.starter_w[0])

    @figure("supply-side voltage drop to the starter", unit="V", side="burden")
    def supply_drop_v(self) -> float | None:
        return known(self.facts.supply_drop_v[0])

    @figure("earth-side voltage drop from the starter", unit="V", side="burden")
    def return_drop_v(self) -> float | None:
        return known(self.facts.return_drop_v[0])

    @figure("voltage of the battery post at the first instant, with the starter's inrush", unit="V", side="limit")
    def dip_battery_v(self) -> float | None:
        return None if self.dip is None else known(self.dip.battery_v)

    @figure("starter current at the first instant", unit="A", side="burden")
    def dip_current_a(self) -> float | None:
        return None if self.dip is None else known(self.dip.current_a)

    @part("the pieces of the way to the starter and back")
    def pieces(self) -> tuple[PieceResult, ...]:
        return tuple(PieceResult(self.solved, index) for index in range(len(self.facts.pieces)))

    @part("the loads that are on while cranking")
    def consumers(self) -> tuple[CrankConsumer, ...]:
        return tuple(CrankConsumer(self.solved, index) for index in range(len(self.facts.survivors)))

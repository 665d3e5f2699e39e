"""The figures while cranking."""

from __future__ import annotations

from fuseplan.engine.cranking import Cranking, Piece, Survivor
from fuseplan.engine.cranking_dip import Dip
from fuseplan.results.part import Part, entry, entry_of, fact, figure, figure_of, part
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

    side = entry_of(lambda part: part.facts.side, str, "supply side or return side")
    owner_kind = entry_of(lambda part: part.facts.owner[0], str, "kind of part it belongs to")
    owner = entry_of(lambda part: part.facts.owner[1], str, "the part it belongs to")
    drop_v = figure_of(lambda part: part.facts.drop_v[0],
                       "voltage drop while cranking", unit="V", side="burden", from_network=True)
    resistance_ohm = fact("resistance while cranking", unit="ohm", side="burden", from_network=True)
    engine_strap = entry_of(lambda part: part.facts.engine_strap, bool, "it is the strap of the engine")


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

    owner_kind = entry_of(lambda part: part.facts.owner[0], str, "kind of part it belongs to")
    owner = entry_of(lambda part: part.facts.owner[1], str, "the part it belongs to")
    what = entry_of(lambda part: part.facts.what, str, "what it is")
    kind = entry_of(lambda part: part.facts.kind, str, "kind of load")
    volts = figure_of(lambda part: part.facts.volts[0], "voltage across it while cranking; of a solenoid with a pull-in"
                      " current while it pulls in, before the starter turns (hold_v: while it turns)", unit="V",
                      side="limit")
    hold_v = figure_of(lambda part: part.facts.hold_v[0], "voltage across it while the starter turns", unit="V",
                       side="limit")

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

    must_run = entry_of(lambda part: part.facts.must_run, bool, "it has to work while cranking")


class CrankingResult(Part):
    """While cranking."""

    solved: SolvedPlan

    @property
    def facts(self) -> Cranking:
        """What the engine knows of it."""
        return self.solved.results.power.cranking

    @property
    def dip(self) -> Dip | None:
        """The first instant, the starter standing still; None where neither its locked point nor its inrush is
        given."""
        return self.solved.results.power.dip

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    @entry("the circuit of the starter")
    def starter(self) -> str | None:
        return None if self.facts.starter is None else self.facts.starter[0]

    basis = entry_of(lambda part: part.facts.basis, str, "what the starter current rests on")
    current_a = figure_of(lambda part: part.facts.current_a[0],
                          "starter current", unit="A", side="burden", from_network=True)
    battery_v = figure_of(lambda part: part.facts.battery_v[0],
                          "voltage of the battery post while cranking", unit="V", side="limit", from_network=True)
    battery_upper_v = figure_of(lambda part: part.facts.battery_v[1],
                                "voltage of the battery post while cranking, every current at its worst case",
                                unit="V", side="limit", from_network=True)
    battery_c = fact("temperature of the battery while cranking", unit="°C", side="stated")
    battery_limit_v = figure_of(lambda part: part.facts.battery_limit.value,
                                "lowest permitted voltage of the battery post while cranking: that of the workshop "
                                "load test at the battery's temperature (battery_c), scaled to the system voltage",
                                unit="V", side="burden")
    battery_limit_source = entry_of(lambda part: part.facts.battery_limit.source.line(),
                                    str, "source of the lowest permitted voltage")
    starter_v = figure_of(lambda part: part.facts.starter_v[0], "voltage across the starter", unit="V", side="limit")
    starter_w = figure_of(lambda part: part.facts.starter_w[0],
                          "power of the starter", unit="W", side="limit", from_network=True)
    speed_share = figure_of(lambda part: part.facts.speed_share[0], "speed of the starter as a share of that at the "
                            "voltage its current is stated at", unit="-", side="limit")
    supply_drop_v = figure_of(lambda part: part.facts.supply_drop_v[0],
                              "supply-side voltage drop to the starter", unit="V", side="burden")
    return_drop_v = figure_of(lambda part: part.facts.return_drop_v[0],
                              "earth-side voltage drop from the starter", unit="V", side="burden")

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

"""How the figures of cranking are worked out."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.explain.chapters.alternators import permitted
from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.cranking import Survivor
from fuseplan.engine.results import Results
from fuseplan.results.cranking import CrankConsumer, CrankingResult, PieceResult

SILENT = "no starter is on while cranking, and the engine's size is not given"
NO_STARTER = "the plan has no starter"
NO_INRUSH = "neither the starter's locked point nor its inrush is given"
NO_LOCKED = "the plan has no starter, or its locked point is not given"


def _figure(name: str, bound: int = 0) -> Cell:
    return lambda part, results: getattr(results.power.cranking, name)[bound]


def _dip(name: str) -> Cell:
    return lambda part, results: getattr(results.power.dip, name)


def _survivor(part: CrankConsumer, results: Results) -> Survivor:
    """The same consumer in the recorded results."""
    return next(each for each in results.power.cranking.survivors if each.consumer == part.facts.consumer)


def _dip_v(part: CrankConsumer, results: Results) -> Any:
    dip = results.power.dip
    assert dip is not None
    return dip.survivor_v[results.power.cranking.survivors.index(_survivor(part, results))]


def _piece(name: str) -> Cell:
    """The same branch in the recorded results."""
    return lambda part, results: next(
        getattr(each, name) for each in results.power.cranking.pieces
        if (each.side, each.node) == (part.facts.side, part.facts.node))


works_out(CrankingResult.battery_limit_v,
          traced(lambda part, results: results.power.cranking.battery_limit.value, "V"))
works_out(CrankingResult.battery_c, traced(lambda part, results: results.power.cranking.battery_c, "°C"))
works_out(CrankingResult.speed_share, traced(_figure("speed_share"), "-"), NO_LOCKED)
works_out(CrankingResult.battery_v, traced(_figure("battery_v"), "V"), SILENT)
works_out(CrankingResult.battery_upper_v, traced(_figure("battery_v", 1), "V"), SILENT)
works_out(CrankingResult.current_a, traced(_figure("current_a"), "A"), SILENT)
works_out(CrankingResult.starter_v, traced(_figure("starter_v"), "V"), NO_STARTER)
works_out(CrankingResult.starter_w, traced(_figure("starter_w"), "W"), NO_STARTER)
works_out(CrankingResult.supply_drop_v, traced(_figure("supply_drop_v"), "V"), NO_STARTER)
works_out(CrankingResult.return_drop_v, traced(_figure("return_drop_v"), "V"), NO_STARTER)
works_out(CrankingResult.dip_battery_v, traced(_dip("battery_v"), "V"), NO_INRUSH)
works_out(CrankingResult.dip_current_a, traced(_dip("current_a"), "A"), NO_INRUSH)
works_out(CrankConsumer.volts, traced(lambda part, results: _survivor(part, results).volts[0], "V"))
works_out(CrankConsumer.hold_v, traced(lambda part, results: _survivor(part, results).hold_v[0], "V"))
works_out(CrankConsumer.dip_v, traced(_dip_v, "V"), NO_INRUSH)
works_out(CrankConsumer.limit_v, permitted("least voltage at which it works", lambda part: part.facts.limit),
          "no limit is on file for it")
works_out(PieceResult.resistance_ohm, traced(_piece("resistance_ohm"), "ohm"))
works_out(PieceResult.drop_v, traced(lambda part, results: _piece("drop_v")(part, results)[0], "V"))

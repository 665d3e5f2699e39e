"""How the figures of the alternator and its cable are worked out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.results import Results
from fuseplan.results.charging import AlternatorResult, CableResult, ExciterResult, OutputPoint
from fuseplan.tables.load import Cited
from fuseplan.trace import cited, given

SILENT = "the alternator cable is not given"


def _fact(name: str) -> Cell:
    return lambda part, results: getattr(results.power.alternator, name)


def _point(value: str, unit: str, symbol: str) -> Cell:
    return lambda part, results: given(
        getattr(part, value), symbol, unit, "a point of the curve the output is read from",
        results.power.alternator.machine.basis)


def _cable(name: str) -> Cell:
    return lambda part, results: getattr(results.power.alternator_cable, name)


def permitted(words: str, limit: Callable[[Any], Cited[float] | None]) -> Callable[..., float]:
    """The work of a limit on a voltage, taken from its part."""
    def cell(part: Any, _: Results) -> Any:
        found = limit(part)
        assert found is not None
        return cited(found, "U", "V", f"{words}, scaled to the system voltage")

    return traced(cell, "V")


works_out(AlternatorResult.pulley_ratio, traced(_fact("pulley_ratio"), "-"))
works_out(AlternatorResult.highest_rotor_rpm, traced(_fact("highest_rotor_rpm"), "r/min"))
works_out(AlternatorResult.highest_engine_rpm, traced(_fact("highest_engine_rpm"), "r/min"))
works_out(AlternatorResult.efficiency, traced(_fact("efficiency"), "-"))
works_out(AlternatorResult.fuel_share, traced(_fact("fuel_share"), "-"))
works_out(OutputPoint.rotor_rpm, traced(_point("rotor_rpm", "r/min", "n"), "r/min"))
works_out(OutputPoint.output_a, traced(_point("output_a", "A", "I"), "A"))
works_out(CableResult.supply_ohm, traced(_cable("supply_ohm"), "ohm", "R"), SILENT)
works_out(CableResult.return_ohm, traced(_cable("return_ohm"), "ohm", "R"), SILENT)
works_out(CableResult.supply_drop_v, traced(_cable("supply_drop_v"), "V"), SILENT)
works_out(CableResult.return_drop_v, traced(_cable("return_drop_v"), "V"), SILENT)
works_out(CableResult.made_up_v, traced(_cable("made_up_v"), "V"), SILENT)
works_out(CableResult.limit_ohm, traced(lambda part, _: given(
    part.limit_ohm, "R", "ohm", "largest resistance of the alternator cable", part.limit_ohm_source), "ohm"))
works_out(CableResult.limit_v, permitted("largest drop of the alternator cable", lambda part: part.cable.limit_v),
          "no limit is on file")
works_out(CableResult.return_limit_v,
          permitted("largest drop of the way back", lambda part: part.cable.return_limit_v))
works_out(ExciterResult.current_a,
          traced(lambda _, results: results.power.alternator_cable.exciter.current_a, "A", "I"),
          "its loads' currents are not given")
works_out(ExciterResult.wanted_a, traced(lambda part, _: given(
    part.wanted_a, "I", "A", "the smallest published", part.source), "A"))

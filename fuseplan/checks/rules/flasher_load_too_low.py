"""The lamps are too weak a load for their flasher unit: LED lamps on a thermal or load-sensing flasher.

A thermal flasher needs the current of its bulbs to heat its strip: with less it flashes slowly or not at all. One that
watches the current takes LED lamps for failed bulbs and flashes at double speed. Flashing must be 60 to 120 a minute.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import circuit_subject, current_known
from fuseplan.engine.load_figures import nominal
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.formulas.load import load_current, power_from_current
from fuseplan.plan.model import Circuit
from fuseplan.quantities import writing
from fuseplan.tables.loads import EXPONENTS

USUAL_W = 42.0
"""Two of 21 W, one side of a car, where the flasher's least load is not given. From memory."""
USUAL_WORDS = " (not given: two of 21 W taken)"


def lamp_power_w(circuit: Circuit, system_v: float) -> float:
    """Power of all loads of a circuit at the system voltage; what is not known counts as nothing."""
    total = 0.0
    for load in circuit.load:
        current, stated = nominal(load, system_v)
        if current == current and load.kind is not None:
            at_system = float(load_current(current, system_v, stated, EXPONENTS[load.kind]))
            total += float(power_from_current(at_system, system_v))
    return total


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, known = results.network, current_known(results)
    for number, flasher in of_circuits(network, _flasher, "flasher").items():
        circuit = network.circuits[number]
        given = circuit.flasher_load is not None
        least = float(circuit.flasher_load) if circuit.flasher_load is not None else USUAL_W
        power = lamp_power_w(circuit, network.system_v)
        if power >= least * (1.0 - SLACK):
            continue
        if not known[number]:
            yield rule.unjudged(circuit_subject(results, number), "whether its lamps are enough load for the flasher: "
                                "the power of one is not stated")
            continue
        acts = "flash slowly or not at all" if flasher == "thermal" else \
            "flash at double speed, as if a bulb had failed"
        yield rule.finding(
            results, circuit_subject(results, number),
            f"at {writing.stated(network.system_v, 'V')} the lamps of the flasher take "
            f"{writing.limit(power, 'W')}; a {flasher.replace('_', '-')} "
            f"flasher needs {writing.burden(least, 'W')}{'' if given else USUAL_WORDS}: they {acts}",
            figure=power, figure_side="limit", limit=least, unit="W",
            fields=(f"circuit.{network.circuit_ids[number]}.flasher",
                    f"circuit.{network.circuit_ids[number]}.flasher_load"))


SLACK = 0.1
"""Share by which the lamps may be weaker than the flasher asks: the tolerance of a bulb's power. Common practice, no
source."""

def _flasher(network: Network, number: int) -> str | None:
    """The flasher unit of a circuit whose work depends on its load; None without one."""
    circuit = network.circuits[number]
    return circuit.flasher if circuit.flasher in ("thermal", "load_sensing") and circuit.out_of_scope is None else None


RULE = Rule(
    consequence="fails_in_use",
    title="Flasher load too low",
    source="60 to 120 flashes a minute: SAE J590, second-hand; 90 within 30: UN Regulation 48, second-hand; that "
           "a thermal flasher needs its bulbs, and its load where none is given: from memory",
    caution="LED lamps also take the failed-bulb warning away: look at the lamps yourself, and check that LED lamps "
            "are allowed in these housings where you drive.",
    fix="an electronic flasher that does not watch the load; load resistors make the current up, and get hot enough "
        "to melt plastic",
    example="fails: two LED lamps of 3 W on a thermal flasher; passes: two bulbs of 21 W",
    find=find,
)

"""The load analysis for the inspector: alternator, continuous loads, intermittent loads, balance in every condition."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.engine.alternator import machine_of
from fuseplan.papers.car_facts import car_facts
from fuseplan.papers.columns import VERDICT_WORDS
from fuseplan.papers.paper import Block, Cell, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.quantities import writing

_LOADS = (TableColumn("circuit", "Circuit"), TableColumn("load", "Load"), TableColumn("use", "Use"),
          TableColumn("on_percent", "On, of the time", "%", True, "burden"),
          TableColumn("essential", "Needed to drive on"), TableColumn("known", "Current known by"),
          TableColumn("stated", "As stated"))
_DEMAND = (TableColumn("circuit", "Circuit"), TableColumn("continuous_a", "Continuous", "A", True, "burden"),
           TableColumn("five_min_a", "Over 5 min", "A", True, "burden"),
           TableColumn("five_s_a", "Over 5 s", "A", True, "burden"), TableColumn("verdict", "Verdict"))
_BALANCE = (TableColumn("condition", "Condition"), TableColumn("bus_v", "Bus", "V", True, "limit"),
            TableColumn("demand_a", "Demand", "A", True, "burden"),
            TableColumn("available_a", "Charging output", "A", True, "limit"),
            TableColumn("battery_a", "Balance", "A", True, "balance"))
_MINIMUM = ("continuous", "prolonged")


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The alternator, the loads in the order the published demand lists them, the balance."""
    alternator, plan = assessment.plan.alternator, assessment.plan
    yield Words("Contents as fire-apparatus purchase specifications ask for them (NFPA 1901 wording, 2013): nameplate "
                "and rating of the alternator, each continuous load, each intermittent load.", "note")
    if alternator is None:
        yield Pairs((("Alternator", "none in the plan"),))
    else:
        rated = "not stated" if alternator.rated is None else writing.rating(float(alternator.rated))
        yield Pairs(((f"{alternator.machine.capitalize()}, nameplate", alternator.label or rated),
                     ("Output taken", machine_of(alternator).basis),
                     ("Regulator voltage", "not stated" if alternator.regulator_voltage is None else
                      writing.stated(float(alternator.regulator_voltage), "V"))))
    battery = plan.battery
    if battery is not None:
        yield Pairs((("Battery, capacity", "not stated" if battery.capacity is None else str(battery.capacity)),
                     ("Cold-cranking current", "not stated" if battery.cold_crank is None else
                      f"{battery.cold_crank} ({battery.cold_crank_test})")))
    for name, title, uses in (("continuous", "Continuous loads", _MINIMUM),
                              ("intermittent", "Intermittent loads", ("intermittent", "momentary"))):
        rows = tuple(row for view in assessment.circuits if view.circuit.out_of_scope is None
                     for row in _loads(view, uses))
        if rows:
            yield Table(f"{name}_loads", _LOADS, rows, title)
    yield Table("demand", _DEMAND, tuple(_demand(view) for view in assessment.circuits), "Demand of every circuit, at "
                "the voltage it is chosen for")
    yield Table("balance", _BALANCE, tuple(
        (each.name, each.bus_v, each.demand_a, each.available_a, each.balance_a) for each in assessment.conditions),
        "Balance in every condition", note="Averages; a negative balance is drawn from the battery.")
    yield Words("The car as a whole", "heading")
    yield Pairs(car_facts(assessment))


def _loads(view: JudgedCircuit, uses: tuple[str, ...]) -> Iterator[tuple[Cell, ...]]:
    for index, load in enumerate(view.circuit.load):
        use = view.use_of(index)
        if use in uses:
            figure = load.current if load.current is not None else load.power
            at = f" at {load.at}" if load.at is not None else ""
            yield view.name, load.name or f"load {index + 1}", use, 100.0 * float(load.duty), \
                "yes" if load.essential else "no" if load.essential is False else "not stated", \
                load.evidence or "guess: not stated", None if figure is None else f"{figure}{at}"


def _demand(view: JudgedCircuit) -> tuple[Cell, ...]:
    found = view.load_current_a
    return view.name, found.continuous, found.five_min, found.five_s, VERDICT_WORDS[view.verdict]


SHEET = Sheet("load-analysis", "Load analysis", 130, "alternator, continuous and intermittent loads, balance: for the "
              "inspector", blocks, landscape=True)

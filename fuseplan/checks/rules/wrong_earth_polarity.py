"""A part is made for the opposite earth polarity to the car's.

Electronics and alternators hold diodes and transistors: connected the wrong way round they are a short circuit. On a
car with positive earth nothing electronic may be connected that does not say it is made for it.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_subject
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import load_in_words
from fuseplan.quantities.listing import all_of


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, earthed = results.network, results.plan.vehicle.earthed
    # What says nothing is made for negative earth.
    for number, loads in of_circuits(network, _wrong_loads, "made_for" if earthed == "negative" else None).items():
        circuit, name = network.circuits[number], network.circuit_ids[number]
        alike: dict[str, list[int]] = {}
        for index, made_for in loads:
            said = f"made for {made_for} earth" if circuit.load[index].made_for is not None else \
                f"electronic, and nothing says that THEY made for {earthed} earth"
            alike.setdefault(said, []).append(index)
        for said, members in alike.items():
            is_one = len(members) == 1
            yield rule.finding(
                results, circuit_subject(results, number),
                f"{all_of([load_in_words(circuit, index) for index in members])} {'is' if is_one else 'are'} "
                f"{said.replace('THEY', 'it is' if is_one else 'they are')}; the car's {earthed} post is earthed",
                fields=(*(f"circuit.{name}.load.{index}.made_for" for index in members), "vehicle.earthed"))
    machine = results.plan.alternator
    if machine is None:
        return
    made_for = machine.made_for or ("negative" if machine.machine == "alternator" else "either")
    if made_for not in ("either", earthed):
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"the {machine.machine} is {'' if machine.made_for else 'taken to be '}made for {made_for} earth"
            f"{'' if machine.made_for else ', as nothing else is entered'}; the car's {earthed} "
            "post is earthed: its diodes are a short circuit across the battery",
            consequence="burns", fields=("alternator.made_for", "vehicle.earthed"),
            fix=None if machine.made_for or machine.machine == "dynamo" else
            f"if it is a dynamo, state it (`machine = \"dynamo\"`); if it is an alternator, {rule.fix}")


def _wrong_loads(network: Network, number: int) -> list[tuple[int, str]] | None:
    """Loads of a circuit made for the other polarity, by number, with the one they are made for; None for none."""
    circuit = network.circuits[number]
    if circuit.out_of_scope is not None:
        return None
    made_for = [load.made_for or ("negative" if load.kind == "electronic" else "either") for load in circuit.load]
    return [(index, each) for index, each in enumerate(made_for)
            if each not in ("either", network.plan.vehicle.earthed)] or None


RULE = Rule(
    consequence="damages_a_part",
    title="Wrong earth polarity",
    source="diodes and transistors conduct one way; many units state negative earth only: common practice, no source",
    caution="Check the polarity at the battery itself before anything electronic is connected: many cars were changed "
            "over, some only in part. A dynamo must be polarised again after a change.",
    fix="fit one made for the car's earth polarity, or with both terminals insulated from its case; if the one fitted "
        "is so, enter it as `made_for`",
    example="fails: a radio in a car with positive earth; passes: the same with `made_for = \"either\"`",
    find=find,
)

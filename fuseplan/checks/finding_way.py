"""What lies on the way of the subject of a finding."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import way_back, way_to


def way_of(results: Results, finding: Finding) -> Iterator[tuple[str, str]]:
    """Owners of what lies on the way of a finding's subject: itself, its feeds, its earths, the battery; of the battery
    or an earth, which are judged while cranking, the starter's; without feeds where the earth side is judged."""
    plan, network, kind, subject = results.plan, results.network, finding.subject_kind, finding.subject
    yield kind, subject
    yield "battery", "battery"
    circuits = [subject] if kind == "circuit" else \
        [network.circuit_ids[number] for number in network.marked.get("role starter", ())] \
        if kind in ("battery", "earth") else []
    feeds: list[str | None] = [subject] if kind == "feed" else []
    earths: list[str | None] = [subject] if kind == "earth" else []
    for circuit in circuits:
        yield "circuit", circuit
        feeds.append(plan.circuit[circuit].feed)
        earths += [plan.circuit[circuit].earth, *(load.earth for load in plan.circuit[circuit].load)]
    if kind in ("alternator", "plan") and plan.alternator is not None:
        feeds, earths = [plan.alternator.feed], [plan.alternator.earth]
        yield "alternator", "alternator"
    for name in feeds if not (kind == "earth" or f"circuit.{subject}.earth" in finding.fields) else ():
        yield from (("feed", each) for each in way_to(plan, name))
    for name in earths:
        yield from (("earth", each) for each in way_back(plan, name))

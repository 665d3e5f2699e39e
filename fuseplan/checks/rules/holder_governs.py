"""The holder, the terminal or the relay socket may bear less than fuse and wire do.

Push-in holders and flat terminals heat at their contact. In practice they melt at 25 to 30 A while the fuse in them
stays whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject, segment_path, segment_subject, segment_words
from fuseplan.engine.results import Results
from fuseplan.tables import conductors, terminals
from fuseplan.tables.load import Cited

_GAUGES = ("22", "20", "18", "16", "14", "12", "10")


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, fusing = results.network, results.fusing
    holders = terminals.holders()
    for index, row in enumerate(network.fuses):
        holder = holders.get(row.fuse.holder or "")
        if holder is None:
            continue
        limit, rating = holder.continuous_a or holder.max_a, float(fusing.rating_a[index])
        for corner in range(2):
            load = float(fusing.continuous_a[corner, index])
            if limit is not None and load > limit:
                yield rule.finding(
                    results, fuse_subject(row),
                    f"{MEASURE_WORDS if corner else ''}{load:.1f} A continuous; the {holder.words} bears {limit:g} A: the "
                    "holder governs, not the wire", figure=load, limit=limit, unit="A", measure=bool(corner),
                    source=holder.source.line(), fields=(fuse_path(row, "holder"), fuse_path(row, "kind")))
                break
        if holder.max_a is not None and rating > holder.max_a:
            yield rule.finding(
                results, fuse_subject(row),
                f"a {rating:g} A fuse in a {holder.words} made for {holder.max_a:g} A at most: the holder governs, not the "
                "wire", figure=rating, limit=holder.max_a, unit="A", source=holder.source.line(),
                fields=(fuse_path(row, "holder"), fuse_path(row, "rating")))
    yield from _terminals(rule, results)


def _terminals(rule: Rule, results: Results) -> Iterator[Finding]:
    segments, demands = results.network.segments, results.demands
    for index, segment in enumerate(segments.segment):
        kinds = {end.terminal for end in (segment.start, segment.end) if end is not None and end.terminal}
        kind, name = segments.owner[index]
        part = results.plan.circuit.get(name) if kind == "circuit" else results.plan.feed.get(name)
        if part is not None and part.relay is not None and part.relay.socket and segments.place[index] == "wire.0":
            kinds.add(part.relay.socket)
        for terminal in sorted(kinds):
            found = limit_of(terminal, float(segments.area_mm2[index]))
            if found is None:
                continue
            for corner in range(2):
                load = float(demands.lasting[corner, index])
                if load > found.value:
                    yield rule.finding(
                        results, segment_subject(results, index),
                        f"{MEASURE_WORDS if corner else ''}{load:.1f} A through terminal {terminal} on "
                        f"{segment_words(results, index)}; it bears {found.value:g} A: the terminal governs, not the wire",
                        figure=load, limit=found.value, unit="A", measure=bool(corner), source=found.source.line(),
                        fields=(segment_path(results, index, "size"),))
                    break


@lru_cache(maxsize=256)
def limit_of(terminal: str, area_mm2: float) -> Cited[float] | None:
    """Current in A a terminal bears on a wire; None where its name or size is not on file.

    ``flat_6.3`` and ``flat_2.8`` are flat push-on terminals, ``sealed_20``, ``sealed_16`` and ``sealed_12`` contacts
    of sealed connectors.
    """
    family, _, size = terminal.partition("_")
    if family == "sealed":
        return terminals.sealed_contact_a(size)
    series = {"6.3": 250, "2.8": 110}.get(size) if family == "flat" else None
    if series is None:
        return None
    best: Cited[float] | None = None
    for gauge in _GAUGES:
        if conductors.conductor("AWG", gauge).area_mm2 <= area_mm2 * 1.05:
            found = terminals.faston_a(series, gauge)
            best = Cited(found.value[0], found.source) if found is not None else best
    return best


_CIRCUIT = """
[circuit.fan]
feed = "bus"
fuse = {{ kind = "maxi", rating = "60 A", holder = "{holder}" }}
wire = [{{ size = "16 mm2", length = "1 m", zone = "cabin", insulation = "pvc105" }}]
earth = "battery_negative"
[[circuit.fan.load]]
current = "{current}"
at = "14.2 V"
kind = "motor"
evidence = "measured"
when = ["engine"]
"""

RULE = Rule(
    level="danger",
    title="Holder governs",
    source="holder and terminal data sheets",
    caution="A holder that is warm to the touch is on its way to melting; a bigger fuse makes it worse.",
    remedy="a bolted fuse or a holder of the next size, or two circuits",
    find=find,
    obeys=_CIRCUIT.format(holder="maxi_in_line", current="35 A"),
    breaks=_CIRCUIT.format(holder="maxi_in_line", current="52 A"),
)

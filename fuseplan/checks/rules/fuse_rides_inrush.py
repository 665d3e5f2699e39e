"""A fuse must ride the surge when its load is switched on.

Motors and cold lamps draw many times their running current for a moment. A surge up to a tenth of a second is held as
heat against the fuse's melting I²t, by a published pulse chart; a longer one against the least opening time.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_subject, fuse_path
from fuseplan.engine.clearing import least_time_s
from fuseplan.engine.fusing import ladder
from fuseplan.engine.inrush import PULSES, SHORT_PULSE_S
from fuseplan.engine.results import Results
from fuseplan.tables import fuses as fuse_tables


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    inrush, consumers, network = results.inrush, results.network.consumers, results.network
    for consumer in np.flatnonzero(inrush.rides == 0).tolist():
        circuit, device = int(consumers.circuit[consumer]), int(inrush.device[consumer])
        row, rating = network.fuses[device], float(results.fusing.rating_a[device])
        through, length = float(inrush.through_a[consumer]), float(inrush.length_s[consumer])
        load = network.circuits[circuit].load[int(consumers.number[consumer])]
        if length <= SHORT_PULSE_S:
            melting = fuse_tables.melting_i2t_a2s(row.fuse.kind, rating)
            limit = fuse_tables.pulse_fraction(PULSES).value * (melting.value if melting else np.nan)
            figure, unit = float(inrush.heat_a2s[consumer]), "A²s"
            words = f"{figure:.0f} A²s; {rating:g} A bears {limit:.0f} A²s {PULSES:,} times".replace(",", " ")
        else:
            figure, unit = length, "s"
            limit = float(np.nan_to_num(least_time_s(row.fuse.kind, rating, np.array(through))))
            words = f"{length:g} s; {rating:g} A may open after {limit:g} s at that current"
        fits = [step for step in ladder(row.fuse.kind) if rating < step <= results.fusing.high_a[device]
                and _rides(row.fuse.kind, step, through, length)]
        yield rule.finding(
            results, circuit_subject(results, circuit),
            f"switching on '{load.name or 'load'}' draws {through:.0f} A for {words}", figure=figure, limit=limit, unit=unit,
            remedy=f"fit {fits[0]:g} A: the wire allows it" if fits else
            "a slower type of fuse, or a thicker wire with the larger fuse",
            fields=(fuse_path(row, "rating"), f"circuit.{network.circuit_ids[circuit]}.load.{int(consumers.number[consumer])}"
                    ".inrush"),
        )


def _rides(kind: str, rating: float, through_a: float, length_s: float) -> bool:
    if through_a <= rating or float(np.nan_to_num(least_time_s(kind, rating, np.array(through_a)))) >= length_s:
        return True
    melting = fuse_tables.melting_i2t_a2s(kind, rating)
    return (length_s <= SHORT_PULSE_S and melting is not None
            and through_a**2 * length_s <= fuse_tables.pulse_fraction(PULSES).value * melting.value)


_CIRCUIT = """
[circuit.fan]
feed = "bus"
fuse = {{ kind = "mini", rating = "{rating}" }}
wire = [{{ size = "4 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }}]
earth = "battery_negative"
[[circuit.fan.load]]
current = "10 A"
at = "13.5 V"
kind = "motor"
inrush = 5
inrush_time = "500 ms"
evidence = "plate"
when = ["engine"]
"""

RULE = Rule(
    level="warning",
    title="Fuse rides the inrush",
    source="short pulses: 22 % of melting I²t for 100,000 pulses, Littelfuse catalogue rev. 03/03/17 p. 12, a chart for "
    "electronic fuses, not for vehicle blade fuses; longer surges: the type's least opening time",
    caution="A fuse that blows at switch-on tempts to a bigger one: change the wire with it, or the type.",
    remedy="a slower or larger fuse, with the wire that allows it",
    find=find,
    obeys=_CIRCUIT.format(rating="30 A").replace('inrush_time = "500 ms"', 'inrush_time = "100 ms"'),
    breaks=_CIRCUIT.format(rating="15 A"),
)

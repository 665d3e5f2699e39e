"""The voltage while cranking is too low at the battery, the control unit, a relay or the solenoid.

A starter draws hundreds of amperes. The voltage drop of battery, cable, strap and joints then decides whether the
control unit keeps working and the engine starts, or only turns.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.limit import over_limit, under_limit
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.stated_resistances import StatedResistance, on_way, stated_resistances
from fuseplan.checks.subjects import Subject, owner_words, stronger_battery
from fuseplan.engine.at_limit import reaches
from fuseplan.engine.cranking import Cranking, Piece, Survivor, unmeasured_survivors
from fuseplan.engine.cranking_limits import side_limit
from fuseplan.engine.intervals import CRANKING_S
from fuseplan.engine.results import Results
from fuseplan.engine.source import battery_known
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.results.cranking import CrankConsumer, CrankingResult

_FIXES = {
    "relay": "a relay with a lower pull-in voltage, or a supply point closer to the battery",
    "solenoid": "a relay near the starter that feeds terminal 50 from the battery",
    "control unit": "a feed of its own from the battery, or a thicker starter cable",
}

_OR_STARTER = "or a starter that draws less"
WHILE_CRANKING = "while cranking"
_STRAP = "a strap of the size of the battery's earth cable, short, on bare metal, and clean joints"


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    cranking = results.power.cranking
    if not cranking.known or not battery_known(results.plan.battery):
        yield from _unjudged(rule, results)
        return
    limit = cranking.battery_limit
    for _, bound, volts, _ in under_limit(cranking.battery_v[:, None], limit.value).failing:
        current = float(cranking.current_a[bound])
        yield rule.finding(
            results, ("battery", "battery"),
            f"lowest battery voltage {writing.limit(volts, 'V')} while cranking with {writing.burden(current, 'A')}; a "
            f"workshop load test asks for at least {writing.burden(limit.value, 'V')} at "
            f"{writing.stated(cranking.battery_c, '°C')}", figure=volts, figure_side="limit", limit=limit.value,
            unit="V", source=limit.source.line(), bound=bound,
            fix=f"{stronger_battery(results)[0]}, {_OR_STARTER}", fields=stronger_battery(results)[1:])
    yield from _return(rule, results, cranking)
    for survivor in cranking.survivors:
        yield from _survivor(rule, results, survivor)


def _unjudged(rule: Rule, results: Results) -> Iterator[Unjudged]:
    """The battery, and whoever must work while cranking. Without a starter in the plan that is who the plan says must
    run then, unless a load that is on then lacks its current: it may be the starter."""
    network, cranking = results.network, results.power.cranking
    if cranking.condition < 0:
        return
    words = "voltage while cranking: the battery's cold-cranking current is not given" if cranking.known or \
        cranking.starter is not None else "voltage while cranking: the starter's current is not given"
    yield rule.unjudged(("battery", "battery"), words)
    consumers = network.consumers
    on = consumers.circuit[consumers.on[cranking.condition] & (consumers.circuit >= 0)]
    starts = cranking.starter is not None or not bool(network.current_known[on].all())
    for each in unmeasured_survivors(network, limited=True):
        if starts or each.must_run:
            kind, name = each.owner
            yield rule.unjudged(("feed", name) if kind == "feed" else ("circuit", name), words)


def _return(rule: Rule, results: Results, cranking: Cranking) -> Iterator[Finding]:
    limit = side_limit("return", results.network.system_v)
    for _, bound, drop, _ in over_limit(cranking.return_drop_v[:, None], limit.value).failing:
        worst = _worst_return(cranking, bound)
        most = "" if worst is None else f", {writing.burden(worst.drop_v[bound], 'V')} of it at " \
            f"{owner_words(results, worst.owner)}"
        strap = worst is not None and worst.engine_strap
        subject: Subject = ("earth", worst.owner[1]) if worst is not None and worst.owner[0] == "earth" else \
            ("battery", "battery")
        stated = [] if worst is None else [each for each in stated_resistances(results)
                                           if each.returns and each.node == worst.node
                                           and each.gain_ohm > worst.resistance_ohm / 2]
        yield rule.finding(
            results, subject,
            f"earth-side voltage drop of the starter {writing.burden(drop, 'V')} while cranking{most}; the limit is "
            f"{writing.limit(limit.value, 'V')}", figure=drop, limit=limit.value, unit="V", bound=bound,
            source=limit.source.line(),
            caution="What the strap does not carry returns through control cables, fuel pipes, gearbox bearings and "
                    "the thin earth wires of the loom, which smoke and melt." if strap else None,
            fix=stated[0].words if stated else _STRAP,
            fields=(*(each.path for each in stated), f"earth.{subject[1]}.wire.0.size" if subject[0] == "earth" else
                    "battery.internal_resistance"))


def _worst_return(cranking: Cranking, bound: int) -> Piece | None:
    """What loses most of the starter's current on its way back."""
    return max((piece for piece in cranking.pieces if piece.side == "return"),
               key=lambda piece: float(piece.drop_v[bound]), default=None)


def _survivor(rule: Rule, results: Results, survivor: Survivor) -> Iterator[Finding]:
    checks: list[tuple[float, str, str]] = []
    if survivor.limit is not None:
        checks.append((survivor.limit.value, survivor.limit.source.line(), "does not work below"))
    if survivor.safe is not None:
        checks.append((survivor.safe.value, survivor.safe.source.line(), "reliably works only above"))
    failing = [(bound, order) for order, (limit, _, _) in enumerate(checks)
               for _, bound in under_limit(survivor.volts[:, None], limit).fails]
    if not failing:
        return
    bound, order = min(failing)
    limit, source, words = checks[order]
    volts, (kind, name) = float(survivor.volts[bound]), survivor.owner
    cause = _shared_cause(results, survivor, bound, limit - volts)
    lacks = results.power.cranking.battery_limit.value - float(results.power.cranking.battery_v[bound])
    strap = None if cause else _strap(results, survivor, bound, limit - volts)
    stronger, strength = stronger_battery(results)
    own = f"{kind}.{name}.wire.0.size"
    fields: tuple[str, ...]
    if cause:
        fix, fields = cause.words, (cause.path, own)
    elif strap:
        fix, fields = _STRAP, (strap, own)
    elif lacks > 0 and reaches(volts + lacks, limit):
        fix, fields = f"{stronger}, {_OR_STARTER}", (strength, own)
    elif survivor.kind == "control unit":
        fix, fields = f"{_FIXES[survivor.kind]}, or {stronger}", (own, strength)
    else:
        fix, fields = _FIXES[survivor.kind], (own,)
    yield rule.finding(
        results, ("feed", name) if kind == "feed" else ("circuit", name),
        f"{survivor.what} of {in_words(results.plan, kind, name)} has {writing.limit(volts, 'V')} {_when(survivor)}; a "
        f"{survivor.kind} {words} {writing.burden(limit, 'V')}", figure=volts, figure_side="limit", limit=limit,
        unit="V", source=source, bound=bound, fix=fix, fields=fields)


def _shared_cause(results: Results, survivor: Survivor, bound: int, short_v: float) -> StatedResistance | None:
    """What on the starter current's way, mended alone, gives a consumer so many volts more; None where nothing does."""
    consumers, stated = results.network.consumers, stated_resistances(results)
    ways = {False: int(consumers.supply_node[survivor.consumer]), True: int(consumers.return_node[survivor.consumer])}
    near = [each for returns, node in ways.items() for each in on_way(results, stated, returns, node)]
    gains = {each: float(piece.drop_v[bound]) * each.gain_ohm / piece.resistance_ohm
             for each in near for piece in results.power.cranking.pieces
             if (piece.side == "return", piece.node) == (each.returns, each.node) and piece.resistance_ohm > 0}
    best = max(gains, key=gains.__getitem__, default=None)
    return best if best is not None and gains[best] > 0 and gains[best] >= short_v else None


def _strap(results: Results, survivor: Survivor, bound: int, short_v: float) -> str | None:
    """The key of the strap that a consumer and the starter return through, where it alone gives the consumer so many
    volts more once the starter loses no more there than it may; None where it does not."""
    cranking, tree = results.power.cranking, results.network.returns
    worst = _worst_return(cranking, bound)
    spare_v = float(cranking.return_drop_v[bound]) - side_limit("return", results.network.system_v).value
    if worst is None or worst.owner[0] != "earth" or _when(survivor) != WHILE_CRANKING \
            or not reaches(min(spare_v, float(worst.drop_v[bound])), short_v):
        return None
    node = int(results.network.consumers.return_node[survivor.consumer])
    while node not in (0, worst.node):
        node = int(tree.parent[node])
    return f"earth.{worst.owner[1]}.wire.0.size" if node == worst.node else None


def _when(survivor: Survivor) -> str:
    return WHILE_CRANKING if (survivor.volts == survivor.hold_v).all() else "while it pulls in"


RULE = Rule(
    consequence="stops_the_car",
    title="Low cranking voltage",
    source="load test of a battery, 9.6 V at 21 °C to 8.5 V at -18 °C: car makers' workshop manuals, 2000 to 2009",
    caution=f"Crank for {writing.stated(CRANKING_S, 's')} at most and let the starter cool: a cable too thin for it "
            "glows. Keep hands, hair and leads clear of belts and fan, gear in neutral.",
    fix="a battery with a higher cold-cranking current or less internal resistance, thicker and shorter cables, clean "
        "joints",
    example="fails: a 600 A starter on a 540 A battery; passes: 150 A",
    find=find,
    figures=((CrankingResult.battery_v, CrankingResult.battery_limit_v),
             (CrankingResult.battery_upper_v, CrankingResult.battery_limit_v), (CrankingResult.supply_drop_v, None),
             (CrankingResult.return_drop_v, None), (CrankConsumer.volts, CrankConsumer.limit_v)),
    resistance=True,
    ambient=True,
)

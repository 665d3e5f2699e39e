"""The voltage while cranking is too low at the battery, the control unit, a relay or the solenoid.

A starter draws hundreds of amperes. The voltage drop of battery, cable, strap and joints then decides whether the
control unit keeps working and the engine starts, or only turns.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from fuseplan.checks.drop_fixes import drop_fixes, is_a_mend
from fuseplan.checks.drop_ways import Lack
from fuseplan.checks.fix import NO_FIX, Fix
from fuseplan.checks.fuse_with_wire import in_place
from fuseplan.checks.limit import over_limit, under_limit
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import Subject, owner_words, stronger_battery
from fuseplan.engine.at_limit import exceeds, reaches
from fuseplan.engine.cranking import Cranking, Piece, Survivor, starter_consumer, unmeasured_survivors
from fuseplan.engine.cranking_limits import side_limit
from fuseplan.engine.intervals import CRANKING_S
from fuseplan.engine.results import Results
from fuseplan.engine.source import battery_known
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.results.cranking import CrankConsumer, CrankingResult
from fuseplan.tables.load import Cited

_OWN_FEED = "a feed of its own from the battery"
_FIXES = {
    "relay": "a relay with a lower pull-in voltage, or a supply point closer to the battery",
    "solenoid": "a relay near the starter that feeds terminal 50 from the battery",
    "control unit": f"{_OWN_FEED}, or a thicker starter cable",
}

_OR_STARTER = "or a starter that draws less"
WHILE_CRANKING = "while cranking"
_STRAP = "a thicker or shorter strap, or a second one beside it, on bare metal, and clean joints"


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
    back, starved = _return(results, cranking), list(_starved(cranking))
    wanting = [each for each in starved if each.short_v < each.lost_v]
    fixes = drop_fixes(results, [*back, *(each.lack(results) for each in wanting)])
    for lack, fix in zip(back, fixes, strict=False):
        yield _of_the_starter(rule, results, lack, fix)
    found = {id(each): fix for each, fix in zip(wanting, fixes[len(back):], strict=True)}
    for each in starved:
        yield _of_a_survivor(rule, results, each, found.get(id(each), NO_FIX), strap=bool(back))


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


def _return(results: Results, cranking: Cranking) -> list[Lack]:
    """What the starter loses on its way back, at the bound it fails first."""
    network, limit = results.network, side_limit("return", results.network.system_v)
    return [Lack(starter_consumer(network, cranking.condition), bound, 0, _row(results, bound), float(drop),
                 limit.value, 0, supply=False, returns=True)
            for _, bound, drop, _ in over_limit(cranking.return_drop_v[:, None], limit.value).failing]


def _row(results: Results, bound: int) -> int:
    """The row of the solution in which the starter turns."""
    return bound * len(results.network.conditions) + results.power.cranking.condition


def _of_the_starter(rule: Rule, results: Results, lack: Lack, fix: Fix) -> Finding:
    limit, bound = side_limit("return", results.network.system_v), lack.bound
    worst = _worst_return(results.power.cranking, bound)
    most = "" if worst is None else f", {writing.burden(worst.drop_v[bound], 'V')} of it at " \
        f"{owner_words(results, worst.owner)}"
    strap = worst is not None and worst.engine_strap
    subject: Subject = ("earth", worst.owner[1]) if worst is not None and worst.owner[0] == "earth" else \
        ("battery", "battery")
    if fix.sizes:
        fitted = in_place(results, [(index, results.network.stock.wire_words(size)) for index, size in fix.sizes])
        fix = fix._replace(words=f"fit {fitted}, on bare metal, with clean joints")
    elif all(each.endswith(".size") for each in fix.fields):
        fix = fix._replace(words=_STRAP)
    return rule.finding(
        results, subject,
        f"earth-side voltage drop of the starter {writing.burden(lack.lost_v, 'V')} while cranking{most}; the limit is "
        f"{writing.limit(limit.value, 'V')}", figure=lack.lost_v, limit=limit.value, unit="V", bound=bound,
        source=limit.source.line(), fix=fix,
        caution="What the strap does not carry returns through control cables, fuel pipes, gearbox bearings and the "
                "thin earth wires of the loom, which smoke and melt." if strap else None)


def _worst_return(cranking: Cranking, bound: int) -> Piece | None:
    """What loses most of the starter's current on its way back."""
    return max((piece for piece in cranking.pieces if piece.side == "return"),
               key=lambda piece: float(piece.drop_v[bound]), default=None)


class _Starved(NamedTuple):
    """A consumer with too little voltage while cranking."""

    survivor: Survivor
    bound: int
    volts: float
    lost_v: float
    """What is lost between the battery and it."""
    turns: bool
    """Whether the starter turns, or solenoids still pull in."""
    limit: Cited[float]
    words: str

    @property
    def short_v(self) -> float:
        """What it lacks."""
        return self.limit.value - self.volts

    def lack(self, results: Results) -> Lack:
        """What its wires are to lose less."""
        pulling = None if self.turns else results.power.cranking.pulling
        return Lack(self.survivor.consumer, self.bound, 0, _row(results, self.bound), self.lost_v,
                    self.lost_v - self.short_v, 0, returns=True,
                    apart=None if pulling is None else (pulling, self.bound))


def _starved(cranking: Cranking) -> Iterator[_Starved]:
    """Those that have too little, each with the limit it fails for certain, else that it may fail."""
    for survivor in cranking.survivors:
        checks = [(limit, words) for limit, words in (
            (survivor.limit, "does not work below"), (survivor.safe, "reliably works only above")) if limit is not None]
        failing = [(bound, order) for order, (limit, _) in enumerate(checks)
                   for _, bound in under_limit(survivor.volts[:, None], limit.value).fails]
        if failing:
            bound, order = min(failing)
            volts, turns = float(survivor.volts[bound]), bool((survivor.volts == survivor.hold_v).all())
            battery_v = cranking.battery_v if turns or cranking.pulling is None else cranking.pulling.root_v
            yield _Starved(survivor, bound, volts, float(battery_v[bound]) - volts, turns, *checks[order])


def _of_a_survivor(rule: Rule, results: Results, starved: _Starved, fix: Fix, *, strap: bool) -> Finding:
    survivor, bound, limit = starved.survivor, starved.bound, starved.limit
    kind, name = survivor.owner
    lacks = results.power.cranking.battery_limit.value - float(results.power.cranking.battery_v[bound])
    stronger, strength = stronger_battery(results)
    own = f"{kind}.{name}.wire.0.size"
    if fix.values and _in_a_sound_cable(results, fix, bound):
        fix = NO_FIX
    if fix.words and is_a_mend(fix):
        pass
    elif lacks > 0 and reaches(starved.volts + lacks, limit.value) and not (strap and fix.values):
        fix = Fix(f"{stronger}, {_OR_STARTER}", (strength, own))
    elif fix.values:
        if survivor.kind == "control unit" and fix.values[0][0].startswith("feed."):
            fix = fix._replace(words=f"{fix.words}, or {_OWN_FEED}")
    elif survivor.kind == "control unit":
        fix = Fix(f"{_FIXES[survivor.kind]}, or {stronger}", (*(fix.fields or (own,)), strength))
    else:
        fix = Fix(_FIXES[survivor.kind], fix.fields or (own,))
    return rule.finding(
        results, ("feed", name) if kind == "feed" else ("circuit", name),
        f"{survivor.what} of {in_words(results.plan, kind, name)} has {writing.limit(starved.volts, 'V')} "
        f"{WHILE_CRANKING if starved.turns else 'while it pulls in'}; a {survivor.kind} {starved.words} "
        f"{writing.burden(limit.value, 'V')}",
        figure=starved.volts, figure_side="limit", limit=limit.value, unit="V", source=limit.source.line(),
        bound=bound, fix=fix)


def _in_a_sound_cable(results: Results, fix: Fix, bound: int) -> bool:
    """Whether a fix is for a wire that carries the starter's current and loses no more of it than it may: nobody fits
    a thicker one for a control unit."""
    cranking = results.power.cranking
    lost_v = {"supply": cranking.supply_drop_v[bound], "return": cranking.return_drop_v[bound]}
    sound = {f"{kind}.{name}." for piece in cranking.pieces for kind, name in (piece.owner,)
             if not exceeds(lost_v[piece.side], side_limit(piece.side, results.network.system_v).value)}
    return any(path.startswith(each) for path, _ in fix.values for each in sound)


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

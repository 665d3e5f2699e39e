"""A wire from the battery has no fuse.

A wire without a fuse that chafes through carries hundreds of amperes until something burns. The published list of
exceptions is short: starter, glow plugs, the alternator cable, and the short link to the first fuses. The exception
must be stated as the wire's role, with its length and its cover; a reason in words does not count.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.coil_fuses import coil_fields, coil_fuse_fix
from fuseplan.checks.fix import NO_FIX, Fix
from fuseplan.checks.fixes import insulation_without_current
from fuseplan.checks.own_fuse import is_sold, past_the_file, smallest_with_wires
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import Subject, segment_path, segment_subject
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.fusing import smallest_at_start
from fuseplan.engine.results import Results
from fuseplan.engine.unfused import CABLE_M, CABLE_SOURCE, LENGTH_SOURCE, Excuse, Unfused, longest_m, reason_given
from fuseplan.plan.coils import is_coil_wire, relay_of
from fuseplan.plan.feed_way import only_named, way_to
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words
from fuseplan.plan.roles import MAY_BE_UNFUSED, proposed_role
from fuseplan.plan.words import FEED_ROLES
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, plan = results.network, results.plan
    bare = np.flatnonzero(network.guard[network.circuit_node] < 0).tolist()
    circuits = [network.circuit_ids[number] for number in bare
                if network.circuits[number].fuse is None and network.circuits[number].out_of_scope is None
                and not only_named(network.circuits[number])]
    feeds = _bare_feeds(results)
    yield from _joined_unfused(rule, results)
    yield from _coils_unfused(rule, results)
    if not circuits and not feeds:
        return
    unfused = Unfused(results.network)
    judged: list[tuple[Subject, Excuse, str | None]] = [
        *((("feed", name), unfused.feed(name), plan.feed[name].unfused) for name in feeds),
        *((("circuit", name), unfused.circuit(name), plan.circuit[name].unfused) for name in circuits)]
    failing = [each for each in judged if not each[1].holds]
    allowed = _largest(results) if failing else {}
    unfused_feeds = {subject[1] for subject, _, _ in failing if subject[0] == "feed"}
    for subject, excuse, reason in failing:
        yield _finding(rule, results, subject, excuse, reason, allowed, unfused,
                       fuse_for_both(plan, unfused, subject, unfused_feeds))


def _bare_feeds(results: Results) -> list[str]:
    """Feeds to which a wire leads that no fuse protects."""
    network = results.network
    return [name for name, feed in results.plan.feed.items()
            if feed.upstream is not None and feed.wire and network.guard[network.feed_node[name]] < 0]


def feeds_to_fuse(results: Results) -> set[str]:
    """Those of them that may not go without one."""
    bare = _bare_feeds(results)
    unfused = Unfused(results.network) if bare else None
    return {name for name in bare if unfused is not None and not unfused.feed(name).holds}


def fuse_for_both(plan: Plan, unfused: Unfused, subject: Subject, feeds: set[str]) -> Fix:
    """Of a branch that is too long from the battery alone, the fuse that one of some feeds lacks and that would excuse
    it, as the beginning of a fix; nothing for others."""
    if subject[0] != "circuit" or unfused.of(subject).role is None or not unfused.branch(subject):
        return NO_FIX
    way = reversed(list(way_to(plan, plan.circuit[subject[1]].feed)))
    return next((Fix(f"fit a fuse where the wire to {in_words(plan, 'feed', each)} starts: it protects this branch "
                     "against shorts as well; without one, ", (f"feed.{each}.fuse.rating",))
                 for each in way if each in feeds), NO_FIX)


def _joined_unfused(rule: Rule, results: Results) -> Iterator[Finding]:
    """Further feeds that reach a circuit's wire behind its fuse, and have none themselves."""
    network = results.network
    for number in network.marked.get("also_from", ()):
        circuit = network.circuits[number]
        bare = [name for name in circuit.also_from if name in network.feed_node
                and network.guard[network.feed_node[name]] < 0]
        if bare and circuit.out_of_scope is None:
            yield rule.finding(
                results, ("circuit", network.circuit_ids[number]),
                "no fuse protects its common wire where it is also fed from "
                f"{' and '.join(in_words(results.plan, 'feed', each) for each in bare)}",
                fix="a fuse where each further feed joins it",
                fields=(f"circuit.{network.circuit_ids[number]}.also_from",))


def _coils_unfused(rule: Rule, results: Results) -> Iterator[Finding]:
    """Coil wires of relays from a feed that no fuse protects: none may go without one, however short."""
    network, segments = results.network, results.network.segments
    found: dict[Subject, list[int]] = defaultdict(list)
    for index in np.flatnonzero(network.segment_guard < 0).tolist():
        if is_coil_wire(segments.place[index]):
            found[segment_subject(results, index)].append(index)
    for (kind, name), wires in found.items():
        relay = relay_of(results.plan, (kind, name))
        fed = "" if relay is None or relay.coil_feed not in results.plan.feed else \
            f", fed from {in_words(results.plan, 'feed', relay.coil_feed)}"
        hopeless = next(filter(None, (insulation_without_current(results, each) for each in wires)), None)
        yield rule.finding(
            results, (kind, name), f"no fuse protects the coil wires of its relay{fed}",
            fix=f"{'' if hopeless is None else f'{hopeless}; then '}{coil_fuse_fix(results, wires[0])}",
            fields=(*coil_fields(results, wires[0]), segment_path(results, wires[0], "size")))


WHERE = "at the supply end, as near to it as possible"
NEAR = 1.5
"""A cable up to so many times the length allowed may be shortened to it: that is named before a fuse. Common practice,
no source."""


def _finding(rule: Rule, results: Results, subject: Subject, excuse: Excuse, reason: str | None,
             allowed: dict[tuple[str, str], tuple[float, int]], unfused: Unfused, for_both: Fix) -> Finding:
    path = f"{subject[0]}.{subject[1]}"
    roles = " or ".join(f"`{role}`" for role in (MAY_BE_UNFUSED if subject[0] == "circuit" else FEED_ROLES))
    most, thinnest = allowed.get(subject, (float("inf"), -1))
    least = float(smallest_at_start(results.network, results.demands.supply, subject)[0])
    between = not exceeds(least, most) and np.isfinite(most) and not is_sold(least, most)
    too_thin, past = between or bool(exceeds(least, most)), past_the_file(results, subject)
    wired = smallest_with_wires(results, -1, thinnest) if between and past is None else None
    if past is not None:
        fuse = f"check the load current: {past}; a larger fuse needs a wire rated for it"
    elif wired is not None:
        fuse = f"{wired[0]}, and then a fuse of {writing.rating(wired[1])} {WHERE}: no rating on file lies between " \
               f"{writing.SMALLEST_FUSE(least)}, the smallest for the load, and {writing.LARGEST_FUSE(most)}, the " \
               "largest for its thinnest wire"
    else:
        fuse = _fuse(least, most, too_thin)
    cable = _may_be(results.plan, unfused, subject, excuse) if excuse.role is None else ""
    hopeless = insulation_without_current(results, thinnest)
    if hopeless is not None and not cable:
        fuse = f"{hopeless}; then {fuse}"
    given = reason_given(reason)
    if excuse.role is None:
        link = "" if subject[0] == "circuit" else \
            f" ({writing.limit(longest_m('battery_link'), 'm')} of a `battery_link`)"
        message = f"no fuse protects it, and it has no role that may go without one{given}"
        fix = f"{cable}; else {fuse}" if cable else \
            f"{fuse}; only the role {roles} may go without one, with the length of every wire from the battery " \
            f"stated, {writing.limit(CABLE_M, 'm')} at most in all{link}, and with a cover for each"
    else:
        message = f"the role `{excuse.role}` does not excuse the missing fuse: {'; '.join(excuse.against)}{given}"
        shorten = f"shorten the cable to {writing.limit(excuse.most_m, 'm')} from the battery, cover it all the way " \
                  "and state its length and cover"
        if excuse.to_state:  # which no length and no cover replaces
            shorten = excuse.to_state + (f", and {shorten}" if excuse.left else "")
        far = excuse.length_m > NEAR * excuse.most_m and not too_thin
        fix = f"{fuse}, or {shorten}" if far else f"{shorten}, or {fuse}"
        fix = for_both.words + fix
    known = excuse.length_m if np.isfinite(excuse.length_m) and excuse.length_m > 0 else None
    return rule.finding(
        results, subject, message, fix=fix, figure=known, unit="m" if known is not None else "",
        source=f"{CABLE_SOURCE}; battery_link: {LENGTH_SOURCE}" if subject[0] == "feed" else None,
        fields=(*for_both.fields, *((f"{path}.role",) if cable else ()),
                f"{path}.fuse.rating", f"{path}.fuse.kind", f"{path}.role",
                *((segment_path(results, thinnest, "size"),) if between else ())),
        sizes=() if wired is None else wired[2])


def _may_be(plan: Plan, unfused: Unfused, subject: Subject, excuse: Excuse) -> str:
    """What to state, as an order, of a wire without a role that by what is on it, or by the name of its circuit, may be
    one that goes without a fuse; empty for any other."""
    kind, name = subject
    if kind == "feed":
        feed = unfused.would_be(name)
        return "" if feed is None else \
            f"if it is the {feed.replace('_', ' ')}, state the role `{feed}`: that may go without one"
    role = proposed_role(name, plan.circuit[name])
    if role not in MAY_BE_UNFUSED or exceeds(excuse.length_m, CABLE_M):
        return ""
    return f"if it is {'the starter' if role == 'starter' else 'for glow plugs'}, state the role `{role}`, with the " \
           "length of its wires and what covers them: a short covered cable may go without one"


def _fuse(least_a: float, most_a: float, too_thin: bool) -> str:
    """Which fuse to fit, as an order: one that carries the load, and that its thinnest wire allows."""
    is_known = least_a > 0.0
    least = f" of {writing.SMALLEST_FUSE(least_a)} or more" if is_known else ""
    if too_thin or most_a <= 0.0:
        thinnest = f": its thinnest is rated for {writing.LARGEST_FUSE(most_a)}" if most_a > 0.0 else ""
        return f"fit a fuse{least} {WHERE}, with a wire rated for that fuse{thinnest}"
    if not np.isfinite(most_a):
        return f"fit a fuse{least} {WHERE}"
    sizes = f" of {writing.LARGEST_FUSE(most_a)} at most" if not is_known else \
        f" from {writing.SMALLEST_FUSE(least_a)} to {writing.LARGEST_FUSE(most_a)}"
    return f"fit a fuse{sizes}, the rating of its thinnest wire, {WHERE}"


def _largest(results: Results) -> dict[tuple[str, str], tuple[float, int]]:
    """The largest fuse that all wires of a part allow [A], and the wire that sets it."""
    segments = results.network.segments
    found: dict[tuple[str, str], tuple[float, int]] = {}
    for index, most in enumerate(results.largest_fuse_a.tolist()):
        before = found.get(segments.owner[index], (np.inf, -1))[0]
        if not is_coil_wire(segments.place[index]) and not np.isnan(before) and not most >= before:
            found[segments.owner[index]] = most, index
    return found


RULE = Rule(
    consequence="burns",
    title="No fuse",
    source=CABLE_SOURCE,
    caution="A battery can drive hundreds of amperes through an unfused wire: it glows and burns before anybody can "
            "disconnect it.",
    fix="a fuse where the wire starts",
    example="fails: an amplifier on 4 m of 6 mm² straight from the battery post; passes: a covered starter cable of 1 "
            "m with `role = \"starter\"`",
    find=find,
    lack=True,
)

"""A fuse that is added: where a circuit or feed has none, or only that of the feed before it."""

from __future__ import annotations

import math

from fuseplan.advice.draft import DISTANCE, OUT_OF_SCOPE, WITHIN, Draft, Owner
from fuseplan.advice.edit import owner_key
from fuseplan.advice.look import Look
from fuseplan.checks.own_fuse import past_the_file
from fuseplan.checks.rule import Finding
from fuseplan.checks.rules.second_battery_unprotected import fuse_to_fit
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.engine.stock import usual_ratings
from fuseplan.plan.model import Circuit, Feed
from fuseplan.plan.parts import Fuse
from fuseplan.quantities import writing

LEAST_BRANCH = 0.75
"""A branch gets a fuse of its own where what it carries is at most this share of the fuse before it, or of its load: a
smaller rating then carries it. Common practice, no source."""
MOST_SHARE = 0.5
"""A feed that hands out no more than this share of the largest fuse of circuits is fused like a circuit. Common
practice, no source."""
BOLT_IN = ("midi", "mega", "strip")
"""Types held by bolts, which nobody fits for a small load while a plug-in fuse is sold for it."""
_FITTED = ("blade", "mini", "maxi", "midi")
"""Types of a fuse that is added, where that wanted is not at hand."""


def is_branch(draft: Draft, results: Results, owner: Owner) -> bool:
    """Whether a circuit or feed without a fuse of its own is so small a part of the load of the fuse before it that one
    of its own can be smaller, and one may be added."""
    network, demands = results.network, results.demands
    kind, name = owner
    if kind == "circuit":
        number = network.circuit_ids.index(name)
        part: Circuit | Feed = network.circuits[number]
        node, own_a = int(network.circuit_node[number]), demands.circuit[0, :, number]
        if network.circuits[number].out_of_scope is not None:
            return False
    else:
        part, node = network.plan.feed[name], network.feed_node[name]
        own_a = demands.supply[0, :, node]
    guard = int(network.guard[node])
    if part.fuse is not None or guard < 0 or not draft.in_scope(owner) or past_the_file(results, owner) is not None:
        return False
    before_a = float(demands.supply[0, :, network.fuse_node[guard]].max())
    if math.isnan(before_a):  # something behind it is not chosen yet: the fuse itself then says what it is for
        before_a = float(results.fusing.rating_a[guard])
    return at_most(float(own_a.max()), LEAST_BRANCH * before_a)


def fit_fuse(draft: Draft, results: Results, owner: Owner, check: str, why: str) -> None:
    """Add a fuse whose rating is chosen in the next round: of the type most used in the plan's circuits, a maxi for a
    feed that hands out more than `MOST_SHARE` of the largest of those; else of a type at hand."""
    kinds = [circuit.fuse.kind for circuit in draft.plan.circuit.values()
             if circuit.fuse is not None and circuit.fuse.kind not in BOLT_IN]
    usual = max(sorted(set(kinds)), key=kinds.count) if kinds else "blade"
    stock, network = results.network.stock, results.network
    largest_a = max((*stock.ratings(usual), *usual_ratings(usual)), default=0.0)
    is_large = owner[0] == "feed" and not at_most(
        float(results.demands.supply[0, :, network.feed_node[owner[1]]].max()), MOST_SHARE * largest_a)
    wanted = "maxi" if is_large else usual
    kind = next((each for each in (wanted, *_FITTED) if stock.ratings(each)), wanted)
    draft.put((*owner_key(owner), "fuse"), None, {"kind": kind, "distance": DISTANCE}, check, why, aside=WITHIN)
    draft.managed.add(owner)


def fit_far_fuse(look: Look, finding: Finding) -> None:
    """The fuse at a second battery, where it has none, or another type and rating of it."""
    results, draft, key = look.results, look.draft, (*finding.owner, "second_battery", "fuse")
    fitted = results.plan.circuit[finding.subject].second_battery
    now = None if fitted is None else fitted.fuse
    found = fuse_to_fit(results, finding.subject, Fuse.model_validate({"kind": "blade", "distance": DISTANCE}))
    if not draft.in_scope(key):
        draft.give_up_on(finding, OUT_OF_SCOPE, "no fuse can be fitted there")
    elif found is None or (now is not None and found == (now.kind, now.rating)):
        draft.give_up_on(finding, "the fuses on file", "no fuse on file suits its wire and what it carries")
    elif now is None or key in draft.changes:
        draft.put(key, None, {"kind": found[0], "rating": writing.rating(found[1]), "distance": DISTANCE},
                  finding.check, finding.message, aside=f"fit it no more than {DISTANCE} from that battery's post")
    else:
        for name, old, new in (("kind", now.kind, found[0]), ("rating", now.rating, writing.rating(found[1]))):
            if str(old) != new:
                draft.put((*key, name), old, new, finding.check, finding.message)

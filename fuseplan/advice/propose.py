"""Propose wires, fuses and relays so that every check passes, by assessing the changed plan again and again.

Sizes climb the standard sizes from what the plan says, or from the smallest where it says nothing; they never
shrink. Ratings are the smallest sold that carry the load, withstand its surge and protect its wire.
A wire that is kept is never changed: its circuit gets a smaller fuse, or the limits are said to collide.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import replace

from fuseplan.advice.cures import comes_first, cure, is_curable
from fuseplan.advice.draft import Draft
from fuseplan.advice.edit import owner_key
from fuseplan.advice.look import Look
from fuseplan.advice.proposal import RATINGS, Change, Collision, Proposal, fused_part
from fuseplan.advice.ratings import fit, known_demand
from fuseplan.advice.reasons import final_reasons
from fuseplan.advice.savings import savings
from fuseplan.advice.sizes import smallest, too_thick
from fuseplan.advice.trials import Trials
from fuseplan.advice.worst_case import asks, fit_for_worst_case, is_less
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import LEVELS, Finding, all_rules
from fuseplan.limits import LimitSet
from fuseplan.plan.coils import coil_wires
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Wire
from fuseplan.plan.references import Path
from fuseplan.quantities.amounts import CURRENT, amount

MOST_ROUNDS = 60
"""Every round raises at least one size or rating or gives something up; no car needs as many."""


def propose(plan: Plan, limit_set: LimitSet, circuit_id: str | None = None,
            progress: Callable[[int, int], None] | None = None, *, look_for_savings: bool = True) -> Proposal:
    """What to fit so that every check passes under a set of limits.

    Args:
        circuit_id: change this circuit alone
        progress(round, changes): called before every round with its number from 1 and the changes so far; raising from
            it ends the work
        look_for_savings: work out what measuring would save, too
    Returns:
        Without collisions, the changed plan has no finding above advice that a size, a rating or a relay cures, and
        none to be measured first that one cures without another finding.
    """
    draft = Draft(Trials(plan, limit_set), None if circuit_id is None else frozenset((circuit_id,)))
    before = draft.assess()
    draft, after = _fitted(draft, progress)
    look = Look(draft, after)
    left = tuple(finding for finding in _open(draft, after, given_up=True) if not is_curable(look, finding))
    found = Proposal(before, after, _ordered(draft, after), _retold(draft, after), left, circuit_id)
    if not look_for_savings:
        return found
    return replace(found, savings=savings(found, lambda plan, names: _fitted_alone(plan, limit_set, names, progress)))


def _fitted(draft: Draft, progress: Callable[[int, int], None] | None) -> tuple[Draft, Assessment]:
    """The draft with all found that it can be given, and its assessment."""
    _fill(draft)
    rounds = itertools.count(1)
    after = _settle(draft, rounds, progress)

    def for_worst_case(draft: Draft, after: Assessment) -> tuple[Draft, Assessment]:
        return fit_for_worst_case(draft, after, lambda trial: _settle(trial, rounds, progress),
                                  lambda trial, found, finding: is_curable(Look(trial, found), finding))

    draft, after = for_worst_case(draft, after)
    _give_up_what_brings_worse(draft, after)
    if draft.given_up:
        draft, after = _without_trials(draft, rounds, progress)
        draft, after = _tried_again(draft, after, rounds, progress, for_worst_case)
    look = Look(draft, after)
    for finding in _open(draft, after):
        if is_curable(look, finding):
            draft.give_up_on(finding, "the other checks", "no size or rating was found that meets all of them")
    return draft, after


def _fitted_alone(plan: Plan, limit_set: LimitSet, names: frozenset[str],
                  progress: Callable[[int, int], None] | None) -> tuple[Assessment, tuple[Collision, ...]]:
    """The plan with what these circuits alone can be given, and what collides in them."""
    draft, after = _fitted(Draft(Trials(plan, limit_set), names), progress)
    return after, _standing(draft, after)


def _without_trials(draft: Draft, rounds: Iterator[int], progress: Callable[[int, int], None] | None,
                    start: Draft | None = None) -> tuple[Draft, Assessment]:
    """The same without what was tried for the findings given up: a wire that grew for a fuse that did not do either
    stays as it was in the plan, or in the draft it was tried from."""
    while True:
        again = draft.afresh(start)
        _fill(again)
        after = _settle(again, rounds, progress)
        _give_up_what_brings_worse(again, after)
        if again.given_up == draft.given_up:
            return again, after
        draft = again


def _give_up_what_brings_worse(draft: Draft, after: Assessment) -> None:
    """Give up on what a fuse was chosen anew for where that leaves a worse finding about it, which the plan did not
    have: a fuse that blows under its load stops the car, one that does not blow on a short burns it."""
    there = {finding.identity for finding in draft.trials.of({}).findings if not finding.measure}
    look = Look(draft, after)
    for finding in after.findings:
        device = None if finding.measure or finding.level == "advice" or finding.identity in there \
            else look.device_of(finding)
        reason = None if device is None else draft.reasons.get(after.results.network.fuses[device].owner)
        if reason is not None and LEVELS.index(finding.level) < LEVELS.index(reason.level):
            draft.give_up_on(reason, finding.check, f"with another rating, {finding.message}")


def _tried_again(draft: Draft, after: Assessment, rounds: Iterator[int], progress: Callable[[int, int], None] | None,
                 for_worst_case: Callable[[Draft, Assessment], tuple[Draft, Assessment]]) -> tuple[Draft, Assessment]:
    """The same with what was given up fixed after all where the changes made since allow it, as a second proposal for
    the changed plan would."""
    while draft.given_up:
        trial = draft.onwards()
        trial, found = for_worst_case(trial, _settle(trial, rounds, progress))
        if trial.given_up:
            trial, found = _without_trials(trial, rounds, progress, draft)
        if not is_less(found, after):
            break
        draft, after = trial, found
    return draft, after


def _settle(draft: Draft, rounds: Iterator[int], progress: Callable[[int, int], None] | None) -> Assessment:
    """Rounds of fixes until one changes nothing; the plan's assessment then. `rounds` gives their numbers."""
    for number in itertools.islice(rounds, MOST_ROUNDS):
        if progress is not None:
            progress(number, len(draft.changes))
        state = _state(draft)
        after = draft.assess()
        _round(draft, after)
        if _state(draft) == state:
            break
    return draft.assess()


def _state(draft: Draft) -> tuple[object, ...]:
    return ({path: change.new for path, change in draft.changes.items()}, set(draft.managed), dict(draft.floors),
            set(draft.given_up), set(draft.stuck), set(draft.settled))


def _fill(draft: Draft) -> None:
    """Smallest size for every wire the plan leaves to be chosen."""
    words = smallest(draft.plan)
    for path, wire in _wires(draft.plan):
        if draft.in_scope(path):
            for number, segment in enumerate(wire):
                if segment.size is None and segment.origin != "existing" and \
                        (segment.length is not None or segment.along):
                    key = (*path, number, "size")
                    draft.free.add(key)
                    draft.put(key, None, words, "figures-missing", "no size is entered: the smallest that passes")


def _wires(plan: Plan) -> list[tuple[Path, Wire]]:
    found: list[tuple[Path, Wire]] = []
    if plan.alternator is not None:
        found.append((("alternator", "cable"), plan.alternator.cable))
    found += [(("feed", name, "wire"), feed.wire) for name, feed in plan.feed.items()]
    found += [(("feed", name, *place.split(".")), wire) for name, feed in plan.feed.items()
              for place, wire in coil_wires(feed.relay)]
    found += [(("earth", name, "wire"), earth.wire) for name, earth in plan.earth.items()]
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is None:
            found += [(("circuit", name, "wire"), circuit.wire), (("circuit", name, "earth_wire"), circuit.earth_wire)]
            found += [(("circuit", name, *place.split(".")), wire) for place, wire in coil_wires(circuit.relay)]
            for number, load in enumerate(circuit.load):
                key = ("circuit", name, "load", number)
                found += [((*key, "wire"), load.wire), ((*key, "earth_wire"), load.earth_wire)]
    return found


def _open(draft: Draft, assessment: Assessment, given_up: bool = False) -> list[Finding]:
    """Findings above advice in scope, without those given up unless they are asked for; those that ask for a reading
    where they are to be fixed for the worst case."""
    return [finding for finding in assessment.findings
            if (finding.identity in draft.for_worst_case if asks(finding) else finding.level != "advice")
            and draft.concerns(finding)
            and (given_up or finding.identity not in draft.given_up)]


def _round(draft: Draft, assessment: Assessment) -> None:
    look = Look(draft, assessment)
    for index, row in enumerate(assessment.results.network.fuses):
        if row.fuse.rating is None and draft.in_scope(owner_key(row.owner)) and row.owner not in draft.stuck \
                and known_demand(assessment.results, index):
            draft.managed.add(row.owner)
    state = _state(draft)
    curable = [finding for finding in _open(draft, assessment) if is_curable(look, finding)]
    curable = [finding for finding in curable if comes_first(look, finding)] or curable
    # Wires on the way that grow for another reason lose less, and allow a larger fuse: what is still lost, and then
    # what may not buy copper, is cured when those and the fuses have settled.
    for stage in range(len(LAST) + 1):
        if _state(draft) == state:
            for finding in curable:
                if _stage(finding) == stage:
                    cure(look, finding)
        if stage == 0:
            _fit_all(draft, assessment)


def _fit_all(draft: Draft, assessment: Assessment) -> None:
    draft.settled.clear()
    for index, row in enumerate(assessment.results.network.fuses):
        if row.owner in draft.managed and row.owner not in draft.stuck:
            fit(draft, assessment.results, index)


LAST = ({"voltage-drop", "low-lamp-voltage", "low-cranking-voltage", "breaking-capacity", "second-battery-unprotected"},
        {"blows-at-switch-on"})
"""The checks cured last, one set after the other: those on voltage, which every wire on the way to a load has a part
in, the type of fuse that breaks a short, whose ratings the wires must allow by then, and the fuse at a second battery,
which is like that at the other end of its wire; then a surge that is to be measured first, which gets the fuse that
wires allow that are there anyway."""


def _stage(finding: Finding) -> int:
    return 1 if finding.check in LAST[0] else 2 if finding.check in LAST[1] and finding.measure else 0


def _ordered(draft: Draft, after: Assessment) -> tuple[Change, ...]:
    """A part that is added goes before what is set in it; each with whether it is in stock."""
    stock = after.results.network.stock

    def in_stock(change: Change) -> bool:
        key, new = change.path[-1], change.new
        if not isinstance(new, str):
            return stock.has_relay(new["contact"]) if key == "relay" else True
        if key == "rating":
            fused = fused_part(after.plan, change.path[:-2])
            return fused is None or fused.fuse is None or stock.has_fuse(
                fused.fuse.kind, float(amount(new, CURRENT)))
        return stock.has_wire(new) if key == "size" else stock.has_relay(new) if key == "contact" else True

    refused, reasons = too_thick(after.results), final_reasons(draft, after)

    def with_words(change: Change) -> Change:
        change = replace(change, why=reasons.get(change.path, change.why))
        words = refused.get(change.path)
        rule = all_rules().get(change.check)
        return change if words is None or rule is None else replace(
            change, why=f"{change.why}; {words}", brief=f"{rule.title.lower()}; the terminals on it may not take it")

    return tuple(replace(with_words(change), in_stock=in_stock(change)) for change in
                 sorted(draft.changes.values(), key=lambda change: isinstance(change.new, str)))


def _standing(draft: Draft, after: Assessment) -> tuple[Collision, ...]:
    """What was given up on the way and is still unmet in the end."""
    unmet = {finding.identity for finding in _open(draft, after, given_up=True)}
    short = {key[1:] for key in unmet if key[0] in RATINGS}
    return tuple(each for each in draft.collisions if each.identity in unmet
                 or (each.check in RATINGS and each.owner in short))


def _retold(draft: Draft, after: Assessment) -> tuple[Collision, ...]:
    """The same as it stands with the changes: a finding whose figures have changed since it was given up is looked at
    once more for what stands against it."""
    findings = {finding.identity: finding for finding in after.findings}

    def told(each: Collision) -> Collision:
        finding = findings.get(each.identity)
        if finding is None or not each.message or each.message == finding.message:
            return each
        again = replace(draft.copy(), given_up=draft.given_up - {each.identity}, collisions=[])
        if is_curable(look := Look(again, after), finding):
            cure(look, finding)
        reason = each.words.removeprefix(each.message)
        return next((found for found in again.collisions if found.identity == each.identity), replace(
            each, words=finding.message + reason, fix=finding.fix, message=finding.message))

    return tuple(told(each) for each in _standing(draft, after))

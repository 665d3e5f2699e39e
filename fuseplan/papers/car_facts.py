"""The car as a whole in four lines: whether it starts, charges and stands, and which feeds are nearest their limit."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from fuseplan.checks.alternator_output import regulator_too_low
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.headroom import feeds_headroom
from fuseplan.checks.switch_questions import on_if_unswitched
from fuseplan.engine.alternator import machine_of
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.cranking_limits import side_limit
from fuseplan.engine.source import battery_known
from fuseplan.papers.harmless import shown
from fuseplan.papers.page_room import first_within
from fuseplan.papers.paragraphs import Paint, paragraph
from fuseplan.papers.short_names import short_names, short_part
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

HEADING = "The car as a whole"
UNFIT = {"wrong-system-voltage": "system voltage", "wrong-earth-polarity": "earth polarity"}
"""Checks that find a battery or an alternator to be made for another car, and what it is made for."""
NO_STRAP = "not known: the plan has no strap from the engine to the body or the battery"
YES_OR_NO = 3
"""Facts that are a yes or no, with why."""
MOST_LOADED = 2
CHARGES_FROM_V = 13.0
"""Voltage of the post of a 12 V system below which a battery beside a running alternator is warned of as not charged:
FAA AC 43.13-1B, 11-35, for 14 V systems."""


def car_lines(assessment: Assessment, room: int, paint: Paint, most: int) -> list[str]:
    """Whether it starts, charges and stands, and what is nearest its limit; where there is no room for more, yes or no
    alone."""
    facts = car_facts(assessment)
    forms = [["", paint(HEADING, "heading"), *(line for what, words in listed for line in paragraph(
        short_names(words, assessment), room, f"  {what:<19}"))] for listed in (facts, facts[:YES_OR_NO])]
    brief = "; ".join(f"{what.lower()}: {words.partition(':')[0]}" for what, words in facts[:YES_OR_NO])
    return first_within([*forms, ["", *paragraph(f"{HEADING}: {brief} (fuseplan power)", room, "", "  ")]], most)


def car_facts(assessment: Assessment) -> tuple[tuple[str, str], ...]:
    """The same as pairs of what and words; what there is nothing to say about is left out."""
    said = (("Starts", _starts(assessment)), ("Charges", _charges(assessment)), ("Stands", _stands(assessment)),
            ("Nearest its limit", _loaded(assessment)))
    return tuple((what, words) for what, words in said if words)


def _unfit(assessment: Assessment, *kinds: str) -> str | None:
    """That what the answer rests on is made for another car, if it is: its figures then say nothing."""
    found = next((each for each in assessment.findings if each.check in UNFIT and each.subject_kind in kinds), None)
    if found is None:
        return None
    alternator = assessment.plan.alternator
    name = alternator.machine if alternator is not None and found.subject_kind == "alternator" else found.subject_kind
    return f"not known: the {name} is made for another {UNFIT[found.check]}"


def _way_not_known(assessment: Assessment, known: bool, of: str) -> str | None:
    """That the way of the starter's or the alternator's current to the battery and back is not in the plan, or its
    resistance is not `known`."""
    if any(each.check == "no-engine-strap" and each.level == "danger" for each in assessment.findings):
        return NO_STRAP
    return None if known else f"not known: a resistance between {of} and battery is missing"


def _starts(assessment: Assessment) -> str:
    unfit = _unfit(assessment, "battery")
    if unfit is not None:
        return unfit
    cranking = assessment.results.power.cranking
    lacking = [words for words, missing in (
        ("what cranking draws", not cranking.known),
        ("the battery's cold-cranking current", not battery_known(assessment.plan.battery))) if missing]
    if lacking:
        return f"not known: {' and '.join(lacking)} {'is' if len(lacking) == 1 else 'are'} missing"
    volts, lowest = float(cranking.battery_v[0]), float(cranking.battery_v.min())
    limit = cranking.battery_limit.value
    low = list(_low_while_cranking(assessment))
    stops = volts < limit or any(stopped for stopped, _ in low)
    word = "no" if stops else "doubtful" if lowest < limit or low else "yes"
    # What stops it is named; of what only makes it doubtful the first.
    named = next((words for stopped, words in low if stopped == stops), "")
    known, starter = assessment.results.known.circuit, cranking.starter
    unknown = _way_not_known(assessment, starter is None or bool(known[assessment.circuit_index[starter[0]]]),
                             "starter")
    if word == "yes" and unknown:
        return unknown
    return (f"{word}: {named}{writing.limit(volts, 'V')} at the battery while cranking, least "
            f"{writing.burden(limit, 'V')} at {writing.stated(cranking.battery_c, '°C')}")


def _low_while_cranking(assessment: Assessment) -> Iterator[tuple[bool, str]]:
    """What gets too little while the starter turns though the battery holds its voltage: whether the engine does not
    start with it, and what it is. The worst case of the currents counts as doubtful."""
    cranking, plan = assessment.results.power.cranking, assessment.plan
    for each in cranking.survivors:
        limit = None if each.limit is None or not each.must_run else each.limit.value
        if limit is not None and each.volts.min() < limit:
            bound = int(each.volts[0] >= limit)
            yield bound == 0, (f"{shown(f'{each.what} of {in_words(plan, *each.owner)}')} has "
                               f"{writing.limit(each.volts[bound], 'V')}, it needs {writing.burden(limit, 'V')}; ")
    lost_on = (("supply", "supply", cranking.supply_drop_v), ("return", "earth", cranking.return_drop_v))
    for side, where, drop in lost_on:
        limit = side_limit(side, assessment.results.network.system_v).value
        if drop.max() > limit:
            lost = drop[0] if drop[0] > limit else drop.max()
            yield False, (f"{writing.burden(lost, 'V')} lost on the {where} side of the starter, limit "
                          f"{writing.limit(limit, 'V')}; ")


def _charges(assessment: Assessment) -> str:
    if assessment.plan.alternator is None:
        return "no alternator in the plan"
    unfit = _unfit(assessment, "battery", "alternator")
    if unfit is not None:
        return unfit
    running = [view for view in assessment.conditions if view.condition.state == "running"]
    if not running:
        return "not known: the engine runs in no condition"
    if not assessment.results.charging_known:
        return f"not known: {shown(machine_of(assessment.plan.alternator).basis)}"
    balances = [(view.balance_a, shown(view.name), view) for view in running if view.balance_a is not None]
    posts = [(view.average_bus_v, shown(view.name)) for view in running if view.average_bus_v is not None]
    if min(len(balances), len(posts)) < len(running):
        return "not known: a current or a voltage is missing"
    short = sorted((each for each in balances if each[0] < 0), key=lambda each: each[:2])
    low_v, low_in = min(posts)
    least_v = CHARGES_FROM_V * assessment.results.network.system_v / 12.0
    if not short and falls_short(low_v, least_v):
        return (f"doubtful: {writing.limit(low_v, 'V')} at the battery post in '{low_in}', a battery charges only "
                f"above about {writing.burden(least_v, 'V')}")
    results, alternator = assessment.results, assessment.plan.alternator
    back = alternator.earth is None or bool(results.known.return_path[results.network.earth_node[alternator.earth]])
    unknown = _way_not_known(assessment, back, alternator.machine)
    if not short and unknown:
        return unknown
    if not short:
        spare, name = min(each[:2] for each in balances)
        least = f"least to spare {writing.balance(spare, 'A')} in '{name}'"
        if any(each.kind == "exciter" for each in assessment.not_said):
            return f"not known: what excites the alternator is not said; once it charges, {least}"
        return f"yes, in every condition; {least}"
    source = assessment.results.source
    named = first_few(short, 2, lambda each: f"{writing.balance(each[0], 'A')} in '{each[1]}'", "; ")
    still = all(view.available_a == 0 for *_, view in short)
    at_speed = any(view.available_a for view in running)
    is_dynamo = assessment.plan.alternator.machine == "dynamo"
    why = ""
    if all(view.held_back for *_, view in short):
        low = all(regulator_too_low(assessment.results, view.index) for *_, view in short)
        why = ": too much is lost on the way from the alternator" if not low else \
            ": the regulator voltage is below that of a battery at rest" \
            if source.regulator_v <= source.open_circuit_v[0] else ": the regulator voltage is too low"
    return f"{'not at idle, as usual for a dynamo' if still and at_speed and is_dynamo else 'no'}: {named}{why}"


def _stands(assessment: Assessment) -> str:
    standing = assessment.results.power.standing
    if not assessment.plan.circuit:
        return "not known: the plan has no circuits yet"
    if standing.condition < 0:
        return "not known: the plan has no parked condition"
    if math.isnan(standing.days_upper):
        return "not known: battery capacity or a standing current is missing"
    word = "yes" if standing.days_upper >= standing.wanted_days else "no"
    # Where the currents entered are too much already, the finding names their figure.
    days_left = standing.days_with_self_discharge if falls_short(
        standing.days_with_self_discharge, standing.wanted_days) else standing.days_upper
    days = "no drain" if math.isinf(days_left) else f"{writing.limit(days_left, 'days')} until it no longer starts"
    unswitched = unswitched_words(assessment)
    if word == "yes" and unswitched:
        return f"not known: {unswitched}"
    return f"{word}: {days}, planned {writing.stated(standing.wanted_days)} days; drain " \
           f"{writing.burden(standing.drain_a, 'A')}{f', or more: {unswitched}' if unswitched else ''}"


def unswitched_words(assessment: Assessment) -> str:
    """That nothing is said to switch a part that is taken as off while parked; empty where there is none."""
    standing, kinds = assessment.results.power.standing, assessment.results.network.consumers.kind
    counted = Counter(each.owner for each in standing.drains if kinds[each.consumer] == LOAD)
    found = [each for each in on_if_unswitched(assessment.results, assessment.not_said, standing.condition)
             if each.subject_kind != "circuit" or counted[each.owner] < len(assessment.plan.circuit[each.subject].load)]
    if not found:
        return ""
    named = first_few(found, 2, lambda each: shown(in_words(assessment.plan, *each.owner)))
    return f"what switches {named} is not said"


def _loaded(assessment: Assessment) -> str:
    """The feeds nearest the limit of their weakest part, in the condition in which they are; without those of which the
    limit of a part is not known."""
    rows: list[tuple[float, str]] = []
    feeds = [feed for feed in assessment.feeds if feed.id not in assessment.unknown_feeds]
    for view, headroom in zip(feeds, feeds_headroom(assessment, feeds), strict=True):
        shares = [(each.current_a / each.limit_a, each.current_a, each.limit_a)
                  for each in headroom if each.limit_a and each.current_a is not None]
        if shares:
            share, current, limit = max(shares)
            name = short_part(assessment, "feed", view.id)
            rows.append((share, f"{name} {writing.burden(current, 'A')} of {writing.limit(limit, 'A')} "
                                f"({writing.burden(share, 'share')})"))
    rows.sort(key=lambda row: -row[0])
    return "; ".join(words for _, words in rows[:MOST_LOADED])

"""One size for a wire, whatever finding names it: what its load, its fuse and a drop ask for is bought once.

Each check names the size its own fault asks for; a drop is judged with the other faults mended. Where another asks for
a thicker one in place of the same wire, the check is asked once more with that known, so that the fuse it names with
the wire goes with that size too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fuseplan.checks.drops_left import DropsLeft, Weigh, drops_left, is_a_drop
from fuseplan.checks.one_size import knowing, names_less, thickest
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.engine.results import Results

MOST_ROUNDS = 3
"""So often a check is asked once more: with the sizes that the last round named, in place of other wires too."""


def with_one_size(results: Results, found: Sequence[Finding], findings: tuple[Finding, ...], weighed: Weigh | None
                  ) -> tuple[Finding, ...]:
    """The findings, all that name a size for a wire with the thickest that any of them names. What only asks for a
    reading makes no wire thicker that fails as it is. `found` is what the checks found, of which some have become
    questions, as `weighed` turns them; without that drops are told as they are beside the other faults."""
    left, first = None if weighed is None else drops_left(results, found, findings, weighed), findings
    drops = _told(left, dict(enumerate(findings)))
    now = [drops.get(number, each) for number, each in enumerate(findings)]
    for asks_reading in (False, True):
        for _ in range(MOST_ROUNDS):
            asked = thickest(size for each in now if asks_reading or not each.measure for size in each.sizes)
            less = {number: first[number] for number, each in enumerate(now)
                    if each.measure is asks_reading and names_less(each.sizes, asked)}
            if not less:
                break
            left = None if left is None else left.asking(asked)
            told = _told(left, {number: each for number, each in less.items() if number in drops})
            others = {number: each for number, each in less.items() if number not in told}
            for number, each in {**told, **_asked_again(results, found, others, asked)}.items():
                now[number] = each
    return tuple(now)


def _told(left: DropsLeft | None, findings: Mapping[int, Finding]) -> dict[int, Finding]:
    """Those of some findings that are drops which the other faults have a part in, as they are left."""
    return {} if left is None else {number: told for number, each in findings.items()
                                    if is_a_drop(each) and (told := left.told(each)) is not None}


def _asked_again(results: Results, found: Sequence[Finding], less: Mapping[int, Finding], asked: Mapping[int, str]
                 ) -> dict[int, Finding]:
    """Some findings, with what their checks name once it is known which size is asked for in place of a wire."""
    better = knowing(results, asked)
    rules = [all_rules()[check] for check in dict.fromkeys(each.check for each in less.values())]
    again = {(each.identity, each.message): each for rule in rules for each in rule.find(rule, better)
             if isinstance(each, Finding)}
    # A finding that has become a question since says another message, and what to do first before the same fix.
    pairs = [(each, again[each.identity, each.message]) for each in found if (each.identity, each.message) in again]

    def with_more(each: Finding) -> Finding:
        old, new = next(((old, new) for old, new in pairs if (old.identity, old.values) == (each.identity, each.values)
                         and each.fix.endswith(old.fix)), (each, each))
        return replace(each, fix=each.fix.removesuffix(old.fix) + new.fix, values=new.values, sizes=new.sizes,
                       fields=tuple(dict.fromkeys((*each.fields, *new.fields))))

    return {number: with_more(each) for number, each in less.items()}

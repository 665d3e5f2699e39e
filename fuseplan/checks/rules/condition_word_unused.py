"""A condition lists a word that no load uses, so it switches nothing on.

A load is on in the conditions that list one of its words. A word that no load lists, misspelt or merely like one,
leaves the load off without a sign, and the balance of that condition looks better than it is.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import condition_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.plan.conditions import words_in_use
from fuseplan.plan.words import WHEN_ALWAYS
from fuseplan.quantities.listing import first_few

SHOWN = 12


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    loads = network.consumers.kind == LOAD
    if not results.plan.condition or not loads.any():
        return
    listed = words_in_use(results.plan)
    known, used = set(listed), {word for word, circuits in listed.items() if circuits}
    for number, name in enumerate(network.condition_ids):
        condition = results.plan.condition.get(name)
        if condition is None:
            continue
        unknown = [word for word in dict.fromkeys(condition.when) if word not in known and word != WHEN_ALWAYS]
        idle = condition.state == "running" and not network.consumers.on[number, loads].any()
        if not unknown and not idle:
            continue
        said = [f"no load uses {_quoted(unknown)}{_nearest(unknown, known)}"] if unknown else []
        said += ["no load at all is on in it, although the engine runs"] if idle else []
        yield rule.finding(
            results, ("plan", "plan"),
            f"condition {condition_words(results, number)}: {'; '.join(said)}; {_used(used)}",
            fields=(f"condition.{name}.when",))


def _in_quotes(word: str) -> str:
    return f"'{word}'"


def _quoted(words: list[str]) -> str:
    return ", ".join(map(_in_quotes, words))


def _nearest(unknown: list[str], known: set[str]) -> str:
    import difflib

    near = [each for word in unknown for each in difflib.get_close_matches(word, sorted(known), 1)]
    return f" (the nearest known: {_quoted(list(dict.fromkeys(near)))})" if near else ""


def _used(used: set[str]) -> str:
    if not used:
        return "the loads list no words: they are on whenever they have supply"
    return f"the loads use {first_few(sorted(used), SHOWN, _in_quotes)}"


RULE = Rule(
    consequence="hides_a_fault",
    title="Condition word unused",
    source="common practice, no source",
    caution="Do not trust the balance of this condition: what it should switch on is counted as off.",
    fix="list words the loads use in the condition's `when`, or list its word in the `when` of what is on then",
    example="fails: the condition lists 'rainy', the wiper motor 'rain'; passes: both list 'rain'",
    find=find,
)

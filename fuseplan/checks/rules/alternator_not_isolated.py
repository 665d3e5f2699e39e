"""The battery isolator leaves the alternator feeding the car.

With the isolator open and the engine turning, the alternator goes on supplying ignition, pump and everything else: the
engine runs on, and without the battery the voltage may rise far enough to destroy control units. An isolator with a
second pair of contacts opens the alternator's field or the ignition with it.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.isolators import SECOND_CONTACTS, earth_way, hand_switched, opens_more
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import Subject, owner_words
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.parts import Switch


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan, live = results.plan, results.network.feed_live
    alternator = plan.alternator
    if alternator is None:
        return
    for name in way_to(plan, alternator.feed) if alternator.feed is not None else ():
        if hand_switched(plan, live, name):
            yield from _left(rule, results, ("feed", name), plan.feed[name].switch,
                             "the alternator cable ends on "
                             f"{owner_words(results, ('feed', alternator.feed or ''))}", "alternator.feed")
    for name in earth_way(plan, alternator.earth):
        earth = plan.earth[name]
        if earth.switch is not None and earth.upstream is not None:
            yield from _left(rule, results, ("earth", name), earth.switch,
                             "the alternator is earthed on "
                             f"{owner_words(results, ('earth', alternator.earth or ''))}, as the loads are", "")


def _left(rule: Rule, results: Results, subject: Subject, switch: Switch | None, where: str, moved: str
          ) -> Iterator[Finding]:
    """The finding of one isolator, without a switch where it is a relay, that opens neither alternator nor ignition."""
    if opens_more(switch):
        return
    said = "nothing says that it opens anything else" if switch is None or switch.also_opens is None else \
        "it opens nothing else"
    yield rule.finding(
        results, subject,
        f"{where}, on the car's side of this switch, and {said}: with it open the alternator keeps the engine, the "
        "pump and the loads alive",
        fields=(*((f"{subject[0]}.{subject[1]}.switch.also_opens",) if switch is not None else ()),
                *((moved,) if moved else ())))


RULE = Rule(
    consequence="keeps_running",
    title="Alternator not isolated",
    source="a cut-off must stop the engine and cut battery and alternator: FIA Appendix J, article 253-13 (2016), "
           "second-hand; the alternator's field must be opened too: Formula SAE Rules 2014, IC4",
    caution="A marshal or a firefighter believes the car is dead. Never open a plain battery switch with the engine "
            "running: the voltage surge destroys control units.",
    fix=SECOND_CONTACTS,
    example="fails: a single-pole isolator between the battery and the stud the alternator cable ends on; passes: the "
            "same with `also_opens = [\"alternator_field\"]`",
    find=find,
)

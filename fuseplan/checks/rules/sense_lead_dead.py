"""A sense lead is connected to a feed that has no supply while the engine runs.

The regulator then reads too little, or nothing, and raises its voltage until something breaks, or falls back on what
its maker gave it for a lead that is off.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.plan.words import STATES


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    alternator = results.plan.alternator
    feed = alternator.sense_feed if alternator is not None else None
    if feed is not None and not results.network.feed_live[feed][STATES.index("running")]:
        yield rule.finding(results, ("alternator", "alternator"),
                           f"its sense lead ends on {in_words(results.plan, 'feed', feed)}, which is dead with the "
                           "engine running",
                           fields=("alternator.sense_feed", f"feed.{feed}.live"))


RULE = Rule(
    consequence="damages_a_part",
    title="Sense lead on a dead feed",
    source="a regulator raises the voltage until its sensed point has it: common practice, no source",
    caution="A battery that is overcharged gives off explosive gas and acid: engine off, no sparks near it.",
    fix="connect the sense lead to the battery post, or to a feed that is live with the engine running",
    example="fails: the lead ends on a feed that is live in `crank` alone; passes: on one that is live in `running`",
    find=find,
)

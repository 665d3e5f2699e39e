"""The second battery is joined to the first while the starter turns, so it helps to crank.

Part of the starter's current then flows through the link: relay, fuses and wire are made for charging, and the fuse
blows or the relay welds. A relay that senses the voltage, or one whose coil is dead while cranking, is open then.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.second_battery import PARTS, joined_while_cranking, parting_keys
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for end in joined_while_cranking(results):
        yield rule.finding(
            results, ("circuit", end.circuit), "joined to the first battery while cranking: the link carries part "
            "of the starter's current", fields=parting_keys(end.circuit))


RULE = Rule(
    consequence="damages_a_part",
    title="Second battery helps to crank",
    source="a relay on the ignition feed alone lets the second battery help to crank, so wires and fuse carry starter "
           "current: an owners' club page; relays that sense the voltage join at 13.3 V or 13.7 V and part at 12.8 V: "
           "two sellers",
    caution="A relay whose contacts have welded leaves both batteries joined for good: measure that they part with the "
            "engine off.",
    fix=PARTS,
    example="fails: the coil on a feed that is live while cranking; passes: a relay that senses the voltage",
    find=find,
)

"""A shield is earthed at more than one point, or at none.

Earthed at both ends a shield carries the earth current of the engine along the signal; earthed nowhere it shields
nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, Net, pins_of
from fuseplan.plan.part_names import in_words, pin_words


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan = results.plan
    if not any(pin.signal == "shield" for _, _, pin in pins_of(plan)):
        return
    nets, seen = results.network.nets, set()
    for at, _, pin in pins_of(plan):
        if pin.signal != "shield" or pin.fate in GONE or id(nets.of(at)) in seen:
            continue
        net = nets.of(at)
        seen.add(id(net))
        points = _points(plan, net)
        if len(points) > 1:
            yield rule.finding(results, connector_subject(at), f"shield {pin_words(plan, at)} is earthed at "
                                                               f"{len(points)} points: "
                               f"{', '.join(points)}", figure=float(len(points)), limit=1.0, unit="points",
                               fields=(pin_path(at, "other_end.pin"),))
        elif not points and _ends_known(plan, net):
            yield rule.finding(results, connector_subject(at), f"shield {pin_words(plan, at)} is earthed nowhere",
                               consequence="good_practice", fields=(pin_path(at, "earth"),))


def _points(plan: Plan, net: Net) -> list[str]:
    """Where a net is earthed, in words: named earth points, earth pins, and pins of parts it reaches."""
    found: dict[str, None] = {}
    for at in net.pins:
        connector = plan.connector[at.connector]
        pin = connector.pin[at.pin]
        if pin.earth is not None:
            found[f"earth point {in_words(plan, 'earth', pin.earth)}"] = None
        elif pin.signal == "earth_31":
            found[pin_words(plan, at)] = None
        elif connector.plugged_into not in (None, "loom"):
            found[f"{pin_words(plan, at)} ({str(connector.plugged_into).replace('_', ' ')})"] = None
    return list(found)


def _ends_known(plan: Plan, net: Net) -> bool:
    return not net.parts and all(plan.connector[at.connector].plugged_into is not None for at in net.pins)


RULE = Rule(
    consequence="fails_in_use",
    title="Shield not earthed at one point",
    source="shield earthed at one point: SAE J1939-11 (second-hand); sensor shields at the control unit only, the "
           "other end open and insulated: common practice, no source",
    caution="Noise on a sensor is looked for in the sensor.",
    fix="earth the shield at the control unit only; cut it back and insulate it at the other end",
    example="fails: a shield on the control unit and on an earth point; passes: on the control unit only",
    find=find,
)

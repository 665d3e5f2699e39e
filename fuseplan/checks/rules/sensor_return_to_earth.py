"""A sensor return or a shield is joined to a power earth.

The drop of the power earth adds to what the control unit reads. Sensor returns go to the control unit and nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.rules.sensor_earth_shared import CAUTION
from fuseplan.engine.results import Results
from fuseplan.plan.mating import signal_words
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, Net, pins_of
from fuseplan.plan.part_names import in_words, pin_words

_KINDS = ("sensor_return", "shield")


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan = results.plan
    if not plan.connector:
        return
    nets, seen = results.network.nets, set()
    for at, _, pin in pins_of(plan):
        if pin.signal not in _KINDS or pin.fate in GONE or id(nets.of(at)) in seen:
            continue
        seen.add(id(nets.of(at)))
        earths = _earths(plan, nets.of(at), pin.signal)
        if earths:
            yield rule.finding(
                results, connector_subject(at),
                f"{signal_words(pin.signal)} {pin_words(plan, at)} is joined to a power earth: {', '.join(earths[:3])}",
                fields=(pin_path(at, "other_end.pin"), pin_path(at, "splice")))


def _earths(plan: Plan, net: Net, signal: str) -> list[str]:
    """What of a net is a power earth, in words."""
    found = []
    for at in net.pins:
        pin = at.of(plan)
        if pin.signal == "earth_31":
            found.append(pin_words(plan, at))
        elif pin.earth is not None and (signal == "sensor_return" or pin.signal != "shield"):
            found.append(f"earth point {in_words(plan, 'earth', pin.earth)} at {pin_words(plan, at)}")
    found += [f"earth wire of {in_words(plan, *end.owner)}" for end in net.ends
              if end.place.endswith("earth_wire") or end.owner[0] == "earth"]
    return list(dict.fromkeys(found))


RULE = Rule(
    consequence="fails_in_use",
    title="Sensor return on a power earth",
    source="sensors to the control unit's sensor return only, never to a power earth: two engine control makers; the "
           "drop of a shared return adds to the signal: FAA AC 43.13-1B, paragraph 11-186 f",
    caution=CAUTION,
    fix="take the sensor return to the control unit's sensor earth only; the power earth to its own stud",
    example="fails: a sensor return in a splice with an earth (31); passes: to the control unit only",
    find=find,
)

"""Battery isolators: what lies behind them, and what they do not cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Plan


def earth_isolators(plan: Plan) -> list[str]:
    """Earth points with an isolator in the lead from them, in the order of the plan."""
    return [name for name, earth in plan.earth.items() if earth.switch is not None and earth.upstream is not None]


def supply_isolators(plan: Plan) -> list[str]:
    """Feeds behind a battery isolator, which says what else it opens, in the order of the plan."""
    return [name for name, feed in plan.feed.items() if feed.switch is not None and feed.switch.also_opens is not None]


def fed_before(plan: Plan, isolators: list[str]) -> list[str]:
    """Circuits with a feed that none of these isolators parts from the battery, in the order of the plan."""
    ways = {name: list(way_to(plan, circuit.feed)) for name, circuit in plan.circuit.items()}
    return [name for name, way in ways.items() if way and not set(way).intersection(isolators)]


def earth_way(plan: Plan, name: str | None) -> Iterator[str]:
    """An earth point and those it leads to, up to the battery; from the root where the plan names none."""
    seen = set[str]()
    at = name if name in plan.earth else next((each for each, earth in plan.earth.items() if earth.upstream is None),
                                              None)
    while at is not None and at in plan.earth and at not in seen:
        seen.add(at)
        yield at
        at = plan.earth[at].upstream


def beyond(plan: Plan, names: Iterable[str]) -> list[str]:
    """Those of some earth points that no isolator parts from the battery."""
    found = []
    for name in names:
        way = list(earth_way(plan, name))
        if not any(plan.earth[each].switch is not None for each in way[:-1]):
            found.append(name)
    return found

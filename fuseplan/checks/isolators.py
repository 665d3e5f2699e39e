"""Battery isolators in earth leads: what lies behind them, and what has an earth beyond them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fuseplan.plan.model import Plan


def earth_isolators(plan: Plan) -> list[str]:
    """Earth points with an isolator in the lead from them, in the order of the plan."""
    return [name for name, earth in plan.earth.items() if earth.switch is not None and earth.upstream is not None]


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

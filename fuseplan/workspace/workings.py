"""Which figures belong to which part, under headings, and which of them stands behind a finding."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.finding_figures import both
from fuseplan.checks.rule import Finding
from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import title_of
from fuseplan.results.address import FigureSpot, Spot, figures, find, inside, joined

Subject = tuple[str, str]
"""Kind and name of a part: ``("circuit", "fan")``, ``("condition", "crank")``, ``("battery", "battery")``; the whole
car is ``("plan", "plan")``."""
WHOLE: Subject = ("plan", "plan")

_PLACES = {
    "alternator": ("power.alternator", "power.alternator_cable"),
    "battery": ("power.battery", "power.cranking", "power.standing", "power.reserve"),
}
CONDITIONS = "In each condition"
_HEADINGS = {"load_current_a": "Current", "fuse": "Fuse", "drop": "Voltage drop", "segments": "Wires",
             "relay": "Switch or relay", "fault": "Short circuit", "in_condition": CONDITIONS}


def subjects(assessment: Assessment) -> list[tuple[Subject, str]]:
    """Every part that has figures, with its name in words."""
    plan = assessment.plan
    found: list[tuple[Subject, str]] = [(WHOLE, "the car's power: all conditions, battery and alternator")]
    for kind, parts in (("circuit", plan.circuit), ("feed", plan.feed), ("earth", plan.earth),
                        ("condition", conditions_of(plan))):
        found += [((kind, name), title_of(plan, kind, name)) for name in parts]
    if plan.alternator is not None:
        found.append((("alternator", "alternator"), "output, alternator cable"))
    if plan.battery is not None:
        found.append((("battery", "battery"), "capacity, cranking, standing drain"))
    return found


def figures_of(assessment: Assessment, subject: Subject) -> list[tuple[str, list[FigureSpot]]]:
    """The figures of one part under headings; all power figures for a part that has none of its own."""
    kind, name = subject
    whole = assessment.whole
    if kind in ("circuit", "feed", "earth"):
        spot = find(whole, joined((f"{kind}s", name)))
        return [] if spot is None else _grouped(spot)
    if kind == "condition":
        power = list(_figures(whole, joined(("conditions", name)), joined(("power", "reserve", "in_condition", name))))
        currents = list(_currents(whole, assessment.plan, name))
        return [pair for pair in (("Power", power), ("Currents of the circuits", currents)) if pair[1]]
    if kind in _PLACES:
        found = list(_figures(whole, *_PLACES[kind]))
    else:
        found = [each for spot in inside(whole) if spot.steps[0] in ("conditions", "power") for each in figures(spot)]
    return [("Figures", found)] if found else []


def _figures(whole: Spot, *addresses: str) -> Iterator[FigureSpot]:
    for address in addresses:
        spot = find(whole, address)
        if spot is not None and not isinstance(spot, FigureSpot):
            yield from figures(spot)


def _currents(whole: Spot, plan: Plan, condition: str) -> Iterator[FigureSpot]:
    """Current of every circuit that draws one in a condition."""
    for circuit in plan.circuit:
        spot = find(whole, joined(("circuits", circuit, "in_condition", condition, "current_a")))
        if isinstance(spot, FigureSpot) and spot.value:
            yield spot


def _grouped(spot: Spot) -> list[tuple[str, list[FigureSpot]]]:
    groups: dict[str, list[FigureSpot]] = {title: [] for title in _HEADINGS.values()}
    for figure in figures(spot):
        groups[_HEADINGS.get(figure.steps[2], "Wires")].append(figure)
    return [(title, members) for title, members in groups.items() if members]


def behind(assessment: Assessment, finding: Finding) -> FigureSpot | None:
    """The figure a finding is about, else its limit; the limit of a rating, which says more than what is printed on the
    part; None where neither is a figure of the result."""
    figure, limit = both(assessment.whole, finding)
    if figure is not None and figure.steps[-1] == "rating_a" and limit is not None:
        return limit
    return figure or limit

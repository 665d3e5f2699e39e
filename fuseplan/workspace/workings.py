"""Which figures have a working, part by part, and which of them stands behind a finding."""

from __future__ import annotations

import math
from collections.abc import Iterable

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.explain import Figure, figures
from fuseplan.checks.rule import Finding
from fuseplan.plan.conditions import conditions_of

Subject = tuple[str, str]
"""Kind and name of a part: ``("circuit", "fan")``, ``("condition", "crank")``, ``("battery", "battery")``; the whole
car is ``("plan", "plan")``."""
WHOLE: Subject = ("plan", "plan")

_BEGINS = {
    "alternator": ("alternator.", "power.alternator.", "power.rated", "power.regulator_voltage", "power.share_limit",
                   "power.peak_limit", "power.alternator_cable.", "power.exciter."),
    "battery": ("power.battery.", "power.open_circuit", "power.cranking.", "power.standing.", "power.reserve."),
}
_SAME = 1e-6
"""Relative difference at which a finding's figure is the figure explained."""

CONDITIONS = "In each condition"
_GROUPS = (
    ("Current", ("design",)), ("Fuse", ("fuse",)), ("Voltage drop", ("drop",)), ("Switch or relay", ("relay",)),
    ("Short circuit", ("fault", "fault_temperature")), (CONDITIONS, ("current", "volts")),
)


def subjects(assessment: Assessment) -> list[tuple[Subject, str]]:
    """Every part that has figures, with its name in words."""
    plan = assessment.plan
    found: list[tuple[Subject, str]] = [(WHOLE, "the car's power: all conditions, battery and alternator")]
    for kind in ("circuit", "feed", "earth"):
        found += [((kind, name), part.name or name) for name, part in getattr(plan, kind).items()]
    found += [(("condition", name), part.name or name) for name, part in conditions_of(plan).items()]
    if plan.alternator is not None:
        found.append((("alternator", "alternator"), "output, alternator cable"))
    if plan.battery is not None:
        found.append((("battery", "battery"), "capacity, cranking, standing drain"))
    return found


def figures_of(assessment: Assessment, subject: Subject) -> list[tuple[str, list[Figure]]]:
    """The figures of one part under headings; all power figures for a part that has none of its own."""
    kind, name = subject
    every = list(dict.fromkeys(figures(assessment).values()))
    found: list[Figure]
    if kind in ("circuit", "feed", "earth"):
        begin = f"{kind}.{name}."
        # An id may hold dots: what belongs to a longer id that begins the same is not this part's.
        others = (f"{kind}.{each}." for each in getattr(assessment.plan, kind))
        longer = tuple(each for each in others if each != begin and each.startswith(begin))
        found = [each for each in every if each.address.startswith(begin)
                 and not each.address.startswith(longer)]
        return _grouped(found, begin)
    if kind == "condition":
        found = [each for each in every if each.address.startswith((f"power.{name}.", f"power.reserve.{name}."))]
        currents = [each for each in every if each.address.startswith("circuit.")
                    and each.address.endswith(f".current.{name}") and each.value]
        return [pair for pair in (("Power", found), ("Currents of the circuits", currents)) if pair[1]]
    begins = _BEGINS.get(kind, ("power.",))
    found = [each for each in every if each.address.startswith(begins)]
    return [("Figures", found)] if found else []


def _grouped(found: Iterable[Figure], begin: str) -> list[tuple[str, list[Figure]]]:
    groups: dict[str, list[Figure]] = {title: [] for title, _ in _GROUPS[:3]}
    groups |= {"Wires": [], **{title: [] for title, _ in _GROUPS[3:]}}
    for figure in found:
        steps = figure.address.removeprefix(begin).split(".")
        titles = [title for title, words in _GROUPS if steps[0] in words or steps[-1] in words
                  or (len(steps) > 1 and steps[-2] in words and title == CONDITIONS)]
        is_wire = steps[-1] == "current" and len(steps) > 1
        groups["Wires" if is_wire or not titles else titles[0]].append(figure)
    return [(title, members) for title, members in groups.items() if members]


def behind(groups: Iterable[tuple[str, list[Figure]]], finding: Finding) -> Figure | None:
    """The figure a finding rests on, else its limit; None where neither is among those explained."""
    listed = [figure for _, members in groups for figure in members]
    figure, limit = (_equal(listed, value, finding.unit) for value in (finding.figure, finding.limit))
    if figure is not None and figure.address.endswith(".rating") and limit is not None:
        return limit
    return figure or limit


def _equal(listed: list[Figure], value: float | None, unit: str) -> Figure | None:
    if value is None:
        return None
    return next((each for each in listed if isinstance(each.value, float) and each.unit == unit
                 and math.isclose(each.value, value, rel_tol=_SAME)), None)

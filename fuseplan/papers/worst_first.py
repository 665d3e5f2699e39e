"""The order in which faults of one level are listed where there is room for the first few alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from functools import partial

from fuseplan.checks.other_voltage import CHECK as OTHER_VOLTAGE
from fuseplan.checks.rule import CONSEQUENCES, Finding, all_rules
from fuseplan.papers.action import action
from fuseplan.plan.feed_way import way_back, way_to
from fuseplan.plan.model import Plan

FAR, PAST = 2.0, 1.25
"""A figure so many times its limit is far past it, or well past it. Common practice, no source."""


def worst_first(findings: Sequence[Finding], plan: Plan) -> list[Finding]:
    """Findings of one level, the worst first: parts of another system's voltage, as what is found of them rests on
    figures that are not true in the car; by what follows from it, all that burns, injures or leaves a pump running
    alike; then what lacks something altogether or is far past its limit before what is just past it; then by the number
    of circuits it concerns."""
    return sorted(findings, key=partial(_rank, _reach(plan)))


def alike(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Findings that one check has about several parts of a kind, and that begin to be mended the same way, together, in
    the order of the first of each."""
    groups: dict[tuple[str, str, str, int], list[Finding]] = {}
    told: Counter[tuple[str, str, str]] = Counter()
    for finding in findings:
        about = (finding.check, *finding.owner)
        groups.setdefault((*about[:2], action(finding).partition(" ")[0], told[about]), []).append(finding)
        told[about] += 1
    return list(groups.values())


def _rank(reach: Callable[[Finding], int], finding: Finding) -> tuple[bool, int, int, int, float]:
    consequence = all_rules()[finding.check].consequence
    follows = 0 if CONSEQUENCES[consequence][0] == "danger" else list(CONSEQUENCES).index(consequence)
    times = _times(finding)
    band = 0 if times >= FAR else 1 if times >= PAST else 2
    return finding.check != OTHER_VOLTAGE, follows, band, -reach(finding), -times


def _times(finding: Finding) -> float:
    """How many times its limit the figure is, or the limit the figure where less of it is worse; endless where
    something is missing altogether. A temperature is no share of another, and a figure without a limit of none."""
    figure, limit = finding.figure, finding.limit
    if figure is None or limit is None:
        return float("inf") if figure is None or all_rules()[finding.check].lack else PAST
    if finding.unit == "°C" or min(figure, limit) <= 0.0:
        return PAST
    return figure / limit if finding.figure_side == "burden" else limit / figure


def _reach(plan: Plan) -> Callable[[Finding], int]:
    """How many circuits a finding concerns: those behind its feed, those earthed at its point or beyond."""
    behind: Counter[tuple[str, str]] = Counter()
    for circuit in plan.circuit.values():
        behind.update([*(("feed", each) for each in way_to(plan, circuit.feed)),
                       *(("earth", each) for each in way_back(plan, circuit.earth))])

    def reach(finding: Finding) -> int:
        if finding.subject_kind in ("alternator", "battery", "plan"):
            return len(plan.circuit)
        return max(behind[finding.owner], 1)

    return reach

"""The trees of feeds and earth points, and which circuit is live in which state of the key."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from fuseplan.checks.headroom import Headroom, earth_headroom, feed_headroom
from fuseplan.checks.rule import Finding
from fuseplan.grouping import grouped
from fuseplan.papers.columns import fuse_words
from fuseplan.papers.supply_columns import Extreme, earth_highest, feed_lowest, most_current
from fuseplan.plan.part_names import title_of
from fuseplan.plan.roles import must_run, must_stop
from fuseplan.plan.words import STATES
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.supply import EarthResult, FeedResult
from fuseplan.workspace.session import Session

Live = Literal["live", "dead", "needed", "forbidden"]
"""`needed`: dead although it must run; `forbidden`: live although it must stop."""
LIVE_SIGNS: Mapping[Live, str] = {"live": "●", "dead": "·", "needed": "✗ dead", "forbidden": "✗ live"}


@dataclass(frozen=True)
class Branch:
    """One feed or earth point in its tree.

    Attributes:
        kind: "feed" or "earth"
        stem: the lines of the tree before the name
        facts: what hangs on it: fuse, most current and where, voltage
        findings: what is found against it, the gravest first
    """

    kind: str
    id: str
    name: str
    stem: str
    facts: str
    findings: tuple[Finding, ...]


def branches(session: Session, kind: Literal["feed", "earth"]) -> list[Branch]:
    """A tree from its root outwards, each branch behind the one it hangs on."""
    assessment = session.assessment
    parts = session.plan.feed if kind == "feed" else session.plan.earth
    views: dict[str, FeedResult | EarthResult] = {view.id: view for view in (
        assessment.feeds if kind == "feed" else assessment.earths)}
    below = grouped((part.upstream, name) for name, part in parts.items())
    found = []
    ahead = [(name, "", "") for name in reversed(below.get(None, []))]
    while ahead:
        name, stem, behind = ahead.pop()
        view = views.get(name)
        found.append(Branch(kind, name, parts[name].name or name, stem, "" if view is None else _facts(session, view),
                            assessment.findings_for(kind, name)))
        names = below.get(name, [])
        ahead += [(each, behind + ("├ " if each != names[-1] else "└ "), behind + ("│ " if each != names[-1] else "  "))
                  for each in reversed(names)]
    return found


def _facts(session: Session, view: FeedResult | EarthResult) -> str:
    parts: list[str] = []
    if isinstance(view, FeedResult):
        most, volts = most_current(view), feed_lowest(view)
        parts += _most_words(session, most)
        if view.fuse is not None:
            parts.append(f"fuse {fuse_words(view.fuse)}, largest for the wire "
                         f"{writing.LARGEST_FUSE(view.fuse.range_a.high)}")
        if volts is not None:
            parts.append(f"lowest voltage {writing.limit(volts[0], 'V')}")
    else:
        most, lift = most_current(view), earth_highest(view)
        parts += _most_words(session, most)
        if lift is not None:
            parts.append(f"earth drop up to {writing.EARTH_DROP(lift[0])}")
    return "; ".join(parts)


def _most_words(session: Session, most: Extreme | None) -> list[str]:
    """The most current and the condition in which it flows; nothing where it is not known."""
    if most is None or most[0] is None:
        return []
    if most[0] <= 0.0:
        return ["carries nothing yet"]
    return [f"up to {writing.burden(most[0], 'A')} in {title_of(session.plan, 'condition', most[1])}"]


def headroom(session: Session, kind: str, name: str) -> tuple[Headroom, ...]:
    """What a feed or an earth point has left in each condition; nothing for other parts."""
    assessment = session.assessment
    if kind == "feed":
        return next((feed_headroom(assessment, view) for view in assessment.feeds if view.id == name), ())
    if kind == "earth":
        return next((earth_headroom(assessment, view) for view in assessment.earths if view.id == name), ())
    return ()


def state_table(session: Session) -> list[tuple[str, list[Live]]]:
    """For each circuit by name, what it is in every state of the key, in the order of `STATES`."""
    network = session.assessment.results.network
    rows: list[tuple[str, list[Live]]] = []
    for index, name in enumerate(network.circuit_ids):
        circuit = session.plan.circuit[name]
        needed, forbidden = must_run(name, circuit), must_stop(name, circuit)
        cells: list[Live] = []
        for number, state in enumerate(STATES):
            live = bool(network.circuit_live[index, number])
            cells.append("needed" if not live and state in needed else
                         "forbidden" if live and state in forbidden else "live" if live else "dead")
        rows.append((circuit.name or name, cells))
    return rows

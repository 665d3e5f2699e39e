"""Reports on the plan that take longer than a keystroke: made from one assessment, away from the keyboard."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fuseplan.checks.assessment import Assessment
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint
from fuseplan.planfile.confined import check_readable
from fuseplan.planfile.limit_files import assessed
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from fuseplan.papers.plots import Picture
    from fuseplan.workspace.session import Session


@dataclass(frozen=True)
class Bar:
    """Demand against hot output in one condition, currents in A; None where it cannot be worked out."""

    name: str
    demand_a: float | None
    available_a: float | None
    balance_a: float | None


def charging_bars(assessment: Assessment) -> list[Bar]:
    """One bar for each condition in which the engine runs."""
    return [Bar(shown(view.name), view.demand_a, view.available_a, view.balance_a)
            for view in assessment.conditions if view.condition.state == "running"]


def diagnosis(assessment: Assessment, circuit: str, room: int, paint: Paint) -> tuple[str, tuple[str, str] | None]:
    """What the readings of a circuit mean, and address and condition of the reading to take next."""
    from fuseplan.bench.diagnosis import why_not
    from fuseplan.bench.diagnosis_readings import diagnosed
    from fuseplan.papers.diagnosis_text import diagnosis_lines

    refused = why_not(assessment, circuit)
    if refused:
        return f"{refused}.", None
    found = diagnosed(assessment, circuit)
    asked = None if found.next is None else (found.next.point.address, found.next.condition)
    return "\n".join(diagnosis_lines(found, assessment, room, paint, command=False)), asked


def charging(assessment: Assessment, room: int, paint: Paint, drawn: bool) -> str:
    """The power report: balance, curve over engine speed, fixes, battery, standing, cranking, and every trip."""
    from fuseplan.papers.power_text import power_text

    return power_text(assessment, assessment.results.power.trips, room=room, paint=paint, drawn=drawn)


def charging_pictures(assessment: Assessment) -> list[Picture]:
    """Output and demand over engine speed where the balance is worst, and the battery over every trip."""
    from fuseplan.papers.power_pictures import curve_picture, trip_picture

    power = assessment.results.power
    curve = power.curve(power.worst) if power.worst >= 0 else None
    trips = [power.trip(name) for name in power.trips]
    return [*([curve_picture(assessment, curve)] if curve is not None else []),
            *(trip_picture(trip) for trip in trips if trip is not None)]


def protection(assessment: Assessment, circuit: str, room: int, paint: Paint, drawn: bool) -> str:
    """Time against current for one circuit, and what it says in words."""
    from fuseplan.papers.protect_text import circuit_text

    return circuit_text(assessment, circuit, room, paint, drawn)


def protection_pictures(assessment: Assessment, circuit: str) -> list[Picture]:
    """Time against current for one circuit; nothing where it has no figures."""
    from fuseplan.papers.protect_text import silent_words
    from fuseplan.papers.time_current import time_current

    return [] if silent_words(assessment.circuit(circuit)) is not None else [time_current(assessment, circuit)[0]]


def comparison(session: Session, file: str, room: int) -> str:
    """What changed from the plan in a file to the open one, which need not be saved.

    Raises:
        FuseplanError: The file is no plan, or may not be read from a page in a browser.
    """
    from fuseplan.advice.plan_comparison import compare_plans
    from fuseplan.papers.plan_comparison_text import comparison_text

    path = Path(file).expanduser()
    if session.is_confined:
        check_readable(session.document.path, path)
    before = assessed(path)
    return comparison_text(compare_plans(before, session.assessment), (str(path), "the plan as it is now"), room)

"""The pictures of the power report: output and demand over engine speed, state of charge over a trip."""

from __future__ import annotations

import math

from fuseplan.checks.assessment import Assessment
from fuseplan.engine.speed_curve import SpeedCurve
from fuseplan.engine.trip import TripResult
from fuseplan.papers.plots import Marker, Picture, Series
from fuseplan.quantities import writing

_HOUR_S = 3600.0
LONG_TRIP_H = 72.0
"""A trip longer than this is drawn over days."""


def curve_picture(assessment: Assessment, curve: SpeedCurve) -> Picture:
    """Output and demand over engine speed in one condition."""
    network = assessment.results.network
    condition = network.conditions[curve.condition]
    name = condition.name or network.condition_ids[curve.condition]
    markers = [Marker(f"this condition, {writing.stated(condition.engine, 'r/min')}", float(condition.engine),
                      "x", "C")]
    if not math.isnan(curve.break_even_rpm):
        markers.append(Marker(f"break-even, {writing.burden(curve.break_even_rpm, 'r/min')}", curve.break_even_rpm,
                              "x", "B"))
    return Picture(
        title=f"Output and demand over engine speed: {name}", x_label="engine speed, r/min", y_label="current, A",
        series=(Series("hot output", curve.engine_rpm.tolist(), curve.output_a.tolist()),
                Series("average demand", curve.engine_rpm.tolist(), curve.demand_a.tolist())),
        markers=tuple(markers), words=tuple(break_even_words(curve)))


def break_even_words(curve: SpeedCurve) -> list[str]:
    """The two speeds that matter, in sentences."""
    last = float(curve.engine_rpm[-1])
    if math.isnan(curve.break_even_rpm):
        return [f"Break-even: at no speed up to {writing.limit(last, 'r/min')}; the battery is discharged at "
                "every one."]
    said = [f"Break-even: from {writing.burden(curve.break_even_rpm, 'r/min')} of the engine the battery is no longer "
            "discharged."]
    if math.isnan(curve.regulated_rpm):
        said.append(f"The regulator voltage is reached at no speed up to {writing.limit(last, 'r/min')}: the battery "
                    "is never fully charged.")
    else:
        said.append(f"From {writing.burden(curve.regulated_rpm, 'r/min')} the regulator voltage is reached and the "
                    "battery is charged.")
    return said


def trip_picture(trip: TripResult) -> Picture:
    """State of charge over a trip."""
    long = float(trip.time_s[-1]) > LONG_TRIP_H * _HOUR_S if len(trip.time_s) else False
    unit = 24.0 * _HOUR_S if long else _HOUR_S
    return Picture(
        title=f"State of charge over the trip: {trip.name}", x_label="time, days" if long else "time, hours",
        y_label="state of charge, %", series=(Series("state of charge", (trip.time_s / unit).tolist(),
                                                     (trip.charge * 100.0).tolist()),),
        y_range=(0.0, 100.0), words=(f"At the end: {trip.verdict}.",))

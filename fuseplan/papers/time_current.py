"""The time–current picture of one circuit, described for text and SVG, with its legend in words."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.checks.assessment import Assessment
from fuseplan.engine.names import place_words
from fuseplan.engine.picture import Band as DeviceBand
from fuseplan.engine.picture import Picture as Curves
from fuseplan.engine.picture import picture_of
from fuseplan.papers.harmless import shown
from fuseplan.papers.plots import Band, Marker, Picture, Series
from fuseplan.plan.part_names import part_name
from fuseplan.quantities import writing

SHORTEST_S, LONGEST_S = 1e-3, 1e4
OWN_SIGN, UPSTREAM_SIGN, WIRE_SIGN, SURGE_SIGN = "·", "~", "w", "S"
LOAD_SIGN, FAR_SIGN, NEAR_SIGN = "L", "F", "P"


def device_words(assessment: Assessment, device: int) -> str:
    """A protective device in words: ``15 A blade of Fuel pump``."""
    row = assessment.results.network.fuses[device]
    rating = float(assessment.results.fusing.rating_a[device])
    return shown(f"{writing.rating(rating)} {row.fuse.kind} of {part_name(assessment.plan, row.owner)}")


def time_current(assessment: Assessment, circuit: str) -> tuple[Picture, Curves]:
    """The picture of a circuit and the figures it is drawn from."""
    view = assessment.circuit(circuit)
    curves = picture_of(assessment.results, view.index)
    bands, words = [], []
    for band, what, sign in ((curves.own, "clearing time", OWN_SIGN), (curves.upstream, "upstream", UPSTREAM_SIGN)):
        if band is None:
            continue
        name = f"{what} of {device_words(assessment, band.device)}, minimum to maximum"
        if band.known:
            bands.append(_band(band, name, sign))
        else:
            words.append(f"{what} of {device_words(assessment, band.device)}: no published limits on file")
    if curves.own is None:
        words.append("no protective device with a rating protects it")
    series = []
    if curves.wire is not None:
        segment = assessment.results.network.segments
        where = place_words(segment.place[curves.wire.segment])
        series.append(Series(f"{where} ({writing.limit(segment.area_mm2[curves.wire.segment], 'mm²')}) from "
                             f"{writing.burden(curves.wire.start_c, '°C')} to its limit of "
                             f"{writing.limit(curves.wire.limit_c, '°C')}", curves.wire.current_a.tolist(),
                             curves.wire.time_s.tolist(), WIRE_SIGN))
    else:
        words.append("wire in a short: no published limits on file")
    surges = [surge for surge in curves.surges if surge.current_a > curves.load_a]
    if surges:
        most = max(surges, key=lambda surge: surge.current_a**2 * surge.time_s)
        usual = ", typical for its kind" if most.assumed else ""
        series.append(Series(f"inrush {writing.burden(most.current_a, 'A')} for "
                             f"{writing.burden(most.time_s, 's')}{usual}",
                             np.geomspace(max(curves.load_a, curves.lowest_a), most.current_a, 40).tolist(),
                             [most.time_s] * 40, SURGE_SIGN))
    markers = [Marker(words, at, "x", sign) for words, at, sign in (
        (f"load {writing.burden(curves.load_a, 'A')}", curves.load_a, LOAD_SIGN),
        (f"short at the far end {writing.limit(curves.far_end_a, 'A')}", curves.far_end_a, FAR_SIGN),
        (f"short behind the fuse {writing.burden(curves.prospective_a, 'A')}", curves.prospective_a, NEAR_SIGN),
    ) if math.isfinite(at) and at > 0]
    return Picture(
        title=f"{view.name}: time and current", x_label="current in A", y_label="time in s", x_axis="log", y_axis="log",
        x_range=(curves.lowest_a, curves.highest_a), y_range=(SHORTEST_S, LONGEST_S), series=tuple(series),
        bands=tuple(bands), markers=tuple(markers), words=tuple(words)), curves


def _band(band: DeviceBand, name: str, sign: str) -> Band:
    """Held within the picture: where nothing is printed the band reaches its edge."""
    return Band(name, band.current_a.tolist(), np.clip(band.least_s, SHORTEST_S, LONGEST_S).tolist(),
                np.clip(band.greatest_s, SHORTEST_S, LONGEST_S).tolist(), sign)

"""What every shipped set of limits must satisfy."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.checks import assess
from fuseplan.limits import LimitSet, limit_set, names
from fuseplan.planfile.read import parse_plan
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors
from fuseplan.tables.drops import DROP_CLASSES
from fuseplan.tables.insulations import INSULATIONS

ALL = [limit_set(name) for name in names()]
SIZES = [f"{system} {name}" if system != "mm2" else f"{name} mm2" for system in ("mm2", "AWG")
         for name in conductors.standard_sizes(system)]


def test_the_four_are_there_and_road_is_first() -> None:
    assert names()[0] == "road"
    assert set(names()) == {"road", "bodybuilder", "small_craft", "aircraft"}


@pytest.mark.parametrize("by", ALL, ids=lambda by: by.name)
def test_complete_and_sourced(by: LimitSet) -> None:
    for text in (by.title, by.words, by.group.basis, by.fuse.continuous_source, by.fuse.wire_source,
                 by.alternator.continuous_source, by.alternator.peak_source, *(rule.basis for rule in by.wire)):
        assert len(text) > 5
    assert (by.fuse.wire_multiple is None) != (by.fuse.wire_table is None)
    assert (by.drop.return_limit_v is None) == by.drop_covers_return
    assert any(by.drop_limit(kind, 12.0) for kind in DROP_CLASSES)
    known = [by.ampacity(WireSize.read(size), insulation) for size in SIZES for insulation in INSULATIONS]
    assert sum(each is not None for each in known) > 40
    assert all(each.source.line() and each.row for each in known if each is not None)


@given(st.sampled_from(ALL), st.sampled_from(SIZES), st.sampled_from(sorted(INSULATIONS)),
       st.floats(-40, 200), st.floats(0, 100))
def test_hotter_never_allows_more(by: LimitSet, size: str, insulation: str, ambient_c: float,
                                  more: float) -> None:
    rated = by.ampacity(WireSize.read(size), insulation)
    if rated is not None:
        cool, hot = rated.ambient_factor(ambient_c), rated.ambient_factor(ambient_c + more)
        assert math.isnan(hot) or hot <= cool + 1e-12
        assert math.isnan(cool) or cool >= 0.0
        assert ambient_c < rated.max_c or math.isnan(cool) or cool == 0.0
        fuse_k = by.fuse_k(np.array([ambient_c, ambient_c + more]))
        assert np.isnan(fuse_k[1]) or fuse_k[1] <= fuse_k[0] + 1e-12


@given(st.sampled_from(ALL), st.integers(1, 190))
def test_one_more_conductor_never_allows_more(by: LimitSet, count: int) -> None:
    factor = by.group_factor(np.array([count, count + 1]))
    assert 0.0 < factor[1] <= factor[0] <= 1.0


@pytest.mark.parametrize("by", ALL, ids=lambda by: by.name)
@pytest.mark.parametrize("insulation", sorted(INSULATIONS))
def test_a_thicker_wire_never_bears_less(by: LimitSet, insulation: str) -> None:
    for system in ("mm2", "AWG"):
        found = [by.ampacity(WireSize.read(f"{system} {name}" if system != "mm2" else f"{name} mm2"), insulation)
                 for name in conductors.standard_sizes(system)]
        currents = [each.base_a for each in found if each is not None]
        # The thin-wall list ends at 10 mm², where the 70 °C table goes on: a step between two published tables.
        assert all(low <= high * 1.06 for low, high in itertools.pairwise(currents)), currents


SILENT = """
fuseplan = 1
[vehicle]
limits = "aircraft"
[battery]
internal_resistance = "15 mohm"
[zone.cabin]
ambient = "25 degC"
[feed.post]
zone = "cabin"
[earth.body]
[circuit.lamp]
role = "other"
feed = "post"
fuse = { kind = "blade", distance = "50 mm" }
wire = [{ size = "2.5 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }]
earth = "body"
[[circuit.lamp.load]]
current = "2 A"
kind = "resistive"
evidence = "measured"
"""


def test_nothing_on_file_is_unknown_and_proposes_nothing() -> None:
    """FAA AC 43.13-1B, table 11-9, prints no class below 105 °C."""
    assessment = assess(parse_plan(SILENT))
    view = assessment.circuit("lamp")
    assert view.verdict == "unknown"
    assert assessment.unlisted("lamp") == ("no published ampacity for 2.5 mm² with pvc70 at 25 °C (wire 1)",)
    assert view.fuse is not None
    assert view.fuse.proposed_a is None
    said = [finding for finding in view.findings if finding.check == "no-published-limit"]
    assert [finding.level for finding in said] == ["advice"]
    assert "no published limit in the set aircraft" in said[0].message
    assert assess(parse_plan(SILENT), "road").circuit("lamp").verdict == "ok"


def test_a_certain_failure_stands_beside_silence() -> None:
    text = SILENT.replace('fuse = { kind = "blade"', 'fuse = { kind = "blade", rating = "2 A"')
    assert assess(parse_plan(text)).circuit("lamp").verdict == "fails"


def test_a_limit_set_object_is_accepted() -> None:
    own = limit_set("road").model_copy(update={"name": "mine", "title": "Mine"})
    assessment = assess(parse_plan(SILENT), own)
    assert assessment.limit_set.name == "mine"
    assert assessment.circuit("lamp").verdict == "ok"

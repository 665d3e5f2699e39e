"""Past either end of a published table nothing reads better: not a thinner wire, a hotter one, one with more wires
beside it, nor a hotter fuse.

Where nothing is on file for a wire, the next one that is on file bounds it: a fuse too large for that one is too large
for this one. It never makes anything pass.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.limits import limit_set, names
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors, fuses, insulations
from tests.plans import plan_of

PROTECTING = {"fuse-exceeds-wire", "wire-overloaded", "wire-damaged-by-short", "no-trip-far-end"}
SIZES = ("0.13 mm2", "0.22 mm2", "0.35 mm2", "0.5 mm2", "0.75 mm2", "1.5 mm2", "4 mm2", "10 mm2", "35 mm2", "120 mm2",
         "AWG 26", "AWG 24", "AWG 22", "AWG 20", "AWG 18", "AWG 10", "AWG 4/0")
HOT_C = (25, 69, 71, 104, 140)


def _area_mm2(size: str) -> float:
    read = WireSize.read(size)
    return float(conductors.conductor(read.system, read.name).area_mm2)


THINNEST_FIRST = sorted(SIZES, key=_area_mm2)


def _circuit(size: str, insulation: str, zone: str, rating_a: float, **more: Any) -> dict[str, Any]:
    return {"feed": "post", "fuse": {"kind": "blade", "rating": f"{rating_a} A", "zone": "cool"}, "earth": "negative",
            "wire": [{"size": size, "length": "1 m", "zone": zone, "insulation": insulation}],
            "load": [{"name": "lamp", "current": "1 A", "at": "13.5 V", "kind": "resistive", "evidence": "plate"}],
            **more}


def _assessed(circuits: dict[str, Any], limits: str = "road", **more: Any) -> Assessment:
    zones = {f"at_{hot}": {"ambient": f"{hot} degC"} for hot in (*HOT_C, *HOLDERS_C)}
    return assess(plan_of({
        "fuseplan": 1, "vehicle": {"name": "Ends of tables", "limits": limits},
        "battery": {"open_circuit": "12.6 V", "internal_resistance": "9 mohm"},
        "zone": {"cool": {"ambient": "20 degC"}, **zones}, "feed": {"post": {"zone": "cool"}},
        "earth": {"negative": {}}, "circuit": circuits, **more}))


HOLDERS_C = (20, 85, 124, 126, 160)


def _reads(assessment: Assessment, circuit: str, checks: Iterable[str] = PROTECTING) -> int:
    """2 where a check fails, 1 where one could not be made, 0 where all pass."""
    if any(each.check in checks and not each.measure for each in assessment.findings_for("circuit", circuit)):
        return 2
    return int(any(each.check in checks and each.subject == circuit for each in assessment.unjudged))


@pytest.mark.one_in(17)
@pytest.mark.parametrize("insulation", insulations.INSULATIONS)
@pytest.mark.parametrize("rating_a", [3, 15, 40])
@pytest.mark.parametrize("limits", names())
def test_a_thinner_or_a_hotter_wire_never_reads_better(limits: str, insulation: str, rating_a: int) -> None:
    found = _assessed({f"c{number}_{hot}": _circuit(size, insulation, f"at_{hot}", rating_a)
                       for number, size in enumerate(THINNEST_FIRST) for hot in HOT_C}, limits)
    reads = np.array([[_reads(found, f"c{number}_{hot}") for hot in HOT_C] for number in range(len(SIZES))])
    assert (np.diff(reads, axis=0) <= 0).all()
    assert (np.diff(reads, axis=1) >= 0).all()
    assert reads.max() > 0


def test_a_fuse_too_large_for_the_thinnest_printed_wire_is_a_danger_on_a_thinner_one() -> None:
    # 0.5 mm² thin wall: 11 A, the smallest row of a UK thin-wall list; nothing is printed for 0.35 mm².
    found = _assessed({f"r{rating_a}": _circuit("0.35 mm2", "pvc105", "cool", rating_a) for rating_a in (7.5, 15)})
    (finding,) = [each for each in found.findings_for("circuit", "r15") if each.check == "fuse-exceeds-wire"]
    assert finding.level == "danger"
    assert "0.5 mm²" in finding.message
    assert finding.figure == 15.0
    assert finding.figure > finding.limit
    assert found.verdict("r15") == "fails"
    assert found.verdict("r7.5") == "unknown"
    assert found.circuit("r15").fuse.proposed_a is None


def test_a_bundle_larger_than_the_printed_ones_allows_no_more() -> None:
    for name in names():
        factors = limit_set(name).group_factor(np.arange(1, 200))
        assert (np.diff(factors) <= 0).all(), name
        assert (factors > 0).all(), name


def test_more_wires_beside_a_wire_past_the_tables_never_read_better() -> None:
    reads = []
    for beside in (1, 4, 30):
        circuits = {f"c{number}": _circuit("0.35 mm2", "pvc105", "cool", 5) for number in range(beside)}
        for each in circuits.values():
            each["wire"][0]["along"] = ["loom"]
        run = {"loom": {"zone": "cool", "from": "bulkhead", "to": "boot"}}
        reads.append(_reads(_assessed(circuits, run=run), "c0"))
    assert reads == sorted(reads)
    assert reads[0] == 1
    assert reads[-1] == 2


@pytest.mark.parametrize("rating_a", [2, 5, 30])
def test_a_hotter_fuse_never_reads_better_past_the_end_of_the_curve(rating_a: float) -> None:
    assert fuses.hottest_c() == 125.0
    circuits = {f"c{hot}": _circuit("4 mm2", "xlpe125", "cool", rating_a) for hot in HOLDERS_C}
    for hot in HOLDERS_C:
        circuits[f"c{hot}"]["fuse"]["zone"] = f"at_{hot}"
    found = _assessed(circuits)
    reads = [_reads(found, f"c{hot}", {"fuse-too-small"}) for hot in HOLDERS_C]
    assert all(before <= after for before, after in pairwise(reads))
    assert reads[-1] == (2 if rating_a == 2 else 1)

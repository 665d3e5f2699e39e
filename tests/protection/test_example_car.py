"""The example car: a short that does not open its fuse, a holder whose rating is the limit, a pair not in order; each
is found with fix and caution, and gone when the fix is typed in."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.planfile.document import PlanDocument
from tests.plans import path_of

CAR = Path(__file__).parents[2] / "examples" / "coupe_turbo.toml"


@pytest.fixture
def car(tmp_path: Path) -> PlanDocument:
    """A copy of the example, to be edited."""
    copy = tmp_path / CAR.name
    copy.write_bytes(CAR.read_bytes())
    return PlanDocument.open(copy)


def _found(assessment: Assessment, check: str) -> list[Finding]:
    found = [each for each in assessment.findings if each.check == check and not each.measure]
    for each in found:
        assert each.fix
        assert each.caution
        assert each.source
    return found


def test_a_short_that_does_not_open_its_fuse(car: PlanDocument) -> None:
    findings = _found(assess(car.plan), "no-trip-far-end")
    assert findings
    for finding in findings:
        assert finding.level == "danger"
        fix = re.match(r"fit ([\d.]+) A, which blows in time", finding.fix)
        assert fix, finding.fix
        car.set(path_of(finding.fields[0]), f"{fix[1]} A")
    after = assess(car.plan)
    assert not _found(after, "no-trip-far-end")
    for finding in findings:
        view = after.circuit(finding.subject)
        assert view.fault.max_clearing_s <= 5.0
        assert view.fault.wire_survives is True
        assert not [each for each in view.findings if each.check in ("wire-damaged-by-short", "fuse-too-small")]


def test_a_holder_whose_rating_is_the_limit(car: PlanDocument) -> None:
    findings = _found(assess(car.plan), "connection-overloaded")
    assert findings
    for finding in findings:
        assert "rating is the limit, not the wire" in finding.message
        fix = re.search(r"\((\w+)\), rated for", finding.fix)
        assert fix, finding.fix
        car.set(path_of(finding.fields[0]), fix[1])
    assert not _found(assess(car.plan), "connection-overloaded")


def test_a_pair_that_is_not_in_order(car: PlanDocument) -> None:
    before = assess(car.plan)
    findings = _found(before, "not-selective")
    assert findings
    unordered = [pair for pair in before.results.pairs if pair.answer == "not assured"]
    assert unordered
    for finding in findings:
        for amperes, kind, circuit in re.findall(r"fit ([\d.]+) A (\w+) at (\w+)", finding.fix):
            car.set(("circuit", circuit, "fuse"), {**car.plan.circuit[circuit].fuse.model_dump(
                exclude_none=True, include={"position"}), "kind": kind, "rating": f"{amperes} A"})
        for amperes, kind in re.findall(r"fit ([\d.]+) A (\w+) here", finding.fix):
            car.set((finding.subject_kind, finding.subject, "fuse", "kind"), kind)
            car.set((finding.subject_kind, finding.subject, "fuse", "rating"), f"{amperes} A")
        if "joint" in finding.fix:
            assert finding.fields[0].endswith("joint.resistance")
            car.set(path_of(finding.fields[0]), "3 mohm")
    after = assess(car.plan)
    assert not _found(after, "not-selective")
    assert not [pair for pair in after.results.pairs if pair.answer == "not assured"]


def test_every_segment_has_a_temperature_and_every_fuse_a_short() -> None:
    document = assess(PlanDocument.open(CAR).plan).to_dict()
    segments = [each for circuit in document["circuits"] for each in circuit["segments"]]
    assert len(segments) > 40
    assert all(each["temperature_c"] is not None and each["ambient_c"] <= each["temperature_c"] for each in segments)
    faults = [circuit["fault"] for circuit in document["circuits"]
              if circuit["fuse"] is not None and not circuit["missing"]]
    assert len(faults) > 25
    assert all(each["prospective_a"] >= each["far_end_a"] > 0 for each in faults)

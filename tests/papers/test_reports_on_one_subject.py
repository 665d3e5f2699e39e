"""A report on protection or on power leaves out no finding above advice that is about it."""

from __future__ import annotations

import pytest

from fuseplan.checks import Finding
from fuseplan.checks.rule import all_rules
from fuseplan.papers.power_text import power_findings
from fuseplan.papers.protect_text import PROTECTION_CHECKS
from tests.checks.check_plans import failed


def is_about_a_fuse(finding: Finding) -> bool:
    """A key of a fuse removes it."""
    return any("fuse" in path.split(".") for path in finding.fields)


@pytest.mark.one_in(5)
@pytest.mark.parametrize("name", sorted(all_rules()))
def test_it_holds_whatever_is_about_its_subject(name: str) -> None:
    assessment = failed(name)
    power = power_findings(assessment)
    for finding in assessment.findings:
        if finding.level == "advice":
            continue
        if is_about_a_fuse(finding):
            assert finding.check in PROTECTION_CHECKS
        if finding.subject_kind in ("alternator", "battery") or finding.check == "insufficient-supply":
            assert finding in power


def test_what_is_about_a_fuse_is_seen() -> None:
    seen = {finding.check for name in all_rules() for finding in failed(name).findings
            if finding.level != "advice" and is_about_a_fuse(finding)}
    assert len(seen) > 10
    assert seen >= {"alternator-cable-unfused", "no-fuse-fits", "thinner-wire-unprotected"}

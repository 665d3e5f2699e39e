"""What to do about a finding, in a few words."""

from __future__ import annotations

import re

from fuseplan.checks.rule import Finding
from fuseplan.papers.harmless import shown
from fuseplan.plan.part_names import names_masked

_NEEDED = re.compile(r"(; then |; and )")
"""Before what a fix needs as well."""
_END = re.compile(r"; |, or |, which ")
"""Before an alternative to it, or the reason for it."""
_THING = re.compile(r"(a|an|another|the|two|insulation|contacts|link wire|\d+ studs)\b")
"""How a fix begins that names a part and no action."""


def action(finding: Finding) -> str:
    """The first thing that removes a fault, with all it needs; for what passes as entered, to measure first."""
    fix, masked = finding.fix, names_masked(finding.fix)
    parts, start = [], 0
    for needed in (*_NEEDED.finditer(masked), None):
        until = len(fix) if needed is None else needed.start()
        cut = _END.search(masked, start, until)
        parts.append(fix[start:until if cut is None else cut.start()])
        if needed is not None:
            parts.append(needed[0])
            start = needed.end()
    first = shown("".join(parts))
    if _THING.match(first):
        first = f"fit {first}"
    return f"measure, or {first}" if finding.measure and not first.startswith(("measure", "enter")) else first

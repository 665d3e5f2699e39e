"""One assessment of a draft, and what its findings point at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from fuseplan.advice.draft import Draft
from fuseplan.advice.edit import owner_key
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.checks.subjects import fuse_path, segment_path
from fuseplan.engine.results import Results
from fuseplan.plan.references import Path


@dataclass
class Look:
    """One assessment of the draft, with what its findings point at."""

    draft: Draft
    assessment: Assessment

    @property
    def results(self) -> Results:
        """The engine's results of the assessment."""
        return self.assessment.results

    @cached_property
    def segment_at(self) -> dict[str, int]:
        """Number of the segment a field such as ``circuit.fan.wire.0.size`` belongs to."""
        return {segment_path(self.results, index, key): index for index in range(self.results.network.segments.count)
                for key in ("size", "insulation")}

    @cached_property
    def fuse_at(self) -> dict[str, int]:
        """Number of the device a field such as ``circuit.fan.fuse.rating`` belongs to."""
        return {fuse_path(row, key): index for index, row in enumerate(self.results.network.fuses)
                for key in ("rating", "kind")}

    def device_of(self, finding: Finding) -> int | None:
        """The device a finding is about; None where it names none."""
        return next((self.fuse_at[each] for each in finding.fields if each in self.fuse_at), None)

    def manage(self, finding: Finding) -> int | None:
        """The device a finding is about, if its rating has been chosen here already; else it will be from now on."""
        index = self.device_of(finding)
        if index is None:
            self.draft.give_up_on(finding, "no device of its own", "no rating fixes it")
            return None
        owner = self.results.network.fuses[index].owner
        if owner in self.draft.managed or owner in self.draft.stuck or not self.draft.in_scope(owner_key(owner)):
            return index
        self.draft.managed.add(owner)
        self.draft.reasons[owner] = finding
        return None


def subject_key(finding: Finding) -> Path:
    """Where the subject stands in the plan; the alternator is alone of its kind."""
    return finding.owner if finding.subject_kind != "alternator" else ("alternator",)

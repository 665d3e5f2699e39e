"""Why sizes and insulations change, by the values of the plan and the proposal: the search for them speaks of sizes and
ratings between."""

from __future__ import annotations

import re

import numpy as np

from fuseplan.advice.draft import Draft, fuse_needs_wire
from fuseplan.advice.edit import segment_key
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import MEASURE_WORDS, USUAL_WORDS
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.names import wire_words
from fuseplan.plan.references import Path

LESS_IS_CERTAIN = "; a thinner one than proposed passes as entered, so measure first"
"""Added to why a wire fails as entered, where a thinner one than is proposed ends that."""


def asks_for_reading(why: str) -> bool:
    """Whether a reason is one of a current that is to be measured first."""
    return why.startswith((MEASURE_WORDS, USUAL_WORDS)) or why.endswith(LESS_IS_CERTAIN)


def final_reasons(draft: Draft, after: Assessment) -> dict[Path, str]:
    """What is said of each change of a wire in place of what the search said: with the sizes as entered, where the plan
    gives them, and all else as proposed."""
    sizes = {path: change for path, change in draft.changes.items() if path[-1] == "size"}
    said = {path: change.why for path, change in draft.changes.items() if path[-1] == "insulation"}
    entered = {path for path, change in sizes.items() if change.old is not None}
    unmended = draft.trials.of({path: change.new for path, change in draft.changes.items() if path not in entered})
    segments, guards = after.results.network.segments, after.results.network.segment_guard
    for index in range(segments.count):
        path = (*segment_key(after.results, index), "size")
        if (change := sizes.get(path)) is None:
            continue
        name = wire_words(after.plan, segments.owner[index], segments.place[index])
        searched, words = rf"(?<!earth ){re.escape(name)} \([^()]*\)", segment_words(after.results, index)
        words = words.replace("\\", r"\\")
        said |= {key: re.sub(searched, words, why) for key, why in said.items() if key not in sizes}
        fuse_a = float(after.results.fusing.rating_a[guards[index]]) if guards[index] >= 0 else np.nan
        if path in draft.for_fuse and change.check == "fuse-exceeds-wire":
            if fuse_a > unmended.results.largest_fuse_a[index] or path not in entered:
                said[path] = fuse_needs_wire(unmended.results, index, fuse_a)
        elif path in entered:
            field = segment_path(after.results, index, "size")
            found = [each.message for each in unmended.findings if each.check == change.check and field in each.fields]
            said[path] = next((each for each in found if re.search(searched, each)), next(iter(found), change.why))
            if asks_for_reading(change.why) and not asks_for_reading(said[path]):
                said[path] += LESS_IS_CERTAIN
    return said

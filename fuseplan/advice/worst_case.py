"""What is fitted beyond what fails as entered, where nothing else fails for it: what a size, a rating or a relay fixes
of that which only the worst-case current brings about and which asks for a reading; and a relay contact that is on file
for its place instead of one that is not."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from fuseplan.advice.draft import Draft
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.contacts import is_unprinted
from fuseplan.checks.rule import Finding

Key = tuple[str, str, str]


def fit_for_worst_case(draft: Draft, after: Assessment, settle: Callable[[Draft], Assessment],
                       is_curable: Callable[[Draft, Assessment, Finding], bool]) -> tuple[Draft, Assessment]:
    """The draft with every finding that asks for something fixed as well, and its assessment.

    What could not be fixed beside others is tried again once those are, until nothing more can be: a second proposal
    would find the same.

    Args:
        draft: settled for the currents as entered; it is not changed
        after: of the plan with the changes of the draft
        settle: runs a draft to its end and returns its assessment
        is_curable: whether a size, a rating or a relay can fix a finding of an assessed draft
    """
    while True:
        better = _fit_more(draft, after, settle, [*dict.fromkeys(
            each.identity for each in after.findings
            if asks(each) and is_curable(draft, after, each) and each.identity not in draft.given_up
            and draft.concerns(each))])
        if better[0] is draft:
            return better
        draft, after = better


def _fit_more(draft: Draft, after: Assessment, settle: Callable[[Draft], Assessment], together: list[Key]
              ) -> tuple[Draft, Assessment]:
    """A draft with some of these findings fixed as well, or the same where none can be.

    All are tried at once, then without those that cannot be fixed or bring another finding about the same part, and at
    last one by one: a fix stays if its finding is gone, nothing new is found and nothing more collides.
    """
    while together:
        trial, found = _tried(draft, together, settle)
        if _is_better(draft, after, trial, found, together):
            return trial, found
        unfixed = (trial.given_up - draft.given_up) | _keys(found.findings)
        hurt = {key[1:] for key in _keys(found.findings) - _keys(after.findings)}
        left = [key for key in together if key not in unfixed and key[1:] not in hurt]
        if len(left) == len(together):
            break
        together = left
    for key in together:
        trial, found = _tried(draft, [key], settle)
        if _is_better(draft, after, trial, found, [key]):
            draft, after = trial, found
    return draft, after


def asks(finding: Finding) -> bool:
    """Whether a finding asks for a reading, or for what its relay contact carries where it sits."""
    return finding.measure or is_unprinted(finding)


def _tried(draft: Draft, keys: Iterable[Key], settle: Callable[[Draft], Assessment]) -> tuple[Draft, Assessment]:
    trial = draft.copy()
    trial.for_worst_case.update(keys)
    return trial, settle(trial)


def _is_better(draft: Draft, after: Assessment, trial: Draft, found: Assessment, keys: Iterable[Key]) -> bool:
    """Whether the findings of `keys` are gone, with none that was not there before and nothing given up for it."""
    return _keys(found.findings).isdisjoint(keys) and _is_no_more(found, after) \
        and len(trial.collisions) == len(draft.collisions)


def is_less(found: Assessment, after: Assessment) -> bool:
    """Whether findings are gone, or only ask for a reading now, with none that was not there before."""
    return _is_no_more(found, after) and (_keys(found.findings), _certain(found)) != (
        _keys(after.findings), _certain(after))


def _is_no_more(found: Assessment, after: Assessment) -> bool:
    """Whether there is no finding above advice or to be measured that was not there before, and none certain that asked
    for a reading."""
    return _keys(found.findings) <= _keys(after.findings) and _certain(found) <= _certain(after)


def _certain(assessment: Assessment) -> set[Key]:
    return {each.identity for each in assessment.findings if each.level != "advice" and not asks(each)}


def _keys(findings: Iterable[Finding]) -> set[Key]:
    return {each.identity for each in findings if asks(each) or each.level != "advice"}

"""Which findings have one cause: one change of the plan removes each of them.

Every check knows the network, and names first the key whose change removes the fault (`Finding.fields`): the size of
the wire that loses most of a drop, the rating of the fuse, of the alternator. Findings that name the same key first are
one entry: the worst of them, with the others under it. So are the parts of one feed that carry too much: their cause is
what the feed hands out. A drop or a low voltage for which only sizes are named follows the finding that names all of
them too, as one that asks for a reading does one that fails. What follows from parts for another system voltage is
found in `checks/other_voltage.py`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fuseplan.checks.one_size import thickest
from fuseplan.checks.rule import LEVELS, Finding


def remedied_at(finding: Finding) -> str:
    """Path of the key whose change removes the fault: ``circuit.fans.fuse.rating``, ``feed.main_bus.wire.0.size``;
    empty where a finding names none, or names parts all over the plan."""
    return "" if not finding.fields or finding.subject_kind == "plan" else finding.fields[0]


def causes_of(findings: Sequence[Finding], led: Mapping[int, int] | None = None) -> tuple[int | None, ...]:
    """For each finding the number of the one it follows from; None for one that stands for itself. `led` says it of
    those whose cause was found otherwise.

    Of the findings that name the same key the first of the worst level leads, of those one check has about one part
    the one furthest past its limit: what mends that one mends the same in the other conditions. One that only asks for
    a measurement follows those that do not, and what does not say what is wrong (`_says_no_cause`) those that do.
    """
    leaders: dict[str, dict[int, None]] = {}
    fitting: dict[str, list[int]] = {}
    first: dict[tuple[str, str, str], int] = {}
    for number, each in enumerate(findings):
        first.setdefault((each.check, *each.owner), number)
    ranked = sorted(range(len(findings)), key=lambda number: (
        findings[number].measure, LEVELS.index(findings[number].level),
        _says_no_cause(findings[number]), first[findings[number].check, *findings[number].owner],
        _place(findings[number]), -_past_limit(findings[number]), number))
    causes: list[int | None] = [None] * len(findings)
    known = led or {}
    for number, cause in known.items():
        causes[number] = cause
    settled = {*known, *known.values()}
    for number in ranked:
        if number in settled:
            continue
        finding = findings[number]
        keys, sizes = _keys(finding), [path for path, _ in finding.values if path.endswith(".size")]
        leader = next((other for key in keys for other in leaders.get(key, {})
                       if _removes(findings[other], finding)), None)
        if leader is None and finding.unit == "V" and sizes and len(sizes) == len(finding.values):
            leader = next((other for other in fitting.get(sizes[0], ()) if _fits_all(findings[other], finding)), None)
        if leader is not None:
            causes[number] = leader
            continue
        for key in (*keys, *thicker_together(finding)):
            leaders.setdefault(key, {})[number] = None
        for path in sizes:
            fitting.setdefault(path, []).append(number)
    return tuple(causes)


def _removes(leader: Finding, finding: Finding) -> bool:
    """Whether the change that two findings name first is one change: a size named for a wire does not remove a drop for
    which no size of it is named, such as one over a run that is to be shorter, nor, where the wire needs it for its
    fuse or its load, one that is to be cured in other wires too, or of which something is left with all sizes; nor does
    a feed of coils with a smaller fuse mend a coil that is live in the wrong states."""
    key, asked = remedied_at(finding), dict(finding.values)
    if key.endswith(".coil_feed"):
        return _is_of_wires(leader) is _is_of_wires(finding)
    if finding.unit == "V" and finding.sizes and not finding.values and leader.unit != "V":
        return False
    with_fuse = thicker_together(leader) if remedied_at(leader).endswith(".fuse.rating") else ()
    if finding.unit != "V" or not key.endswith(".size") or key not in (*dict(leader.values), *with_fuse):
        return True
    return key in asked and (leader.unit == "V" or _fits_all(leader, finding, (key, *with_fuse)))


def _fits_all(leader: Finding, finding: Finding, but: tuple[str, ...] = ()) -> bool:
    """Whether all that a finding names is fitted, or thicker wires are, with what another names; `but` for some."""
    fitted = dict(leader.values)

    def fits(path: str, value: str) -> bool:
        named = fitted.get(path)
        return named == value or (named is not None and path.endswith(".size") and thickest(
            [(path, named), (path, value)])[path] == named)

    return all(path in but or fits(path, value) for path, value in finding.values)


def _is_of_wires(finding: Finding) -> bool:
    """Whether a thicker wire or another fuse removes a finding too."""
    return any(path.endswith((".size", ".rating")) for path in finding.fields)


def _keys(finding: Finding) -> tuple[str, ...]:
    """What a finding has in common with others of one cause: the key that removes it, and of a part of a feed that
    carries too much what that feed hands out, which all its parts carry."""
    part = remedied_at(finding)
    load = f"load of {finding.subject}" if is_of_a_feeds_load(finding) else ""
    return tuple(key for key in (part, load) if key)


def _says_no_cause(finding: Finding) -> bool:
    """Whether a finding follows from any of another check that is mended alike: a wire that a short damages from its
    load, which made it hot, and one that carries 0 A from its insulation, too weak for its place."""
    return finding.check == "wire-damaged-by-short" or finding.limit == 0.0


def thicker_together(finding: Finding) -> tuple[str, ...]:
    """The sizes of the wires of the part it is mended at that a finding asks to be thicker together, for a fuse or with
    one; none of a drop, which is spread over its wires otherwise."""
    key = remedied_at(finding)
    part = f"{'.'.join(key.split('.')[:2])}."
    return tuple(path for path in finding.fields if path.startswith(part) and path.endswith(".size")) \
        if finding.unit != "V" and (key.endswith(".size") or finding.sizes) else ()


def is_of_a_feeds_load(finding: Finding) -> bool:
    """Whether a part of a feed carries too much: its wire, its bus or box, its switch, relay or ammeter."""
    return finding.check == "feed-overloaded" and finding.unit == "A"


def _place(finding: Finding) -> int:
    """The place among the parts of a feed that carry too much: first its bus or box, which only less load mends; then
    its wire; then switch, relay and ammeter, which do not keep a wire from burning when one rated for more is fitted.
    All findings of other checks have one place."""
    if not is_of_a_feeds_load(finding) or remedied_at(finding).endswith(".limit") or \
            remedied_at(finding).startswith("fuse_box."):
        return 0
    return 1 if remedied_at(finding).endswith(".size") else 2


def _past_limit(finding: Finding) -> float:
    """How far the figure is past the limit, in their unit; 0 where there is none of either."""
    return 0.0 if finding.figure is None or finding.limit is None else abs(finding.figure - finding.limit)


def with_causes(findings: Sequence[Finding], led: Mapping[int, int] | None = None) -> tuple[Finding, ...]:
    """The findings, each with the number of the one it follows from, and of those that follow from it."""
    causes = causes_of(findings, led)
    follows: dict[int, list[int]] = {}
    for number, cause in enumerate(causes):
        if cause is not None:
            follows.setdefault(cause, []).append(number)
    return tuple(each if cause is None and number not in follows else
                 replace(each, cause=cause, follows=tuple(follows.get(number, ())))
                 for number, (each, cause) in enumerate(zip(findings, causes, strict=True)))


def together(listed: Sequence[Finding], findings: Sequence[Finding]) -> tuple[tuple[Finding, bool], ...]:
    """Some of the findings of a plan, each with whether it follows from the one that leads it among those listed: it
    then stands right behind that one. What follows from one that is not listed stands for itself."""
    there = {id(each) for each in listed}
    under: dict[int, list[Finding]] = {}
    for each in listed:
        if each.cause is not None and id(findings[each.cause]) in there:
            under.setdefault(id(findings[each.cause]), []).append(each)
    follow = {id(each) for members in under.values() for each in members}
    return tuple(pair for each in listed if id(each) not in follow
                 for pair in ((each, False), *((member, True) for member in under.get(id(each), ()))))

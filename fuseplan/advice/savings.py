"""What a reading would save: the smaller fuse and the thinner wire that do where a current is no more than entered."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from fuseplan.checks.fixes import copper_mm2
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Load, Wire

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Collision, Proposal
    from fuseplan.checks.assessment import Assessment

LEAST_SPREAD = 1.15
"""A worst case that asks for a fuse less than this many times that for the current as entered is not worth a reading.
Common practice, no source."""


class Fitted(NamedTuple):
    """What a circuit has: its fuse and the sizes of the wires that are not kept, each size once."""

    kind: str
    rating_a: float
    sizes: tuple[str, ...]


class Saving(NamedTuple):
    """What a circuit could do with once its current is measured."""

    circuit: str
    several: bool
    """It has more than one load: it is their sum that counts."""
    up_to_a: float
    """The current entered: what it may draw at most for that."""
    proposed: Fitted
    measured: Fitted


def savings(proposal: Proposal, fitted: Callable[[Plan, frozenset[str]], tuple[Assessment, tuple[Collision, ...]]]
            ) -> tuple[Saving, ...]:
    """What measuring would save in the circuits a proposal changes.

    Args:
        fitted(plan, circuits): assesses the plan with what these circuits alone can be given, by the same limits, and
            says what collides in them. It is asked twice for the plan as proposed, with the wires and fuses of these
            circuits to be chosen anew: for the currents as they are known, and for the same currents measured. Only
            what differs between the two is saved by a reading; a wire thicker than either asks for has other reasons
    Returns:
        tuple of Saving, the largest fall of the rating first
    """
    plan, after = proposal.before.plan, proposal.after
    names = [name for name in dict.fromkeys(change.subject for change in proposal.changes
                                            if change.path[0] == "circuit")
             if _is_uncertain(after, name) and not _peaks_decide(after, name)]
    if not names:
        return ()
    (base, unmet_known), (other, unmet_measured) = (fitted(after.plan.model_copy(update={"circuit": {
        name: _anew(plan.circuit[name], circuit, measured) if name in names else circuit
        for name, circuit in after.plan.circuit.items()}}), frozenset(names)) for measured in (False, True))
    falls_short = [_unmet(after, fitted_so, collisions) for fitted_so, collisions in (
        (base, unmet_known), (other, unmet_measured))]
    found = []
    for name in names:
        # What is left undone with the currents as they are known says nothing of what they ask for.
        proposed, known, measured = (_fitted(each, name) for each in (
            after, after if name in falls_short[0] else base, other))
        if proposed is None or known is None or measured is None or name in falls_short[1]:
            continue
        if _thickest(measured) >= min(_thickest(known), _thickest(proposed)):
            measured = measured._replace(sizes=proposed.sizes)
        if measured.rating_a < min(known.rating_a, proposed.rating_a) or measured.sizes != proposed.sizes:
            index = after.fuse_of["circuit", name]
            fusing = after.results.fusing
            found.append(Saving(name, len(plan.circuit[name].load) > 1,
                                max(float(fusing.short_a[0, index]), float(fusing.continuous_a[0, index])),
                                proposed, measured))
    return tuple(sorted(found, key=lambda each: each.measured.rating_a - each.proposed.rating_a))


def _unmet(proposed: Assessment, found: Assessment, collisions: tuple[Collision, ...]) -> set[str]:
    """The circuits with something wrong or to be measured that is not so as proposed, or with limits that collide. What
    may blow at switch-on as proposed does so the sooner with a smaller fuse, whatever a reading says."""
    had = {(finding.check, finding.subject) for finding in proposed.findings if finding.check != "blows-at-switch-on"}
    return {each.subject for each in collisions} | {
        finding.subject for finding in found.findings
        if (finding.level != "advice" or finding.measure) and (finding.check, finding.subject) not in had}


def _peaks_decide(assessment: Assessment, name: str) -> bool:
    """Whether a motor that runs for seconds is in it: what it draws stalled decides there, not what it draws moving."""
    view = assessment.circuit(name)
    return any(load.kind == "motor" and view.use_of(number) == "momentary"
               for number, load in enumerate(view.circuit.load))


def _is_uncertain(assessment: Assessment, name: str) -> bool:
    index = assessment.fuse_of.get(("circuit", name))
    if index is None:
        return False
    low, upper = (float(value) for value in assessment.results.fusing.low_a[:, index])
    return upper > LEAST_SPREAD * low > 0


def _anew(entered: Circuit, proposed: Circuit, measured: bool) -> Circuit:
    """A circuit as it is proposed, whose fuse and wires are to be chosen anew, its fuse beginning with the type that is
    entered; with `measured` its currents are, as they are entered."""
    known = {"evidence": "measured", "range": None, "tolerance": None} if measured else {}
    loads = tuple(load.model_copy(update={**known, "wire": _open(load.wire), "earth_wire": _open(load.earth_wire)})
                  for load in proposed.load)
    fuse = entered.fuse or proposed.fuse
    return proposed.model_copy(update={
        "load": loads, "wire": _open(proposed.wire), "earth_wire": _open(proposed.earth_wire),
        "fuse": None if fuse is None else fuse.model_copy(update={"rating": None})})


def _open(wire: Wire) -> Wire:
    """A wire whose sizes are to be chosen, but for what is kept."""
    return tuple(segment if segment.origin == "existing" or segment.size is None else
                 segment.model_copy(update={"size": None}) for segment in wire)


def _fitted(assessment: Assessment, name: str) -> Fitted | None:
    view = assessment.circuit(name).fuse
    circuit: Circuit = assessment.plan.circuit[name]
    if view is None or view.rating_a is None or circuit.fuse is None:
        return None
    wires = [*circuit.wire, *(segment for load in circuit.load for segment in _wires_of(load))]
    return Fitted(circuit.fuse.kind, view.rating_a, tuple(dict.fromkeys(
        str(segment.size) for segment in wires if segment.size is not None and segment.origin != "existing")))


def _wires_of(load: Load) -> Wire:
    return (*load.wire, *load.earth_wire)


def _thickest(fitted: Fitted) -> float:
    return max(map(copper_mm2, fitted.sizes), default=0.0)

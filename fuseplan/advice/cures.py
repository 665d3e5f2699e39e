"""Which cure goes with which check."""

from __future__ import annotations

from collections.abc import Callable

from fuseplan.advice.added_fuse import fit_far_fuse
from fuseplan.advice.holder_cures import has_holder, holder
from fuseplan.advice.look import Look
from fuseplan.advice.rating_cures import (
    asks_own_fuse,
    breaking,
    coil_fuse,
    equipment,
    feeds_coil,
    fits_its_seat,
    fuse,
    is_at_hand,
    order,
    own_fuse,
    rating,
    surge,
)
from fuseplan.advice.relay_cures import contact, is_another_contact, suppression
from fuseplan.advice.wire_cures import drop, far_short, insulation, lead, reinsulate, size
from fuseplan.checks.resting import is_read_first
from fuseplan.checks.rule import Finding
from fuseplan.checks.rules.low_lamp_voltage import is_of_the_wires


def cure(look: Look, finding: Finding) -> None:
    """What goes with the check; a coil wire or a circuit that asks for a fuse of its own gets that, whatever check asks
    for it."""
    if feeds_coil(finding):
        coil_fuse(look, finding)
    elif finding.check != "no-fuse" and asks_own_fuse(look, finding):
        own_fuse(look, finding)
    else:
        CURES[finding.check](look, finding)


def comes_first(look: Look, finding: Finding) -> bool:
    """Whether a finding asks for a fuse that is added for a coil wire or a circuit: what else is wrong with the fuse
    before it goes with that."""
    return feeds_coil(finding) or asks_own_fuse(look, finding)


def guard(look: Look, finding: Finding) -> None:
    """Another insulation where that comes first, else another rating."""
    if not (finding.fields[0].endswith(".insulation") and reinsulate(look, finding)):
        rating(look, finding)


def shrinks(look: Look, finding: Finding) -> None:
    """Another rating where a fuse stands before it, else the size of the wire before it: not of one that gets a fuse
    first."""
    if any(each in look.fuse_at for each in finding.fields[:2]):
        guard(look, finding)
    elif not finding.fields[0].endswith(".fuse.rating") or \
            ("no-fuse", finding.subject_kind, finding.subject) in look.draft.given_up:
        size(look, finding)


def damaged(look: Look, finding: Finding) -> None:
    """What the check names first: another rating, or the size of the wire."""
    (guard if finding.fields[0] in look.fuse_at else size)(look, finding)


def part(look: Look, finding: Finding) -> None:
    """A wire, or the contact of a relay; the limit of any other part stands."""
    first = finding.fields[0] if finding.fields else ""
    if first in look.segment_at:
        size(look, finding)
    elif first.endswith("relay.contact"):
        contact(look, finding)
    else:
        look.draft.give_up_on(finding, "the limit of a part", "no size of wire and no rating fixes it")


def far_end(look: Look, finding: Finding) -> None:
    """A fuse at the second battery, or the size of its wire, whichever the check names first."""
    (size if finding.fields[0] in look.segment_at else fit_far_fuse)(look, finding)


CURES: dict[str, Callable[[Look, Finding], None]] = {
    "fuse-too-small": rating, "fuse-exceeds-wire": guard, "no-such-fuse-rating": rating, "no-fuse-fits": rating,
    "fuse-exceeds-equipment": equipment, "connection-overloaded": holder, "wrong-fuse-position": rating,
    "no-suppression": suppression, "breaking-capacity": breaking,
    "blows-at-switch-on": surge, "no-trip-far-end": far_short, "not-selective": order, "no-fuse": fuse,
    "wire-overloaded": size, "feed-overloaded": part, "earth-strap-overloaded": size, "fuse-exceeds-strap": size,
    "wire-damaged-by-short": damaged, "thinner-wire-unprotected": shrinks, "insulation-too-weak": insulation,
    "voltage-drop": drop, "low-lamp-voltage": drop, "charging-voltage-drop": lead, "low-cranking-voltage": drop,
    "switch-overloaded": contact, "relay-overloaded": contact, "relay-inrush-too-high": contact,
    "output-overloaded": contact, "second-battery-unprotected": far_end,
}
"""The checks a size, a rating or a relay can cure."""


def is_curable(look: Look, finding: Finding) -> bool:
    """Whether a size, a rating or a relay can cure a finding."""
    if is_read_first(finding):
        return False
    if finding.check == "wrong-fuse-position":
        return fits_its_seat(look, finding)
    if finding.check == "connection-overloaded":
        return not finding.measure and has_holder(look, finding)
    if finding.check == "low-lamp-voltage":
        return is_of_the_wires(finding)
    if finding.measure and finding.check in MEASURED_FIRST:
        return MEASURED_FIRST[finding.check](look, finding)
    if finding.check == "second-battery-unprotected":
        return not finding.fields[0].endswith(".distance")
    return finding.check in CURES and (finding.check not in OF_A_WIRE
                                       or any(each in look.segment_at for each in finding.fields))


OF_A_WIRE = {"charging-voltage-drop", "low-cranking-voltage"}
"""Cured where they name a wire, and not at the battery or the alternator."""


MEASURED_FIRST = {"blows-at-switch-on": is_at_hand, "relay-inrush-too-high": is_another_contact}
"""Surges that are only assumed, or too high at the worst-case current alone, and when they are cured all the same."""

"""Resistances taken where a plan gives none and a part plainly has some, each with its source.

Larger than the part will have in good order: a drop then comes out too large and the least a short draws too small,
which is the safe side of both. For the most a short draws they count as nothing.
"""

from __future__ import annotations

from enum import Enum
from functools import cache, lru_cache
from typing import NamedTuple

from fuseplan.errors import TableError
from fuseplan.formulas.resistance import resistance_from_drop
from fuseplan.plan.model import Circuit
from fuseplan.plan.parts import Ammeter, Joint, Load, Relay, Switch
from fuseplan.plan.roles import roles
from fuseplan.plan.words import FUSE_KINDS
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables import relays as relay_tables
from fuseplan.tables.load import table
from fuseplan.trace import apply, given, number, recording


class Errs(Enum):
    """To which side a figure errs that is taken where the plan is silent."""

    SAFE = "to the safe side"
    EITHER = "to either side"
    DANGER = "to the dangerous side"


class Taken(NamedTuple):
    """A resistance taken where the plan gives none."""

    ohm: float
    source: str


JOINT = Taken(0.003, "AC 43.13-1B, 3 mΩ: the most a bonding joint may have")
"""A load earthed on its own body, a crimp or solder joint."""
STUD = Taken(0.0003, "MIL-DTL-83454A, 4.5.3: 7.5 mV at 25 A on a stud terminal")
"""A load bolted on the engine: starter, solenoid, sender; a feed without a wire, bolted to the one it comes from."""
UNRATED_CONTACT_A = 10.0
"""Current at which a contact of unknown rating loses what a contact may lose. Common practice, no source: more than
that is switched by a relay."""


def assumed(taken: Taken, words: str) -> float:
    """What is taken for a part, in ohm."""
    return given(taken.ohm, "R", "ohm", f"{words}, assumed", taken.source) if recording() else taken.ohm


def joint_ohm(joint: Joint, path: str = "") -> float:
    """Resistance of a joint in a wire [ohm]: as given, else that of `JOINT`; `path` is that of its wire."""
    if joint.resistance is None:
        return assumed(JOINT, f"joint: {joint.method or 'method not given'}")
    return given(float(joint.resistance), "R", "ohm", lambda: f"joint: {joint.method or 'method not given'}",
                 lambda: f"the plan, {path}")


def earth_joint_taken(load: Load, on_engine: bool) -> Taken | None:
    """What is taken for a load without an earth wire: it is earthed where it is bolted; None where that is known."""
    return None if load.earth_resistance is not None else STUD if on_engine else JOINT


def earth_joint_given(load: Load, path: str = "") -> float:
    """Resistance in ohm of the joint by which a load is earthed, as far as the plan gives it; `path` is that of the
    load."""
    if load.earth_resistance is None:
        return 0.0
    return given(float(load.earth_resistance), "R", "ohm", "joint by which the load is earthed",
                 lambda: f"the plan, {path}.earth_resistance")


def contact_taken(relay: Relay | None, switch: Switch | None) -> Taken | None:
    """What is taken for the contact the load current passes; None where there is none or its resistance is known."""
    if relay is not None:
        return None if relay.resistance is not None else _relay_contact(relay.contact)
    if switch is None or switch.resistance is not None:
        return None
    return _contact(None if switch.rating is None else float(switch.rating), "mechanical switch")


def contact_words(relay: Relay | None) -> str:
    """The contact the load current passes."""
    return "switch contact" if relay is None else f"relay contact {relay.contact}"


SHUNT_V = 0.075
"""Voltage drop of a shunt at full scale where none is given: the middle of those sold, 50 to 150 mV."""


def ammeter_taken(ammeter: Ammeter | None) -> Taken | None:
    """What is taken for an ammeter in a feed's wire; None where there is none or its drop is given."""
    if ammeter is None or ammeter.drop is not None:
        return None
    return Taken(SHUNT_V / float(ammeter.scale), "shunt makers' data sheets, 50, 60, 75, 100 or 150 mV at full scale: "
                 f"{writing.stated(SHUNT_V, 'V')}")


def ammeter_given(ammeter: Ammeter | None) -> float:
    """Resistance in ohm of an ammeter in a feed's wire, as far as the plan gives it."""
    if ammeter is None or ammeter.drop is None:
        return 0.0
    scale = given(float(ammeter.scale), "I", "A", "full scale of the ammeter", "the plan, its ammeter.scale")
    drop = given(float(ammeter.drop), "U", "V", "voltage drop of the ammeter at full scale",
                 "the plan, its ammeter.drop")
    return number(apply(resistance_from_drop, drop_v=drop, current_a=scale))


def contact_given(relay: Relay | None, switch: Switch | None) -> float:
    """Resistance in ohm of that contact, the relay's, else the switch's, as far as the plan or a table gives it."""
    if contact_taken(relay, switch) is not None:
        return 0.0
    if relay is not None and relay.resistance is not None:
        return given(float(relay.resistance), "R", "ohm", contact_words(relay), "the plan, its relay.resistance")
    if relay is not None:
        printed = relay_tables.relay_contact(relay.contact)
        return given(float(printed.contact_ohm or 0.0), "R", "ohm", contact_words(relay), printed.source.line)
    return 0.0 if switch is None or switch.resistance is None else given(
        float(switch.resistance), "R", "ohm", contact_words(relay), "the plan, its switch.resistance")


@lru_cache(maxsize=256)
def _relay_contact(name: str) -> Taken | None:
    try:
        printed = relay_tables.relay_contact(name)
    except TableError:
        return _contact(None, "magnetic switch")
    if printed.contact_ohm is not None:
        return None
    return _contact(printed.rated_23_a or printed.rated_85_a, "magnetic switch")


@lru_cache(maxsize=64)
def _contact(rating_a: float | None, piece: str) -> Taken:
    found = table("army_tm_cranking_drops").known("piece", piece, "drop_v")
    current = rating_a or UNRATED_CONTACT_A
    at = "its rating" if rating_a else f"{writing.stated(UNRATED_CONTACT_A, 'A')} (common practice, no source)"
    return Taken(found.value / current, f"{found.source.line()}: {writing.stated(found.value, 'V')}, at {at}")


@lru_cache(maxsize=1024)
def fuse_taken(kind: str, rating_a: float) -> Taken | None:
    """What is taken for a device of which no resistance is on file; None where one is, or without a rating.

    Of every type on file, the drop at its rating falls as the rating grows: that of the next smaller rating printed is
    the most this one can have, and the largest of any type is taken.
    """
    if rating_a != rating_a or fuse_tables.cold_resistance_at_most_ohm(kind, rating_a) is not None:
        return None
    drop_v, source = max(_next_smaller(each, rating_a) for each in FUSE_KINDS if _printed(each))
    return Taken(drop_v / rating_a, "the largest drop of any fuse on file at the next smaller rating, "
                                    f"{writing.burden(drop_v * 1000.0, 'mV')}: {source}")


@cache
def _printed(kind: str) -> tuple[tuple[float, float, str], ...]:
    """(rating in A, cold resistance in ohm, source) of a type as printed, ascending."""
    ladder = fuse_tables.ratings(kind)
    return tuple((rating, printed.value, printed.source.line()) for rating in (() if ladder is None else ladder.value)
                 if (printed := fuse_tables.cold_resistance_ohm(kind, rating)) is not None)


def _next_smaller(kind: str, rating_a: float) -> tuple[float, str]:
    """Drop in V at its rating of the next smaller rating printed, else of the smallest, and the source."""
    steps = _printed(kind)
    rating, ohm, source = next((step for step in reversed(steps) if step[0] <= rating_a), steps[0])
    return rating * ohm, source


def fuse_words(kind: str, rating_a: float) -> tuple[str, str]:
    """What the cold resistance of a device is, and where it comes from."""
    if rating_a != rating_a:
        return f"{kind} fuse: no rating is known, its resistance counted as nothing", "no table on file"
    words = f"{kind} fuse of {writing.worked(rating_a)} A, cold"
    printed = fuse_tables.cold_resistance_ohm(kind, rating_a)
    if printed is not None:
        return words, printed.source.line()
    taken, most = fuse_taken(kind, rating_a), fuse_tables.cold_resistance_at_most_ohm(kind, rating_a)
    if taken is not None:
        return f"{words}, none being printed, assumed", taken.source
    if most is not None:
        return f"{words}, none being printed: no more than the next smaller one printed", most.source.line()
    return f"{words}: no resistance printed, counted as nothing", "no table on file"


@lru_cache(maxsize=1024)
def fuse_resistance(kind: str, rating_a: float) -> float:
    """Cold resistance in ohm a device does not exceed; 0 where no rating is known."""
    taken = fuse_taken(kind, rating_a)
    if taken is not None:
        return taken.ohm
    found = None if rating_a != rating_a else fuse_tables.cold_resistance_at_most_ohm(kind, rating_a)
    return 0.0 if found is None else found.value


def drop_class_of(circuit: Circuit) -> str:
    """Kind of circuit whose drop limit holds: as the plan states it, else that of its stated role, else that of lamps
    where all its loads are lamps, and the one for other leads for the rest."""
    if circuit.drop_class is not None:
        return circuit.drop_class
    if circuit.role is not None and (own := roles()[circuit.role].drop_class) is not None:
        return own
    return "lamp" if circuit.load and all(load.kind == "lamp" for load in circuit.load) else "control"

"""Relay contacts and switch derating. Ids name trade size and current: one printed row each."""

from __future__ import annotations

from functools import lru_cache

from fuseplan.errors import TableError
from fuseplan.records import dataclass
from fuseplan.tables.drops import BETWEEN_12_AND_24_V
from fuseplan.tables.load import Cell, Cited, Source, of_name, row_source, table

DEFAULT_COIL_OHM = 90.0
"""The coil of the one mini relay row that prints one: taken where a row prints none, and for a type not on file."""


@dataclass(frozen=True)
class RelayContact:
    """One contact of a relay.

    ``contact`` is NO (normally open) or NC. Currents in A: at 23, 85 and 125 °C, largest make and break, and for lamps
    and motors where printed apart. Resistances in ohm: of the contact (from the printed drop: typical, else largest)
    and of the coil; ``coil_printed`` is False for the 90 ohm default. Every figure is None where nothing is printed.
    """

    id: str
    words: str
    contact: str
    rated_23_a: float | None
    rated_85_a: float | None
    rated_125_a: float | None
    make_a: float | None
    break_a: float | None
    contact_ohm: float | None
    coil_ohm: float
    coil_printed: bool
    lamp_a: float | None
    motor_a: float | None
    source: Source

    @property
    def is_one_of_two(self) -> bool:
        """Whether its relay has another contact like it, with pins of its own."""
        return self.words.endswith(", each")


def _amount(cell: Cell) -> float | None:
    return cell if isinstance(cell, float) else None


def _contact_ohm(row: dict[str, Cell]) -> float | None:
    drop_mv = _amount(row["typical_drop_mv"])
    if drop_mv is None:
        drop_mv = _amount(row["max_drop_mv"])
    at_a = _amount(row["drop_at_a"])
    return None if drop_mv is None or at_a is None else drop_mv / 1000 / at_a


def _contacts() -> dict[str, RelayContact]:
    printed = table("relay_contacts")
    found: dict[str, RelayContact] = {}
    for row in printed.rows():
        coil_ohm = _amount(row["coil_ohm"])
        found[str(row["id"])] = RelayContact(
            id=str(row["id"]),
            words=str(row["words"]),
            contact=str(row["contact"]),
            rated_23_a=_amount(row["rated_23_a"]),
            rated_85_a=_amount(row["rated_85_a"]),
            rated_125_a=_amount(row["rated_125_a"]),
            make_a=_amount(row["make_a"]),
            break_a=_amount(row["break_a"]),
            contact_ohm=_contact_ohm(row),
            coil_ohm=DEFAULT_COIL_OHM if coil_ohm is None else coil_ohm,
            coil_printed=coil_ohm is not None,
            lamp_a=_amount(row["lamp_a"]),
            motor_a=_amount(row["motor_a"]),
            source=row_source(printed, row),
        )
    return found


CONTACTS: dict[str, RelayContact] = _contacts()


def relay_contact(contact_id: str) -> RelayContact:
    """The contact of that id. Raises TableError naming the accepted ones."""
    return of_name(CONTACTS, contact_id, "relay contact")


def contact_words(contact_id: str) -> str:
    """A contact as the relay it is in, in the middle of a sentence: ``maxi relay``; ``relay`` where it is not on
    file."""
    return CONTACTS[contact_id].words.partition(",")[0] if contact_id in CONTACTS else "relay"


def contact_to_enter(contact_id: str) -> str:
    """A contact to be fitted, with the id that is to be entered: ``a maxi relay, normally open (maxi_70)``; the id
    alone where it is not on file."""
    return f"a {CONTACTS[contact_id].words} ({contact_id})" if contact_id in CONTACTS else f"a {contact_id} contact"


def contact_rating(contact_id: str, ambient_c: float) -> Cited[float] | None:
    """Contact current in A at an ambient: the next hotter printed column; None where none is printed."""
    contact = relay_contact(contact_id)
    printed = ((23.0, contact.rated_23_a), (85.0, contact.rated_85_a), (125.0, contact.rated_125_a))
    for temperature_c, current_a in printed:
        if ambient_c <= temperature_c and current_a is not None:
            return Cited(current_a, contact.source)
    return None


def switch_factor(load_kind: str, system_v: float) -> Cited[float]:
    """Factor on the load current for the rating of a plain switch, by load kind and system voltage.

    Systems up to 18 V use the printed 12 V column, above that the 28 V column. The table has no row for electronic
    loads: they count as resistive, which ignores the inrush of their capacitors. Raises TableError for an unknown kind.
    """
    row = "resistive" if load_kind == "electronic" else load_kind
    column = "factor_12_v" if system_v <= BETWEEN_12_AND_24_V else "factor_28_v"
    found = table("ac43_13_1b_t11_4").cited("load", row, column)
    if found is None:
        accepted = "resistive, lamp, motor, coil, electronic"
        raise TableError(f"no switch factor for a '{load_kind}' load; accepted are {accepted}")
    return found


@lru_cache(maxsize=64)
def short_time_multiple(duration_s: float) -> Cited[float]:
    """Multiple of its rating a contact bears for a time, next longer row; 1 beyond 1800 s."""
    printed = table("relay_short_time")
    for longest, multiple in zip(printed.array("duration_s"), printed.array("multiple"), strict=True):
        if duration_s <= longest:
            return Cited(float(multiple), printed.citation)
    return Cited(1.0, printed.citation)

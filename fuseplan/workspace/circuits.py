"""What can be done with whole circuits: add from the library, copy, rename, delete, move; state the roles proposed from
their names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import Any

from fuseplan.errors import EditError
from fuseplan.plan.references import a_part, names_in, part_kind_words
from fuseplan.plan.words import CircuitRole
from fuseplan.planfile.library import Mapped
from fuseplan.planfile.plain import with_value
from fuseplan.planfile.usual_parts import Named, usual_parts, usual_words
from fuseplan.workspace.session import Session


def name_of(session: Session, circuit: str) -> str:
    """A circuit's name, else its id."""
    return session.plan.circuit[circuit].name or circuit


def free_id(session: Session, wanted: str) -> str:
    """An id near the wanted one that no circuit has."""
    base = re.sub(r"\W+", "_", wanted.strip().lower()).strip("_")[:56] or "circuit"
    if base not in session.plan.circuit:
        return base
    stem = re.sub(r"_\d+\Z", "", base)
    return next(name for number in range(2, 100_000) if (name := f"{stem}_{number}") not in session.plan.circuit)


def add_usual(session: Session, wanted: Iterable[Named] | None = None) -> list[Named]:
    """Put the usual feeds, earth points and zones a plan lacks into it, all or those wanted; what was added."""
    parts = usual_parts(session.plan, wanted)
    if parts:
        session.edit(f"add the usual {usual_words(parts)}", lambda: session.document.change(parts.items()))
    return [*parts]


def add_fitted(session: Session, mapped: Mapped, chosen: Mapping[Named, str], after: str | None,
               parts: Mapping[Named, Mapping[str, Any]] = MappingProxyType({})) -> list[str]:
    """Insert a fitted definition behind a circuit.

    Args:
        chosen: for each kind and name the plan lacks, the plan's own name to put there
        after: circuit to put it behind; None: behind the last
        parts: tables of parts to put into the plan with it, by kind and id
    Returns:
        Ids of the new circuits.
    """
    lacking = [f"{part_kind_words(kind)} '{name}'" for kind, name in mapped.missing
               if (kind, name) not in {**chosen, **parts}]
    if lacking:
        raise EditError(f"the plan has no {' and no '.join(lacking)}; accepted is to choose one of its own first")

    def insert() -> None:
        behind = after
        if parts:
            session.document.change(parts.items())
        for new, text in mapped.texts.items():
            table = mapped.tables[new] if chosen else text
            if not isinstance(table, str):
                data = {"circuit": {new: table}}
                for path, name, kind in list(names_in(data)):
                    if (kind, name) in chosen:
                        data = with_value(data, path, chosen[kind, name])
                table = data["circuit"][new]
            session.document.insert_circuit(new, table, behind)
            behind = new

    session.edit(f"add {', '.join(mapped.texts)}", insert)
    return list(mapped.texts)


def add_empty(session: Session, name: str, after: str | None) -> str:
    """Insert a circuit that has nothing but a name; its id."""
    if not name.strip():
        raise EditError("a circuit needs a name; accepted is any text")
    new = free_id(session, name)
    session.edit(f"add {name}", partial(session.document.insert_circuit, new, {"name": name.strip()}, after))
    return new


def duplicate(session: Session, circuit: str) -> str:
    """Copy a circuit and put the copy behind it; the copy's id."""
    new = free_id(session, circuit)
    name = name_of(session, circuit)

    def copy() -> None:
        session.document.duplicate_circuit(circuit, new)
        session.document.set(("circuit", new, "name"), f"{name} (copy)")

    session.edit(f"duplicate {name}", copy)
    return new


def check_id(session: Session, kind: str, text: str) -> str:
    """Why a text is no id for a new part; empty when it is one."""
    name = text.strip()
    if not name or len(name) > 64 or not name.isprintable():
        return "accepted are 1 to 64 characters that can be printed"
    if name in getattr(session.plan, kind):
        return f"there is {a_part(kind)} '{name}' already; accepted is an id that is not taken"
    return ""


def move(session: Session, circuit: str, by: int) -> bool:
    """Move a circuit up (−1) or down (+1) in the order of the plan; False at the end of the list."""
    order = list(session.plan.circuit)
    at = order.index(circuit)
    if not 0 <= at + by < len(order):
        return False
    before = order[at - 1] if by < 0 else (order[at + 2] if at + 2 < len(order) else None)
    session.edit(f"move {name_of(session, circuit)}",
                 partial(session.document.move_circuit, circuit, before), key=("move", circuit))
    return True


def proposed_roles(session: Session) -> dict[str, CircuitRole]:
    """The role proposed for each circuit that states none, in the order of the plan."""
    return {view.id: view.role_proposed for view in session.assessment.circuits if view.role_proposed is not None}


def confirm_roles(session: Session, circuits: Sequence[str]) -> None:
    """State the proposed roles of these circuits, in one step to undo; EditError where the plan does not take them."""
    proposed = proposed_roles(session)
    chosen = [(("circuit", name, "role"), proposed[name]) for name in circuits if name in proposed]
    if chosen:
        words = f"role of {name_of(session, circuits[0])}" if len(chosen) == 1 else f"{len(chosen)} roles"
        session.edit(words, partial(session.document.change, chosen))
        session.history.seal()

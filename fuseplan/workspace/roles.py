"""Roles proposed from the names of circuits: which there are, and stating them in the plan."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from fuseplan.plan.words import CircuitRole
from fuseplan.workspace.circuits import name_of
from fuseplan.workspace.session import Session


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

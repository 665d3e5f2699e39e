"""Which part of the car to open a form on: what there is, and new ones."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.references import ENTRIES, SINGLE, part_kind_words
from fuseplan.planfile.usual_parts import EXAMPLE, Named
from fuseplan.tui.screens.dialogs import Answer, Ask, Choose
from fuseplan.workspace import circuits

if TYPE_CHECKING:
    from fuseplan.tui.app import FuseplanApp

_NEW = "new:"
_USUAL = "usual"


def ask_part(program: FuseplanApp) -> None:
    """Ask for a part and open its form; a new one gets its id first."""
    plan = program.session.plan
    answers = [Answer(kind, kind, _HOLDS[kind]) for kind in SINGLE]
    if not (plan.feed or plan.earth):
        answers.insert(0, Answer(_USUAL, "+ the usual feeds, earth points and zones", EXAMPLE))
    for kind in ENTRIES:
        if kind == "circuit":
            continue
        words = part_kind_words(kind)
        parts = conditions_of(plan) if kind == "condition" else getattr(plan, kind)
        answers += [Answer(f"{kind}:{name}", f"{words} {name}", part.name or "") for name, part in parts.items()]
        answers += [Answer(f"{kind}:{name}", f"{words} {name}", "begun, not in the plan yet")
                    for name in program.session.drafts.begun(kind) if name not in parts]
        answers.append(Answer(f"{_NEW}{kind}", f"+ new {words}"))

    def act(answer: str) -> None:
        if answer == _USUAL:
            add_usual(program)
            return
        kind, _, name = answer.partition(":")
        if answer.startswith(_NEW):
            _ask_id(program, name)
        else:
            program.open_form((kind, name) if name else (kind,))

    program.ask(Choose("Which part of the car?", answers), act)


def add_usual(program: FuseplanApp) -> None:
    """Add the usual feeds, earth points and zones to a plan without any, and say so."""
    added: list[Named] = []
    if program.attempt(lambda: added.extend(circuits.add_usual(program.session))) and added:
        program.refresh_plan()
        program.say(f"Added {len(added)} feeds, earth points and zones. ⚠ {EXAMPLE}")


def ask_new(program: FuseplanApp, kinds: Sequence[str]) -> None:
    """Ask what to add, then its id, and open its form."""
    answers = [Answer(kind, f"new {part_kind_words(kind)}") for kind in kinds]
    program.ask(Choose("Add", answers), lambda kind: _ask_id(program, kind))


def _ask_id(program: FuseplanApp, kind: str) -> None:
    words = part_kind_words(kind)

    program.ask(
        Ask(f"New {words}", words=f"A short name without spaces by which the file names this {words}, for example "
                                  f"{_EXAMPLES.get(kind, words)}",
            refuse=lambda text: circuits.check_id(program.session, kind, _joined(text))),
        lambda name: program.open_form((kind, _joined(name))))


def _joined(name: str) -> str:
    """A name as the file names parts: small letters, digits and lines instead of what else was typed."""
    return re.sub(r"[^\w-]+", "_", name).strip("_").lower()


_HOLDS = {"vehicle": "name, system voltage, limits", "battery": "capacity, cold-cranking current",
          "alternator": "output, regulator voltage, alternator cable",
          "stock": "wire sizes, fuse ratings and relays at hand"}
_EXAMPLES = {"feed": "lamp_bus", "earth": "engine_block", "zone": "boot", "run": "sill_right",
             "condition": "towing_at_night", "fuse_box": "cabin_box", "trip": "winter_commute",
             "loom": "donor_engine", "connector": "bulkhead_plug"}

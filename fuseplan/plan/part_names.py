"""What the parts of a plan are called: in lists and headings, in a sentence, and where an id is to be entered."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.nets import PinId
from fuseplan.plan.parts import WireEnd
from fuseplan.plan.references import part_kind_words


def title_of(plan: Plan, kind: str, name: str) -> str:
    """The name of a part of the plan, such as a circuit or a condition, as it is shown; its id where it has none, and
    for what there is only one of, such as the alternator."""
    return given_name(plan, kind, name) or name


def part_name(plan: Plan, owner: tuple[str, str]) -> str:
    """What a circuit, feed, earth point or the alternator is called: its name, else its id with spaces for underscores;
    of what there is only one of, its kind."""
    kind, name = owner
    title = title_of(plan, kind, name or kind)
    return title.replace("_", " ") if title == name else title


def owner_title(plan: Plan, owner: tuple[str, str]) -> str:
    """Whose a wire, a fuse or a coil is, in a list: the circuit's name, ``feed: Engine bus``, ``alternator cable``,
    ``dynamo cable``."""
    kind, name = owner
    if kind == "alternator":
        return f"{kind if plan.alternator is None else plan.alternator.machine} cable"
    title = title_of(plan, kind, name)
    return title if kind == "circuit" else f"{part_kind_words(kind)}: {title}"


def in_words(plan: Plan, kind: str, name: str) -> str:
    """A part in the middle of a sentence: ``'Rear fog lamp'``, its name in quotes; its id where it has no name;
    ``the alternator``, ``the dynamo`` of what there is only one of.

    The one way findings, fixes and proposals name a part. Names are the user's own words, and may hold commas: only the
    quotes show where one ends.
    """
    given = given_name(plan, kind, name)
    if name in ("", kind):
        return f"the {given or kind}"
    return name if given is None else f"'{given}'"


def to_enter(plan: Plan, kind: str, names: Iterable[str]) -> str:
    """Parts to choose from, with the ids that are to be entered: ``'Ignition bus' (ignition_bus) or spare_bus``."""
    *most, last = (name if given_name(plan, kind, name) is None else f"{in_words(plan, kind, name)} ({name})"
                   for name in names)
    return f"{', '.join(most)} or {last}" if most else last


def load_in_words(circuit: Circuit, number: int) -> str:
    """A load of a circuit in the middle of a sentence: its name in quotes, else ``load 2``."""
    name = circuit.load[number].name
    return f"load {number + 1}" if name is None else f"'{name}'"


def pin_words(plan: Plan, at: PinId) -> str:
    """A pin in the middle of a sentence: ``pin 7 of 'Bulkhead plug'``; ``ecu pin 7`` where its connector has no
    name."""
    return at.words if given_name(plan, "connector", at.connector) is None else \
        f"pin {at.pin} of {in_words(plan, 'connector', at.connector)}"


def named_end(plan: Plan, end: WireEnd) -> str:
    """An end of a wire in the middle of a sentence: its pin as in `pin_words`, or the part as the plan says it."""
    connector, pin = end.connector, end.pin
    if connector is None or connector not in plan.connector:
        return " ".join(each for each in (connector, pin) if each) or "not said"
    return in_words(plan, "connector", connector) if pin is None else pin_words(plan, PinId(connector, pin))


def names_masked(text: str) -> str:
    """A sentence as long as it was, with dots for the names in quotes: where it may be cut is looked for here, as a
    name may hold commas and colons of its own."""
    return _QUOTED.sub(lambda found: "." * len(found[0]), text)


def names_replaced(text: str, instead: Callable[[str], str]) -> str:
    """A sentence with what stands `instead` of each name in quotes."""
    return _QUOTED.sub(lambda found: f"'{instead(found[0][1:-1])}'", text)


_QUOTED = re.compile(r"(?<!\w)'.*?'(?!\w)")


def given_name(plan: Plan, kind: str, name: str) -> str | None:
    """The name the plan gives a part; ``dynamo`` or ``alternator`` for the machine; None where it gives none."""
    if kind == "alternator":
        return None if plan.alternator is None else plan.alternator.machine
    named = conditions_of(plan) if kind == "condition" else getattr(plan, kind, None)
    part = named.get(name) if isinstance(named, dict) else None
    return getattr(part, "name", None) or None

"""What a circuit is for, and what that asks of it: one table, ``roles.csv``.

A role is stated by the plan. Where it is not, one is proposed from what the circuit is called: a proposed role asks,
and finds faults, but excuses nothing.
"""

from __future__ import annotations

import csv
import re
from functools import cache, cached_property, lru_cache
from pathlib import Path
from typing import cast

from fuseplan.plan.model import Circuit
from fuseplan.plan.words import CircuitRole, DropClass, State
from fuseplan.records import dataclass

MAY_BE_UNFUSED: tuple[CircuitRole, ...] = ("starter", "glow_plugs")
"""Those that may go without a fuse where length and cover allow it."""

NEVER_LEFT_ON = ("keeps_running", "injures")
"""Consequences of a circuit left on that no statement of the plan takes away."""


@dataclass(frozen=True)
class Role:
    """One row of the table.

    Attributes:
        word: as the plan states it
        title: in words, in the middle of a sentence
        must_run, must_stop: states of the key in which such a circuit must be live, or dead
        drop_class: kind of circuit for its voltage drop; None where the role does not say
        left_on: consequence where it is live when it must stop, a word of the checks
        cut_off: something besides the key must stop it when the engine stands still
        names: what circuits of this role are called, a regular expression; empty where none is proposed by its name
        source: where that is from
    """

    word: CircuitRole
    title: str
    must_run: tuple[State, ...]
    must_stop: tuple[State, ...]
    drop_class: DropClass | None
    left_on: str
    cut_off: bool
    names: str
    source: str

    @cached_property
    def named(self) -> re.Pattern[str]:
        """What the name of a circuit of this role holds, in plain small letters; made when a role is first proposed."""
        return re.compile(rf"\b(?:{self.names})" if self.names else r"(?!)")


@cache
def roles() -> dict[CircuitRole, Role]:
    """All roles by their word, in the order in which they are tried on a name."""
    text = Path(__file__).with_name("roles.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return {each.word: each for each in map(_role, csv.DictReader(lines))}


def _role(row: dict[str, str]) -> Role:
    return Role(
        word=cast(CircuitRole, row["role"]), title=row["title"],
        must_run=cast(tuple[State, ...], tuple(row["must_run"].split())),
        must_stop=cast(tuple[State, ...], tuple(row["must_stop"].split())),
        drop_class=cast(DropClass, row["drop_class"]) if row["drop_class"] else None,
        left_on=row["left_on"], cut_off=row["cut_off"] == "yes",
        names=row["names"],
        source="common practice, no source" if row["source"] == "common practice" else row["source"])


def proposed_role(name: str, circuit: Circuit) -> CircuitRole | None:
    """The role that id, name or library definition of a circuit suggests; None where they suggest none."""
    for text in (name, circuit.name, circuit.taken_from):
        found = role_named(text) if text else None
        if found is not None:
            return found
    return None


@lru_cache(maxsize=4096)
def role_named(text: str) -> CircuitRole | None:
    """The role that words such as ``brake light`` or an id suggest; None where they suggest none."""
    plain = plain_words(text)
    return next((each.word for each in roles().values() if each.named.search(plain)), None)


def plain_words(text: str) -> str:
    """A name or an id as its words in small letters, one space between them."""
    return " ".join(re.findall(r"[^\W_]+", text.casefold()))


def role_of(name: str, circuit: Circuit) -> Role | None:
    """The role a circuit is judged by: the stated one, else the proposed one; None where there is neither."""
    word = circuit.role if circuit.role is not None else proposed_role(name, circuit)
    return None if word is None else roles()[word]


def must_run(name: str, circuit: Circuit) -> tuple[State, ...]:
    """States in which a circuit must be live: those stated, and those of its role for which the plan does not state
    that it must be dead."""
    role = role_of(name, circuit)
    added = () if role is None else tuple(each for each in role.must_run if each not in circuit.must_stop)
    return tuple(dict.fromkeys((*circuit.must_run, *added)))


def must_stop(name: str, circuit: Circuit) -> tuple[State, ...]:
    """States in which a circuit must be dead: those stated, and those of its role. That it must run then, as the plan
    may state, is taken only where nothing keeps running and nobody is hurt by it."""
    role = role_of(name, circuit)
    added = () if role is None else tuple(
        each for each in role.must_stop if each not in circuit.must_run or role.left_on in NEVER_LEFT_ON)
    return tuple(dict.fromkeys((*circuit.must_stop, *added)))

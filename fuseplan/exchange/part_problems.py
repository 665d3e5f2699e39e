"""What a row of a list must not say of the part of a plan it stands for; what is known better is never replaced by what
is known less well."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from fuseplan.exchange.cells import end_text
from fuseplan.exchange.lists import Kind, PlanList
from fuseplan.exchange.wire_places import called
from fuseplan.plan.references import Path
from fuseplan.plan.words import EVIDENCE, Known
from fuseplan.planfile.plain import get
from fuseplan.quantities.amounts import Dimension, clean, number_in
from fuseplan.quantities.wire_size import WireSize
from fuseplan.records import dataclass


def part_problems(which: PlanList, path: Path, data: Mapping[str, Any], after: Mapping[str, Any],
                  said: frozenset[str]) -> Iterator[tuple[str | None, str]]:
    """(key, sentence) of each thing wrong with a part.

    Args:
        which: list the row is of
        path: the part: a load, a length of wire, or a pin
        data, after: the plan's plain data without and with the rows read so far
        said: keys of the part that the list says
    """
    if which.repeated:
        yield from _order(which, path, data, after)
    part, held = get(after, path), get(data, path)
    if not isinstance(part, dict):
        return
    if which.repeated == "load" and "power" in part and "at" not in part:
        yield "power", (f"'{clean(part['power'])}' needs the voltage it was stated at; accepted is a column 'at [V]', "
                        "or one voltage for all rows with --fixed 'at=13.5 V'")
    of = {"load": OF_LOADS, "": OF_PINS}.get(which.repeated)
    if of is not None and isinstance(held, dict) and (words := keeps_better(of, held, part, of.how in said)):
        yield next((key for key in of.keys if key in said and held.get(key) != part.get(key)), None), words


def _order(which: PlanList, path: Path, data: Mapping[str, Any],
           after: Mapping[str, Any]) -> Iterator[tuple[str | None, str]]:
    """Rows go to the parts of a circuit in the plan's order: one that names another part is not mixed into it."""
    base, number = path[:-1], int(path[-1])
    key, words = ("number", "length of wire") if which.choosing else ("name", "load")
    held, told = get(data, base), get(after, (*path, key))
    names = [part.get(key) for part in held if isinstance(part, dict)] if isinstance(held, list) else []
    if told in names and names[number:number + 1] != [told]:
        yield key, (f"'{clean(told)}' is {words} {names.index(told) + 1} of {called(base)} in the plan, but "
                    f"{number + 1} in the list; accepted are the rows of one circuit in the plan's order")


def means_the_same(read_as: tuple[Kind, Dimension | None], held: object, value: object) -> bool:
    """Whether the plan says the same already, however it is spelled there."""
    kind, dimension = read_as
    if kind == "amount" and dimension is not None and isinstance(held, str) and isinstance(value, str):
        old, new = number_in(held, dimension), number_in(value, dimension)
        return old is not None and new is not None and math.isclose(old, new, rel_tol=1e-9)
    if kind == "size" and isinstance(held, str) and isinstance(value, str):
        one, other = WireSize.read(held), WireSize.read(value)
        return (one.system, one.name) == (other.system, other.name)
    if kind == "end" and isinstance(held, dict) and isinstance(value, dict):
        one_end, other_end = (end_text(each.get("connector"), each.get("pin")) for each in (held, value))
        return one_end == other_end
    return held == value


@dataclass(frozen=True)
class Knowledge:
    """What of a kind of part may be known more or less well.

    Attributes:
        words: what it is
        keys: keys that say it
        together: the keys are one statement, of which a new one changes the others; else each stands alone
        how: key that says how it is known
        ranks: what that key may say, the best first; the last where it is left out
    """

    words: str
    keys: tuple[str, ...]
    together: bool
    how: str
    ranks: tuple[str, ...]


OF_LOADS = Knowledge("current", ("current", "power", "at"), True, "evidence", EVIDENCE)
OF_PINS = Knowledge("pin", ("function", "signal", "size", "colour", "other_end", "splice", "length"), False, "known",
                    get_args(Known))


def keeps_better(of: Knowledge, held: Mapping[str, Any], after: Mapping[str, Any], says_how: bool) -> str:
    """Why a part may not get what a list has for it; empty where it may.

    Args:
        of: what is known of it
        held, after: the part as the plan has it, and as the list would leave it
        says_how: the list says how its own is known
    """
    if not any(held.get(key) != after.get(key) for key in of.keys if of.together or key in held):
        return ""
    least = of.ranks[-1]
    known, told = str(held.get(of.how, least)), str(after.get(of.how, least)) if says_how else least
    if known not in of.ranks or told not in of.ranks or of.ranks.index(told) <= of.ranks.index(known):
        return ""
    if known != "measured" and not says_how:
        return ""
    source = f" ({clean(held['source'])})" if held.get("source") else ""
    return (f"the plan has a {known} {of.words} here{source}, which nothing less well known replaces; accepted is an "
            f"empty cell, or a list that says in a column 'how known' that its own is {known}")

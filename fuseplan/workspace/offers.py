"""What a text the plan did not take may have been meant as: for this field, or for others of the same part.

Offers are picked, never taken by themselves: nobody but the user knows whether 14 is 14 mm² or AWG 14.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from fuseplan.errors import TableError
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import PIECE, is_amount, parts_of
from fuseplan.quantities.offers import offers as amounts
from fuseplan.quantities.units import plain
from fuseplan.quantities.wire_size import WireSize, size_offers
from fuseplan.records import dataclass
from fuseplan.workspace.entry import is_right
from fuseplan.workspace.fields import Entry, entries, entry_at, is_common, model_at
from fuseplan.workspace.session import Session

_TWO = re.compile(rf"\s*{PIECE}\s*(?:at|@|/|,)?\s*{PIECE}\s*\Z", re.ASCII | re.IGNORECASE)
_STATED_AT = "at"
"""The key of the voltage a load's figure was stated at."""
INSTEAD = {("load", "current"): "power", ("load", "power"): "current"}
"""Of two keys that say the same, the other: one gives way to the other."""


@dataclass(frozen=True)
class Offer:
    """Texts to be put into fields, in words; `typed_into` is the field that the refused text stands in, `gives_way`
    holds fields that are emptied for the offer."""

    words: str
    texts: tuple[tuple[Path, str], ...]
    typed_into: Path
    gives_way: tuple[Path, ...] = ()


def offers(session: Session, entry: Entry | None, path: Path, text: str) -> list[Offer]:
    """What a text in a field may have been meant as; an empty list for one that is right, or that nothing is near."""
    typed = text.strip()
    if entry is None or not typed or is_right(entry, typed):
        return []
    here = [Offer(each, ((path, each),), path) for each in dict.fromkeys(_for_field(session, entry, path, typed))
            if is_right(entry, each)]
    return here or list(_for_others(session, entry, path, typed))


def _for_field(session: Session, entry: Entry, path: Path, typed: str) -> Iterator[str]:
    if entry.kind == "amount" and entry.dimension is not None:
        found = amounts(typed, entry.dimension)
        now = parts_of(str(session.value(path) or ""))
        if now is not None:
            # The unit the field had comes first.
            yield from (each for each in found if (parts_of(each) or ("", ""))[1] == now[1])
        yield from found
    elif entry.kind == "size":
        yield from (each for each in size_offers(typed) if _is_on_file(each))
    elif entry.kind == "pair" and entry.dimension is not None:
        yield from _for_pair(entry, typed)
    elif entry.kind in ("number", "whole"):
        pointed = re.sub(r"(?<=\d),(?=\d)", ".", plain(typed)) if typed.count(",") == 1 else plain(typed)
        yield pointed
        share = re.fullmatch(r"(\d+(?:\.\d+)?)\s*%?", pointed)
        if share is not None and entry.between is not None and entry.between.high == 1:
            yield writing.typed(float(share[1]) / 100)


def _for_pair(entry: Entry, typed: str) -> Iterator[str]:
    """Both ends of a span with the unit that only one was given: ``5-7 A``."""
    found = re.fullmatch(r"\s*([\d.]+)\s*(\D*?)\s*(?:-|–|to|and|,|;|…)\s*([\d.]+)\s*(\D*?)\s*", typed)
    if found is not None and entry.dimension is not None:
        unit = found[4] or found[2]
        units = [unit] if unit else [each.partition(" ")[2] for each in amounts(found[1], entry.dimension)]
        for each in units:
            pair = f"{found[1]} {each}", f"{found[3]} {each}"
            if all(is_amount(one, entry.dimension) for one in pair):
                yield " to ".join(pair)


def _is_on_file(size: str) -> bool:
    from fuseplan.tables.conductors import conductor

    found = WireSize.read(size)
    try:
        conductor(found.system, found.name)
    except TableError:
        return False
    return True


def _for_others(session: Session, entry: Entry, path: Path, typed: str) -> Iterator[Offer]:
    """Other fields of the part a text would be right in, alone or with the voltage it was stated at."""
    model = model_at(path[:-1])
    if model is None or entry.kind != "amount":
        return
    beside = {each.key: each for each in entries(model) if each.kind == "amount"}
    both = _TWO.match(plain(typed))
    if both is not None and _STATED_AT in beside:
        pieces = f"{both[1]} {both[2]}", f"{both[3]} {both[4]}"
        for figure, at in (pieces, pieces[::-1]):
            if is_right(beside[_STATED_AT], at):
                for each in beside.values():
                    if each.key in {key for owner, key in INSTEAD if owner == each.owner} and is_right(each, figure):
                        yield _offer(session, path, {each.key: figure, _STATED_AT: at})
        return
    for each in beside.values():
        if each.key != entry.key and is_common(each) and is_right(each, typed):
            yield _offer(session, path, {each.key: typed})


def _offer(session: Session, path: Path, figures: dict[str, str]) -> Offer:
    part = path[:-1]
    texts = tuple(((*part, key), text) for key, text in figures.items())
    owner = next(found.owner for where, _ in texts if (found := entry_at(where)) is not None)
    gone = tuple(where for key in figures if (owner, key) in INSTEAD
                 and session.has(where := (*part, INSTEAD[owner, key])))
    words = ", ".join(f"{key.replace('_', ' ')} {text}" for key, text in figures.items()) + "".join(
        f" (instead of {where[-1]} {session.value(where)})" for where in gone)
    return Offer(words, texts, path, gone)

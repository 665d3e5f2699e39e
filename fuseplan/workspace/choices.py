"""What a form field may be completed to: closed words, names of the plan, rows on file, what was typed elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from fuseplan.checks.boxes import answers
from fuseplan.errors import TableError
from fuseplan.grouping import grouped
from fuseplan.plan.conditions import conditions_of, words_in_use
from fuseplan.plan.fuse_boxes import places
from fuseplan.plan.part_names import title_of
from fuseplan.plan.reference_problems import fitting
from fuseplan.plan.references import REFERENCES, Path, parts
from fuseplan.plan.words import FUSE_KINDS, WHEN_ALWAYS
from fuseplan.planfile.usual_parts import KINDS, usual_names
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.workspace.entry import is_right
from fuseplan.workspace.fields import Entry
from fuseplan.workspace.session import Session

USED = "used in this plan"
_SIZES = ("0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2", "25 mm2",
          "35 mm2", "50 mm2")
"""Nominal areas of ISO 6722 cables that are sold everywhere."""


@dataclass(frozen=True)
class Choice:
    """One word a field accepts, and what it means."""

    word: str
    meaning: str = ""


def choices(session: Session, entry: Entry, path: Path) -> list[Choice]:
    """Everything known that the field may be set to; an empty list where anything goes and nothing was typed yet."""
    if entry.choices:
        return [Choice(word) for word in entry.choices]
    target = REFERENCES.get((entry.owner, entry.key))
    if target is not None:
        return _names(session, target, path)
    special = list(_special(session, entry, path))
    if special and (entry.owner, entry.key) == ("fuse", "rating"):
        return special  # a rating used elsewhere is one of another type
    known = {choice.word for choice in special}
    return special + [Choice(word, USED) for word in _used(session, entry) if word not in known]


def usual_choices(session: Session, entry: Entry) -> list[Choice]:
    """The feeds, earth points or zones of a first plan, for a field that names one where the plan has none: what is
    chosen is added with `circuits.add_usual` first."""
    target = REFERENCES.get((entry.owner, entry.key), "")
    if target not in KINDS or getattr(session.plan, target):
        return []
    return [Choice(name, words) for name, words in usual_names(target).items()]


def complete(session: Session, entry: Entry, path: Path, text: str) -> str | None:
    """The whole text a half-typed one is completed to; None when there is nothing to add.

    A part that is typed by its name is completed to its id, which is what the file holds. What may stand as it is, is
    never made longer: a contact is not turned into another whose name goes on. Nor is a number without a
    unit or a unit without a number, which may be the beginning of anything.
    """
    head, _, last = text.rpartition(",") if entry.kind == "words" else ("", "", text)
    typed = last.strip()
    if not typed:
        return None
    lead = f"{head}, " if head else ""
    if entry.kind in ("amount", "size") and not re.search(r"\d.*[^\W\d]|[^\W\d].*\d", typed):
        return None
    meant = _id_of(session, entry, path, typed)
    if meant is not None:
        return None if meant == typed else lead + meant
    known = [choice.word for choice in choices(session, entry, path) if entry.kind != "text" or choice.meaning != USED]
    if any(word.casefold() == typed.casefold() for word in known) or (
            entry.kind in ("amount", "size") and is_right(entry, typed)):
        return None
    return next((lead + word for word in known if word.casefold().startswith(typed.casefold())), None)


def in_ids(session: Session, entry: Entry, path: Path, text: str) -> str | None:
    """A text that names parts of the plan by id or by name, with the ids; None where a name is no part's, or that of
    several."""
    typed = text.split(",") if entry.kind == "words" else [text]
    found = [_id_of(session, entry, path, each.strip()) for each in typed]
    return None if None in found else ", ".join(filter(None, found))


def _id_of(session: Session, entry: Entry, path: Path, typed: str) -> str | None:
    """The id that is typed, else that of the one part a field may name whose id or name reads so, in letters of either
    case."""
    target = REFERENCES.get((entry.owner, entry.key))
    if target is None:
        return None
    listed = _names(session, target, path)
    if any(choice.word == typed for choice in listed):
        return typed
    asked = typed.casefold().split()
    found = [choice.word for choice in listed
             if asked in (choice.word.casefold().split(), choice.meaning.casefold().split())]
    return found[0] if asked and len(found) == 1 else None


def _names(session: Session, target: str, path: Path) -> list[Choice]:
    """Names of the plan, without those that would be refused: a feed is not fed by what it feeds."""
    named: Any = conditions_of(session.plan) if target == "condition" else getattr(session.plan, target)
    data = session.document.snapshot().data
    known = data.get(target)
    kept = fitting(data, path, known) if target != "condition" and isinstance(known, dict) else list(named)
    return [Choice(name, part.name or "") for name, part in named.items() if name in kept]


def _special(session: Session, entry: Entry, path: Path) -> Iterator[Choice]:
    key = (entry.owner, entry.key)
    if key == ("vehicle", "limits"):
        from fuseplan.limits import names
        from fuseplan.planfile.limit_files import find_limit_set, own_names

        place = session.document.path
        yield from (Choice(name, find_limit_set(name, place).title) for name in (*names(), *own_names(place)))
    elif key in (("relay", "contact"), ("stock", "relay")):
        from fuseplan.tables.relays import CONTACTS

        yield from (Choice(name, contact.words) for name, contact in CONTACTS.items())
    elif key[1] == "insulation":
        from fuseplan.tables.insulations import INSULATIONS

        yield from (Choice(name, covering.words) for name, covering in INSULATIONS.items())
    elif key == ("fuse", "holder"):
        from fuseplan.tables.terminals import holders

        yield from (Choice(name) for name in holders())
    elif key == ("fuse", "rating"):
        yield from _ratings(session, path)
    elif entry.owner == "stock" and entry.key in FUSE_KINDS:
        from fuseplan.engine.stock import ladder

        yield from (Choice(writing.rating(rating)) for rating in ladder(entry.key))
    elif key == ("load", "when"):
        yield Choice(WHEN_ALWAYS, "in every condition in which it is fed")
        words = grouped((word, condition.name or name) for name, condition in conditions_of(session.plan).items()
                        for word in condition.when)
        yield from (Choice(word, ", ".join(where)) for word, where in words.items())
    elif key == ("condition", "when"):
        for word, circuits in words_in_use(session.plan).items():
            titles = ", ".join(title_of(session.plan, "circuit", name) for name in circuits)
            yield Choice(word, f"switches on {titles}" if titles else "no load of this plan lists it")
    elif entry.kind == "size":
        yield from (Choice(size) for size in _SIZES)
    elif key == ("fuse", "position"):
        yield from _positions(session, path)


def _positions(session: Session, path: Path) -> Iterator[Choice]:
    """The positions of the plan's fuse boxes: those on the feed of this fuse, which it may sit in first, each with what
    stands against it; then all others with the feed they are on."""
    results, plan = session.assessment.results, session.plan
    owner = path[:-2] if len(path) > 3 else (*path[:-2], "")
    device = next((index for index, row in enumerate(results.network.fuses)
                   if (row.owner[0], row.owner[1] or "") == owner), None)
    on_feed = () if device is None else answers(results, device)
    for each in on_feed:
        state = each.why_not or ("free" if each.way.is_free else "it is there now")
        yield Choice(each.way.position, f"{title_of(plan, 'fuse_box', each.way.box)}: {state}")
    told = {(each.way.box, each.way.position) for each in on_feed}
    for name, box in plan.fuse_box.items():
        for place in places(box):
            if (name, place.position) not in told:
                on = "on" if device is None else "another feed,"
                yield Choice(place.position, f"{title_of(plan, 'fuse_box', name)}: {on} "
                                             f"{title_of(plan, 'feed', place.feed)}")


def _ratings(session: Session, path: Path) -> Iterator[Choice]:
    """Ratings a fuse type is made in, with the colour of the part."""
    from fuseplan.tables.fuses import colour, ratings

    kind = session.value((*path[:-1], "kind")) or session.drafts.texts.get((*path[:-1], "kind"))
    try:
        found = ratings(str(kind))
    except TableError:
        return
    for rating in found.value if found else ():
        printed = colour(str(kind), rating)
        yield Choice(writing.rating(rating), printed.value if printed else "")


def _used(session: Session, entry: Entry) -> list[str]:
    """Texts the plan holds under the same key of the same kind of part."""
    free = ("name", "note", "caution", "source", "unfused", "position")
    if entry.kind not in ("text", "words", "amount", "size") or entry.key in free:
        return []
    snapshot, key = session.document.snapshot(), (entry.owner, entry.key)
    if key not in snapshot.seen_texts:
        used: dict[str, None] = {}
        for kind, _, part in parts(snapshot.data):
            value = part.get(entry.key) if kind == entry.owner else None
            for each in value if isinstance(value, list) else [value]:
                if isinstance(each, str):
                    used[each] = None
        snapshot.seen_texts[key] = tuple(used)
    return list(snapshot.seen_texts[key])

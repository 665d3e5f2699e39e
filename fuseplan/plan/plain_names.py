"""What names plainly say: another role than the stated one, by ``plain_names.csv``, or what is out of scope."""

from __future__ import annotations

import csv
import re
from functools import cache, lru_cache
from pathlib import Path
from typing import NamedTuple, cast

from fuseplan.plan.model import Circuit
from fuseplan.plan.roles import MAY_BE_UNFUSED, plain_words, roles
from fuseplan.plan.words import CircuitRole, OutOfScope

_ANOTHER = (r"(?:relays?|coils?|lamps?|lights?|gauges?|senders?|sensors?|switch(?:es)?|buttons?|meter|display|warning|"
            r"signal|tell ?tale|monitor|indicator|memory|fuses?|socket|isolator|inhibit(?:or)?|immobiliser|interlock|"
            r"kill|cut ?(?:off|out)|battery|charger|heater|cooler|wash(?:ers?)?|wipers?|level+(?:ing|er)|"
            r"adjust(?:er|ment)|motors?|buzzer|chime|test|bulb check|(?:energi[sz]ed )?to stop)\b(?!\W+side\b)")
_ANOTHER_PART = re.compile(rf"\b{_ANOTHER}")
"""Words by which a name means another part than the one it names: ``fuel pump relay coil``, ``starter lamp``. In
``fuel pump, battery side`` they say where on its way it is meant."""
_UNIT = re.compile(r"(?:(?:^| {2})control(?:lers?| units?| modules?)| {2}drivers?(?! s?\b| side))\b")
"""A unit that drives the part named before it or after it, and not one that a part is driven by: a role may be stated
for the unit, but as none of those there are it feeds what it drives."""
_NEXT = re.compile(rf"\band\b|_and_|[&+/]|,(?!\s*{_ANOTHER})", re.IGNORECASE)
"""Where a name goes on to something else: ``fuel pump and cabin lamp``."""


class PlainName(NamedTuple):
    """A role that a name plainly says."""

    role: CircuitRole
    safety: bool
    """Whether safety rests on what the role asks."""


class _Row(NamedTuple):
    words: re.Pattern[str]
    said: PlainName
    also: tuple[str, ...]


@cache
def _rows() -> tuple[_Row, ...]:
    text = Path(__file__).with_suffix(".csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return tuple(_Row(re.compile(rf"\b(?:{row['words']})(?!\w)"),
                      PlainName(cast(CircuitRole, row["role"]), row["safety"] == "yes"), tuple(row["also"].split()))
                 for row in csv.DictReader(lines))


@cache
def _any() -> re.Pattern[str]:
    """What no name lacks that plainly says a role: most names are looked at no further."""
    return re.compile(re.sub("[$^]", "", "|".join(row.words.pattern for row in _rows())))


def named_otherwise(name: str, circuit: Circuit) -> PlainName | None:
    """The role that id or name of a circuit plainly says where another is stated; that of its library definition
    where neither of them says the stated one. None where nothing contradicts it, or none is stated."""
    if circuit.role is None:
        return None
    own = [text for text in (circuit.name, name) if text]
    found = next(filter(None, (_said_otherwise(text, circuit.role) for text in own)), None)
    if found is None and circuit.taken_from and not any(_says(text, circuit.role) for text in own):
        found = _said_otherwise(circuit.taken_from, circuit.role)
    return found


@lru_cache(maxsize=4096)
def _said_otherwise(text: str, stated: CircuitRole) -> PlainName | None:
    """The role a text plainly says, where it is another than the stated one."""
    if _any().search(plain_words(text)) is None:
        return None
    fits = _says(text, stated)
    if fits and stated == "relay_coils":  # Coils of several relays are named for what they switch.
        return None
    for part in map(plain_words, _NEXT.split(text)):
        for row in _rows():
            rest, found = row.words.subn(" ", part)
            if found and not _ANOTHER_PART.search(rest) and (stated == "other" or not _UNIT.search(rest)):
                if stated == row.said.role or stated in row.also or (fits and not row.said.safety):
                    break
                unfused = stated in MAY_BE_UNFUSED and row.said.role not in MAY_BE_UNFUSED
                return row.said._replace(safety=row.said.safety or unfused)
    return None


def _says(text: str, role: CircuitRole) -> bool:
    """Whether a role may be meant by a text."""
    return roles()[role].named.search(plain_words(text)) is not None


_LEFT_ALONE: tuple[tuple[OutOfScope, re.Pattern[str]], ...] = (
    ("airbag", re.compile(r"\b(?:air ?bags?|srs)\b")),
    ("pretensioner", re.compile(r"\b(?:(?:belt )?pre ?tensioners?|seat ?belt tensioners?)\b")),
    ("abs", re.compile(r"\b(?:abs|anti ?lock(?: brak(?:es?|ing))?)\b")),
    ("immobiliser", re.compile(r"\bimmobili[sz]er\b")),
)
_ITS_LAMP = re.compile(r"\b(?:lamps?|lights?|warning|tell ?tale|indicator|display|buzzer|chime)\b")


@lru_cache(maxsize=4096)
def out_of_scope_named(text: str) -> OutOfScope | None:
    """What a name plainly says that is to be left alone: ``Airbag module``, not ``ABS warning lamp``. None for all
    others."""
    parts = [plain for plain in map(plain_words, _NEXT.split(text)) if not _ITS_LAMP.search(plain)]
    return next((word for word, named in _LEFT_ALONE if any(map(named.search, parts))), None)

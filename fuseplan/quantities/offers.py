"""What a text that cannot be read may have been meant as, and the sentence that says so: one for each cause."""

from __future__ import annotations

import re
from collections.abc import Iterable

from fuseplan.errors import AmountError
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import DECIMAL, PIECE, Dimension, clean, is_amount, number_in, number_of, parts_of
from fuseplan.quantities.listing import either
from fuseplan.quantities.units import UNITS, is_mega, measures, plain, spellings, unit_in

_COMMA = re.compile(r"(\d),(?=\d)", re.ASCII)
_BOTH = re.compile(r"\s*(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)\s*([^\d\s].*?)\s*\Z", re.ASCII | re.DOTALL)
"""Two figures with one unit, as on a lamp with two filaments."""
_BELOW = {"ft": "in", "m": "cm", "d": "h", "h": "min", "min": "s"}
"""The smaller unit that a second number usually has: 5 ft 6 means 6 in."""
_LETTER_O = re.compile(r"(?<=[\d.oO])[oO](?=[\d.oO\s]|\Z)|(?<![^\s])[oO](?=\.?\d)", re.ASCII)
"""The letter where a nought is meant, in a number."""
_DEGREES = ("°", "deg", "degs", "degree", "degrees")


_BLOW = re.compile(r"\s*(\d+(?:\.\d+)?)\s*a(?:mps?)?\s*(?:blow(?:s|ing)?|fusing)\s*\Z", re.IGNORECASE | re.ASCII)
"""A British glass fuse by the current at which it blows."""
_BLOW_SHARE = 0.5
"""What such a fuse carries of it: 35 A blow is 17.5 A continuous. Common practice, no source."""


def offers(text: str, dimension: Dimension) -> tuple[str, ...]:
    """What a text that is no quantity of a dimension may have been meant as; each is accepted."""
    return tuple(each for each in dict.fromkeys(_candidates(plain(text).strip(), dimension))
                 if is_amount(each, dimension))


def _candidates(text: str, dimension: Dimension) -> Iterable[str]:
    usual = [unit.symbol for unit in UNITS[dimension.unit] if unit.usual]
    blow = _BLOW.match(text)
    if blow is not None:
        yield f"{writing.typed(_BLOW_SHARE * float(blow[1]))} A"
        return
    if _LETTER_O.search(text):
        digits = _LETTER_O.sub("0", text)
        yield digits
        yield from _candidates(digits, dimension)
    if _COMMA.search(text):
        grouped = re.fullmatch(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+(?!\d)(.*)", text, re.DOTALL)
        for pointed in ([_COMMA.sub(r"\1.", text)] if text.count(",") == 1 else []) + \
                ([text.replace(",", "")] if grouped else []):
            yield pointed
            yield from _candidates(pointed, dimension)
        return
    two = _BOTH.match(text)
    if two is not None and not is_amount(text, dimension):
        value = number_of(f"{two[1]}/{two[2]}") if two[1].isdigit() and two[2].isdigit() else None
        figures = [] if value is None else [writing.typed(value)]
        yield from (f"{number} {two[3]}" for number in (*figures, two[1], two[2]))
        return
    found = parts_of(text)
    if found is None:
        return
    number, spelling = found
    if is_amount(text, dimension):
        return
    typed = number_in(text, dimension)
    if not spelling or (typed is not None and number_of(number)):
        # Out of its range with a unit, it may be one of a smaller unit, never many times what is typed.
        yield from (each for each in (f"{number} {symbol}" for symbol in usual)
                    if typed is None or (number_in(each, dimension) or 0.0) <= typed)
        return
    begun = re.fullmatch(rf"{PIECE}\s*{DECIMAL}", text, re.ASCII)
    larger = unit_in(begun[2], dimension.unit) if begun is not None else None
    if larger is not None and larger.symbol in _BELOW:
        yield f"{text} {_BELOW[larger.symbol]}"
    unit = unit_in(spelling, dimension.unit)
    if unit is not None and is_mega(spelling, unit):
        yield f"{number} {unit.symbol}"
    yield from (f"{number} {symbol}" for symbol in usual if symbol.casefold().startswith(spelling.casefold()))
    if spelling.casefold() in _DEGREES:
        yield from (f"{number} {symbol}" for symbol in usual)
    elif not re.search(r"\d", spelling) and not measures(spelling, dimension.unit):
        first = re.match(r"[^\s,;(]+", spelling)
        yield from (f"{number} {each}" for each in (*([first[0]] if first else []), *_near(spelling, dimension)))


def _near(spelling: str, dimension: Dimension) -> list[str]:
    """Symbols of the units of the list whose spelling is nearest to one that is not known, none larger than the
    nearest."""
    import difflib

    known = {word: unit for word, unit in spellings(dimension.unit).items() if len(word) > 1}
    near = [known[word] for word in difflib.get_close_matches(spelling.casefold(), known, n=2)]
    return [unit.symbol for unit in near if unit.scale <= near[0].scale]


def refusal(text: str, dimension: Dimension) -> AmountError:
    """Why a text is no quantity of a dimension, and what is accepted."""
    shown, found = clean(text.strip()), parts_of(text)
    offered = offers(text, dimension)
    if number_in(text, dimension) is not None:
        hint = f"; did you mean {either(offered)}?" if offered else ""
        return AmountError(f"'{shown}' is out of range; accepted is {dimension.span}{hint}", offered)
    accepted = f"accepted is {either(offered)}" if offered else dimension.accepted()
    if offered and _BLOW.match(plain(text)):
        return AmountError(f"'{shown}' is the current at which a British glass fuse blows; the rating is what it "
                           f"carries all the time, half of that, with kind glass_british; {accepted}", offered)
    if offered and _LETTER_O.search(plain(text)):
        return AmountError(f"'{shown}' has the letter O where a nought is meant; {accepted}", offered)
    if _COMMA.search(plain(text)):
        return AmountError(f"'{shown}' has a comma; write a point for decimals; {accepted}", offered)
    if offered and _BOTH.match(plain(text)):
        return AmountError(f"'{shown}' may be a fraction or two figures; {accepted}", offered)
    if found is None or "/" in found[0]:
        return AmountError(f"'{shown}' is not a {dimension.name}; {accepted}", offered)
    number, spelling = found
    if not spelling:
        return AmountError(f"'{shown}' has no unit; {accepted}", offered)
    unit = unit_in(spelling, dimension.unit)
    if unit is not None and is_mega(spelling, unit):
        return AmountError(f"'{shown}': M is mega, a million; a small m is a thousandth; {accepted}", offered)
    if spelling.casefold() in _DEGREES:
        return AmountError(f"'{shown}' does not say which degrees; {accepted}", offered)
    measured = measures(spelling, dimension.unit)
    if measured and unit is None:
        like = f"{number} {UNITS[dimension.unit][0].symbol}"
        example = offered or ((like,) if is_amount(like, dimension) else dimension.fitting[:1])
        return AmountError(f"'{shown}' is {measured}; a {dimension.name} is wanted, like {either(example)}", offered)
    if re.search(r"\d", spelling):
        return AmountError(f"'{shown}' is not one number with a unit; {accepted}", offered)
    return AmountError(f"'{shown}': the unit '{clean(spelling)}' is not known; {accepted}", offered)

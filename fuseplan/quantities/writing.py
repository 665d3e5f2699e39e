"""Figures as text with their units: the one place where a number becomes words.

Every figure has a side. A *burden* (current drawn, drop, demand, temperature reached, smallest fuse, what is needed)
is rounded up; a *limit* (ampacity, permitted drop, largest fuse, output, lowest voltage at a load, days standing) is
rounded down; what is *stated* (a rating, a printed or entered value) is not rounded. So what is read is never kinder
than what was computed, and a figure reads the same wherever it stands. A whole number carries no decimals, as on a
fuse, but for volts and metres.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from fuseplan.quantities.decimals import (
    EXTRA,
    PRINTED,
    SCALED,
    Side,
    cut,
    order,
    read_as,
    rounded,
    to_figures,
    unit_words,
)
from fuseplan.records import dataclass

UNKNOWN = "?"
"""Shown for a figure that cannot be worked out; a blank cell would look like "done"."""
NONE = "–"
"""Shown where there is nothing to say: no relay, no fuse."""

_STATED_DIGITS = 10
_TYPED = re.compile(r"(?<![\w.])(\d[\d.]*) ?(mm2|degC|mohm|ohm)\b")
"""A figure with a unit as it is typed where the keyboard has no sign for it."""
_LIKE = 10.0
"""How many times the size at which the unit changes a figure may be to stand in the smaller one beside another."""


@dataclass(frozen=True)
class Kind:
    """How the figures of one kind are written: declared once, by meaning, and called with a figure.

    >>> Kind("A", "burden")(38.41), Kind("A", "limit")(38.49)
    ('38.5 A', '38.4 A')
    """

    unit: str
    side: Side

    def __call__(self, value: float | None) -> str:
        return written(value, self.unit, self.side)


SMALLEST_FUSE = Kind("fuse A", "burden")
"""The smallest fuse a load allows, in A; never in mA."""
LARGEST_FUSE = Kind("fuse A", "limit")
"""The largest fuse a wire allows, in A."""
EARTH_DROP = Kind("small V", "burden")
"""How far an earth point lies from the battery's earthed post, in V; written in mV."""


def written(value: float | None, unit: str, side: Side) -> str:
    """A figure with its unit, rounded to its side: ``38.5 A``, ``12 mA``, ``0.31 V``, ``96 %`` for a share.

    `UNKNOWN` alone where there is no number: None, NaN, the infinities and what is next to them.
    """
    return _spelled(value, unit, side, 0)


def burden(value: float | None, unit: str) -> str:
    """A figure of which more is worse, rounded up: ``38.5 A`` for 38.41."""
    return written(value, unit, "burden")


def limit(value: float | None, unit: str) -> str:
    """A figure of which less is worse, rounded down: ``38.4 A`` for 38.49."""
    return written(value, unit, "limit")


def stated(value: float | None, unit: str = "") -> str:
    """A value as printed on the part, in a table or in the plan, in its own unit: ``7.5 A``, ``85 °C``, ``80 %``."""
    return written(value, unit, "stated")


def rating(current_a: float | None) -> str:
    """A rating as printed on the part: ``7.5 A``, ``15 A``."""
    return stated(current_a, "A")


def bare(value: float | None, unit: str, side: Side) -> str:
    """A figure for a column whose heading names the unit: as `written`, without it."""
    return _spelled(value, unit, side, 0, scaled=False).partition(" ")[0]


def measured(value: float, unit: str, figures: int = 4) -> str:
    """A figure beside a meter's, neither burden nor limit, to so many figures: ``6.482 A``."""
    if value == 0.0 or not math.isfinite(value):
        return stated(value, unit)
    return stated(rounded(value, figures - 1 - math.floor(math.log10(abs(value))), "stated"), unit)


def balance(value: float | None, unit: str) -> str:
    """A surplus or a shortfall with its sign, rounded towards the worse: ``+12.3 A``, ``−4.1 A``, ``−20 mA``."""
    return written(value, unit, "balance")


def typed(value: float) -> str:
    """A number as it is typed into a file, unrounded: up to ten figures, an ASCII minus, never an exponent."""
    return _plain(value)


def entry(value: float, unit: str) -> str:
    """A burden that is put into a plan, to four figures: ``1.334 A``."""
    return f"{_plain(to_figures(value, 'burden', 0))} {unit}"


def against(load: float, allowed: float, unit: str) -> tuple[str, str]:
    """A burden and its limit, with as many places as it takes for the texts to stand in the same order as the figures.

    A burden within its limit never reads above it, and figures that differ never read the same. Two of like size stand
    in one unit: ``200 mm`` against ``177 mm``; hours against many days do not.
    """
    texts = burden(load, unit), limit(allowed, unit)
    if not (math.isfinite(load) and math.isfinite(allowed)):
        return texts
    below, times, smaller = SCALED.get(unit_words(unit), (0.0, 1.0, unit))
    like = below * (2.0 if smaller == "h" else _LIKE)
    if math.isfinite(below) and min(abs(load), abs(allowed)) < below <= max(abs(load), abs(allowed)) < like:
        return against(load * times, allowed * times, smaller)
    for extra in range(EXTRA):
        texts = _spelled(load, unit, "burden", extra), _spelled(allowed, unit, "limit", extra)
        if order(read_as(load, unit, "burden", extra), read_as(allowed, unit, "limit", extra)) == order(load, allowed):
            break
    return texts


def judged(figure: float, bound: float, unit: str, side: Side) -> tuple[str, str]:
    """A figure of a side and the bound it is held against, which is of the other side; as `against`."""
    if side == "limit":
        needed, had = against(bound, figure, unit)
        return had, needed
    return against(figure, bound, unit)


def drop(volts_v: float, limit_v: float | None) -> str:
    """Drop and limit, ``0.31/0.50 V``; ``0.31 V`` without a limit."""
    if limit_v is None:
        return burden(volts_v, "V")
    lost, allowed = against(volts_v, limit_v, "V")
    return f"{lost.removesuffix(' V')}/{allowed}"


def fuse_range(low_a: float | None, high_a: float | None) -> str:
    """Fuse range from load to wire: ``9.8–20.4``; the end that is not known is `UNKNOWN`."""
    if low_a is None and high_a is None:
        return UNKNOWN
    return f"{SMALLEST_FUSE(low_a).removesuffix(' A')}–{LARGEST_FUSE(high_a).removesuffix(' A')}"


def lasting(seconds: float | None) -> str:
    """A time until something bad: ``49 min``, ``3.4 h``, ``12.1 d``; rounded down, a dash for never."""
    if seconds is None or math.isnan(seconds):
        return UNKNOWN
    if math.isinf(seconds):
        return NONE
    for unit, size in (("d", 86400.0), ("h", 3600.0)):
        if seconds >= 2.0 * size:
            return limit(seconds / size, unit)
    return limit(seconds / 60.0, "min")


def minutes_left(minutes: float | None) -> str:
    """The same for a time in minutes."""
    return lasting(None if minutes is None else minutes * 60.0)


def worked(value: float) -> str:
    """A number of a working, six figures, nearest: what the next line of the arithmetic goes on from; ``unknown`` and
    ``no limit`` for NaN and infinities."""
    if math.isnan(value):
        return "unknown"
    return f"{value:.6g}" if math.isfinite(value) else "no limit"


def whole(count: float) -> str:
    """A count of things, thousands apart: ``10 000``."""
    return f"{count:,.0f}".replace(",", " ")


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number of things in words: ``1 wire``, ``3 wires``; `many` where that is not `one` with an s."""
    return f"{number} {one if number == 1 else many or f'{one}s'}"


def how_many(number: int, one: str, many: str | None = None) -> str:
    """The same, ``no wires`` where there are none."""
    return counted(number, one, many) if number else f"no {many or f'{one}s'}"


def an(words: str) -> str:
    """Words behind their article, as a number in front of them is spoken: ``a 20 A fuse``, ``an 80 A fuse``."""
    return f"{'an' if re.match(r'8|1[18](?![0-9])', words) else 'a'} {words}"


def wire_size(size: object) -> str:
    """A wire's size as it is printed: ``2.5 mm²``."""
    return as_printed(str(size))


def as_printed(text: str) -> str:
    """A text of the plan file as a reader gets it: units behind a number as they are printed, ``3 mΩ`` for ``3 mohm``
    and ``45 °C`` for ``45degC``; all else as it stands."""
    return _TYPED.sub(lambda found: f"{found[1]} {PRINTED[found[2]]}", text)


def _spelled(value: float | None, unit: str, side: Side, extra: int, *, scaled: bool = True) -> str:
    return UNKNOWN if value is None else _text(float(value), unit, side, extra, scaled)


@lru_cache(maxsize=4096)
def _text(value: float, unit: str, side: Side, extra: int, scaled: bool) -> str:
    # After an edit nearly every finding says what it said before.
    if not math.isfinite(value * 1000.0):
        return UNKNOWN
    if side == "stated":
        below, factor, other = SCALED.get(unit, (0.0, 1.0, unit))
        shown = unit_words(other if math.isinf(below) else unit)
        text = _plain(value * factor if math.isinf(below) else value)
    else:
        number, places, shown, _ = cut(value, unit, side, extra, scaled)
        text = _plain(number) if places is None else f"{number:.{places}f}"
    if not text.strip("-0."):
        text = text.lstrip("-")
    elif side == "balance" and value > 0:
        text = f"+{text}"
    return f"{text.replace('-', '−')} {shown}".rstrip()


def _plain(value: float) -> str:
    """All figures a value has, up to ten, never with an exponent."""
    text = f"{value:.{_STATED_DIGITS}g}"
    if "e" in text:
        text = f"{float(text):.{max(0, _STATED_DIGITS - 1 - math.floor(math.log10(abs(value))))}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    return text

"""Which signs a font has: a sign that is missing is printed as an empty box, and nothing warns of it."""

from __future__ import annotations

import struct
from functools import lru_cache
from pathlib import Path

from fuseplan.errors import PaperError
from fuseplan.papers.harmless import shown


@lru_cache(maxsize=8)
def signs_of(font: Path) -> frozenset[str]:
    """The signs that a TrueType or OpenType font maps to a glyph: sub-tables of format 4 and 12 of its ``cmap``.

    Raises:
        PaperError: The file is no such font.
    """
    raw = font.read_bytes()
    try:
        table = _table(raw, b"cmap")
        found: set[int] = set()
        for number in range(*_range(raw, table + 2)):
            start = table + struct.unpack_from(">I", raw, table + 4 + 8 * number + 4)[0]
            kind = struct.unpack_from(">H", raw, start)[0]
            found |= _format_12(raw, start) if kind == 12 else _format_4(raw, start) if kind == 4 else set()
    except (struct.error, LookupError):
        raise PaperError(f"{shown(font)}: is no TrueType or OpenType font") from None
    return frozenset(chr(code) for code in found if not 0xD800 <= code < 0xE000 and code < 0x110000)


def _range(raw: bytes, at: int) -> tuple[int, int]:
    return 0, struct.unpack_from(">H", raw, at)[0]


def _table(raw: bytes, name: bytes) -> int:
    """Where a table of the font begins."""
    for number in range(*_range(raw, 4)):
        tag, _, offset, _ = struct.unpack_from(">4sIII", raw, 12 + 16 * number)
        if tag == name:
            return int(offset)
    raise LookupError(name)


def _format_12(raw: bytes, start: int) -> set[int]:
    """Groups of first code, last code, first glyph."""
    found: set[int] = set()
    for group in range(struct.unpack_from(">I", raw, start + 12)[0]):
        first, last, glyph = struct.unpack_from(">III", raw, start + 16 + 12 * group)
        found.update(code for code in range(first, last + 1) if glyph + code - first)
    return found


def _format_4(raw: bytes, start: int) -> set[int]:
    """Segments of last code, first code, delta, offset into the glyphs."""
    count = struct.unpack_from(">H", raw, start + 6)[0] // 2
    found: set[int] = set()
    for segment in range(count):
        last, = struct.unpack_from(">H", raw, start + 14 + 2 * segment)
        first, = struct.unpack_from(">H", raw, start + 16 + 2 * (count + segment))
        delta, = struct.unpack_from(">H", raw, start + 16 + 2 * (2 * count + segment))
        at = start + 16 + 2 * (3 * count + segment)
        offset, = struct.unpack_from(">H", raw, at)
        for code in range(first, last + 1):
            glyph = code if not offset else struct.unpack_from(">H", raw, at + offset + 2 * (code - first))[0]
            if code != 0xFFFF and (not offset or glyph) and (glyph + delta) & 0xFFFF:
                found.add(code)
    return found


def spelled(text: str, signs: frozenset[str]) -> str:
    """A text with every sign that is not among `signs` as its code, ``\\u4e2d``."""
    missing = {sign for sign in set(text) - signs if sign != "\n"}
    if not missing:
        return text
    return text.translate({ord(sign): f"\\u{ord(sign):04x}" if ord(sign) < 0x10000 else f"\\U{ord(sign):08x}"
                           for sign in missing})

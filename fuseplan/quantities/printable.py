"""Text from a file made harmless for one line of a terminal or a page."""

from __future__ import annotations


def shown(text: object) -> str:
    """Text on one line with every control character spelled out (``\\x1b``, ``\\u202e``), nothing else changed.

    Escape codes, carriage returns and the marks that turn the direction of writing then show up instead of acting.
    """
    plain = str(text)
    return plain if plain.isprintable() else "".join(_spelled(character) for character in plain)


def _spelled(character: str) -> str:
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"

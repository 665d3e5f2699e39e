"""Input that arrives all at once, as from a key held down or from somebody faster than the program."""

from __future__ import annotations

import contextlib
import unicodedata
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import events
from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
from textual.message import Message

if TYPE_CHECKING:
    from .conftest import Driver

Input = Callable[[], list[Message]]
"""What a terminal sends for one key, click or paste, made anew each time."""


def key(name: str) -> Input:
    """A key by Textual's name for it, or the character it types."""
    if len(name) == 1 and not name.isalnum():
        name = _character_to_key(name)
    character = name if len(name) == 1 else None
    with contextlib.suppress(KeyError):
        character = unicodedata.lookup(_get_unicode_name_from_key(REPLACED_KEYS.get(name, name)))
    return lambda: [events.Key(name, character)]


def keys(*names: str) -> list[Input]:
    """Several keys, one after the other."""
    return [key(name) for name in names]


def click(x: int, y: int) -> Input:
    """The left button pressed and released."""
    return lambda: [kind(None, x, y, 0, 0, 1, False, False, False, x, y)
                    for kind in (events.MouseDown, events.MouseUp)]


def paste(text: str) -> Input:
    """A text pasted."""
    return lambda: [events.Paste(text)]


def arrive(driver: Driver, *inputs: Input, at_s: float | None = None) -> None:
    """Put input into the program's queue, all before it deals with any of it; `at_s`: when it is said to have been
    made, on Textual's clock."""
    for each in inputs:
        for message in each():
            message.set_sender(driver.app)
            if at_s is not None:
                message.time = at_s
            driver.app.post_message(message)


async def burst(driver: Driver, *inputs: Input, at_s: float | None = None) -> None:
    """Input that arrives all at once, and all it leads to."""
    arrive(driver, *inputs, at_s=at_s)
    await driver.rest()

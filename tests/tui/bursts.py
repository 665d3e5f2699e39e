"""Input that arrives all at once, as from a key held down or from somebody faster than the program."""

from __future__ import annotations

from textual import events
from textual.message import Message

from .conftest import Driver


def key(name: str) -> list[Message]:
    """A key as a terminal sends it."""
    from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
    import unicodedata

    if len(name) == 1 and not name.isalnum():
        name = _character_to_key(name)
    try:
        character = unicodedata.lookup(_get_unicode_name_from_key(REPLACED_KEYS.get(name, name)))
    except KeyError:
        character = name if len(name) == 1 else None
    return [events.Key(name, character)]


def click(x: int, y: int) -> list[Message]:
    """The left button pressed and released."""
    return [kind(None, x, y, 0, 0, 1, False, False, False, x, y) for kind in (events.MouseDown, events.MouseUp)]


def paste(text: str) -> list[Message]:
    """A text pasted."""
    return [events.Paste(text)]


def arrive(driver: Driver, *inputs: list[Message]) -> None:
    """Put input into the program's queue, all before it deals with any of it."""
    for each in inputs:
        for message in each:
            message.set_sender(driver.app)
            driver.app.post_message(message)


async def burst(driver: Driver, *inputs: list[Message]) -> None:
    """Input that arrives all at once, and everything it leads to."""
    arrive(driver, *inputs)
    await driver.settle()

"""Rewriting a file that uses old words with the words used now; everything else in it stays as it is."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path as FilePath
from typing import Any, NamedTuple

from fuseplan.errors import EditError, StoreError
from fuseplan.plan.references import place
from fuseplan.planfile import edits
from fuseplan.planfile.files import clean_path, read_text
from fuseplan.planfile.locate import Layout
from fuseplan.planfile.merge import differences
from fuseplan.planfile.old_words import Renamed, renamed
from fuseplan.planfile.plain import MISSING, get, same, with_value
from fuseplan.planfile.read import parse_data
from fuseplan.planfile.renaming import rename_keys, splice
from fuseplan.planfile.write import write_atomically
from fuseplan.quantities.amounts import clean


def upgraded(text: str, data: Mapping[str, Any], name: str = "the plan") -> tuple[str, list[Renamed]]:
    """A file's text with every old word replaced, all else as it was; and the words, in the order replaced.

    Args:
        text: the file's text
        data: the same as plain data
        name: of the file, for messages
    Raises:
        EditError: Old and new key stand side by side, or a word is written in a way that cannot be edited.
    """
    words = renamed(data)
    for word in words:
        if not word.is_value and get(data, (*word.path[:-1], word.new)) is not MISSING:
            raise EditError(f"{name}:{Layout(text).line(word.path)}: {place(word.path[:-1])} has both "
                            f"`{clean(word.old)}` and `{word.new}`, its name now; accepted is one of the two: take one "
                            "out of the file")
    text = splice(text, [(word.path, word.new) for word in words if word.is_value])
    for word in words:
        if not word.is_value:
            text = rename_keys(text, word.path, word.new)
    return text, words


def expected(data: Mapping[str, Any], words: list[Renamed]) -> Any:
    """The data a file must stand for once the words are replaced."""
    new: Any = data
    for word in words:
        if word.is_value:
            new = with_value(new, word.path, word.new)
    for word in words:
        if not word.is_value:
            holder = get(new, word.path[:-1])
            new = with_value(new, word.path[:-1], {word.new if key == word.old else key: value
                                                   for key, value in holder.items()})
    return new


class Upgraded(NamedTuple):
    """What became of a file."""

    words: list[tuple[int, str]]
    """Line and sentence of each word replaced; empty where the file is up to date."""
    difference: list[str]
    """Lines taken out with ``-`` and put in with ``+``."""


def upgrade_file(path: FilePath, writes: bool) -> Upgraded:
    """Replace the old words of a plan or library file, in one step or not at all.

    Raises:
        PlanError: The file cannot be read, or is not TOML.
        EditError: As `upgraded`, or the text would not say what it should.
        StoreError: The file cannot be written, or was changed meanwhile.
    """
    file = read_text(path)
    data = parse_data(file.text, str(path))
    new, words = upgraded(file.text, data, clean_path(path))
    if words and not same(parse_data(new, str(path)), expected(data, words)):
        raise EditError(f"{clean_path(path)}{edits.NOT_EDITED}")
    if words and writes:
        if read_text(path).fingerprint != file.fingerprint:
            raise StoreError(f"{clean_path(path)}: somebody else wrote this file meanwhile; it is as they left it")
        write_atomically(path, file.shape.encode(new))
    layout = Layout(file.text)
    return Upgraded(sorted((layout.line(word.path), word.sentence()) for word in words), differences(file.text, new))

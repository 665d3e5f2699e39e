"""Texts of forms that the plan did not take, kept in step when parts are renamed, removed or moved."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from fuseplan.plan.references import Path, form_root
from fuseplan.quantities import writing

Kept = TypeVar("Kept")
DraftsState = tuple[dict[Path, str], dict[Path, str], frozenset[Path]]
"""Texts, messages and opened parts at one moment. Not to be changed."""


class Drafts:
    """What forms hold that the plan does not.

    Attributes:
        texts: typed but not taken, by path, in the order in which they were typed
        messages: why not, by path
        opened: parts shown that the plan does not have yet; and, ending in "…", parts shown with all their keys
    """

    def __init__(self) -> None:
        self.texts: dict[Path, str] = {}
        self.messages: dict[Path, str] = {}
        self.opened: set[Path] = set()

    def state(self) -> DraftsState:
        """What there is now, for `restore`."""
        return dict(self.texts), dict(self.messages), frozenset(self.opened)

    def restore(self, state: DraftsState) -> None:
        """Go back to what there was."""
        texts, messages, opened = state
        self.texts, self.messages, self.opened = dict(texts), dict(messages), set(opened)

    @property
    def words(self) -> str:
        """How many there are; empty without any."""
        count = len(self.texts)
        return writing.counted(count, "entry with an error", "entries with errors") if count else ""

    def following(self, path: Path | None) -> Path | None:
        """The field of the text after that of a field, from the last back to the first; None without any."""
        paths = list(self.texts)
        if not paths:
            return None
        return paths[(paths.index(path) + 1) % len(paths)] if path in paths else paths[0]

    def last(self, field: Path, before: Mapping[Path, str]) -> Path | None:
        """A field with a text: this one, else that of its form which was typed into last and not `before`."""
        root, texts = form_root(field), self.texts
        return field if field in texts else next(
            (path for path in reversed(texts) if form_root(path) == root and before.get(path) != texts[path]), None)

    def put(self, path: Path, text: str) -> None:
        """A text was typed: the last of all."""
        self.texts.pop(path, None)
        self.texts[path] = text

    def take(self, path: Path) -> None:
        """The plan took a text: it is no draft any more."""
        self.texts.pop(path, None)
        self.messages.pop(path, None)

    def under(self, part: Path) -> dict[Path, str]:
        """Texts kept for a part."""
        return {path: text for path, text in self.texts.items() if path[: len(part)] == part}

    def begun(self, kind: str) -> list[str]:
        """Ids of named parts of a kind for which texts are kept, each once."""
        return list(dict.fromkeys(str(path[1]) for path in self.texts if path[0] == kind and len(path) > 2))

    def touches(self, part: Path) -> bool:
        """Whether anything is kept or shown for a part."""
        return any(path[: len(part)] == part for path in (*self.texts, *self.opened))

    def clear(self) -> None:
        """Forget everything."""
        self.texts.clear()
        self.messages.clear()
        self.opened.clear()

    def forget(self, part: Path) -> None:
        """Drop everything kept for a part."""
        self._rekey(lambda path: None if path[: len(part)] == part else path)

    def moved(self, moves: Mapping[Path, Path]) -> None:
        """Follow parts and items of lists to their new paths."""
        self._rekey(lambda path: next(((*new, *path[len(old):]) for old, new in moves.items()
                                       if path[: len(old)] == old), path))

    def closed_up(self, items: Path, gone: int) -> None:
        """Follow the items of a list behind one that is gone."""
        at = len(items)

        def follow(path: Path) -> Path:
            here = path[at] if path[:at] == items and len(path) > at else None
            return (*items, here - 1, *path[at + 1:]) if isinstance(here, int) and here > gone else path

        self._rekey(follow)

    def _rekey(self, follow: Callable[[Path], Path | None]) -> None:
        self.texts = _moved(self.texts, follow)
        self.messages = _moved(self.messages, follow)
        self.opened = set(_moved(dict.fromkeys(self.opened), follow))


def _moved(kept: dict[Path, Kept], follow: Callable[[Path], Path | None]) -> dict[Path, Kept]:
    return {new: value for path, value in kept.items() if (new := follow(path)) is not None}

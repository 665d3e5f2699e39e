"""Recovery files: what was not saved yet, kept in the user's state folder in case the program is cut off.

Each session keeps its work in a file of its own, so that two sessions on one plan never overwrite each other's. Beside
it lies a lock that is held as long as the session lives; the system drops it with the process, however that ends. What
lies there without a held lock was left behind.
"""

from __future__ import annotations

import contextlib
import hashlib
import itertools
import json
import os
import secrets
import sys
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from fuseplan.errors import PlanError, StoreError
from fuseplan.plan.references import Path as PlanPath
from fuseplan.planfile.files import clean_path, read_text, reason
from fuseplan.planfile.write import write_atomically
from fuseplan.records import dataclass

_HEAD = "# kept by fuseplan for recovery: "

Typed = tuple[tuple[PlanPath, str], ...]
"""Texts typed into forms that the plan did not take, by the field they belong to."""


@dataclass(frozen=True)
class Work:
    """What is to be kept at one moment.

    Attributes:
        text, typed: as in `Kept`
        turn: what it belongs to: another one since it was saved or dropped, or the plan was saved under another name
        number: counts what was to be kept, so that nothing older takes the place of something newer
        before: as in `Kept`
    """

    text: str
    typed: Typed
    turn: object
    number: int
    before: str = ""


@dataclass(frozen=True)
class Kept:
    """What a session that is no more left behind.

    Attributes:
        file: the recovery file
        text: text of the plan
        typed: texts of forms the plan did not take
        kept_s: when it was kept, in seconds since 1970
        overtaken: the plan's file was written after that
        before: where an error in the program ended the session, the plan before the last change; else empty
    """

    file: Path
    text: str
    typed: Typed
    kept_s: float
    overtaken: bool
    before: str = ""


class Keeper:
    """Keeps the work of one session; may be called from several threads."""

    def __init__(self, path: str | os.PathLike[str] | None) -> None:
        self.file = _folder() / f"{_name(path)}-{secrets.token_hex(6)}.toml"
        """Where the work is kept, always the same: what is kept late does not go elsewhere."""
        self._path = path
        self._guard = threading.Lock()
        self._held: int | None = None
        self._turn = object()
        self._numbers = itertools.count(1)
        self._newest = 0

    def work(self, text: str, typed: Typed) -> Work:
        """What is to be kept now."""
        return Work(text, typed, self._turn, next(self._numbers))

    def keep(self, work: Work) -> bool:
        """Keep a session's work: when this returns it is on the disk, as far as the system can be believed.

        Returns:
            False where nothing was done, as it was saved or dropped meanwhile or something newer is kept.
        Raises:
            StoreError: The state folder cannot be written.
        """
        with self._guard:
            if not self._is_current(work):
                return False
            try:
                # What is being planned is nobody else's business.
                self.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                if self._held is None:
                    self._held = _locked(self.file.with_suffix(".lock"), make=True)
            except OSError as error:
                raise StoreError(f"{clean_path(self.file.parent)}: cannot be made: {reason(error)}") from None
            about = {"plan": None if self._path is None else os.path.realpath(self._path),
                     "typed": [[list(path), text] for path, text in work.typed], "before": work.before}
            write_atomically(self.file, f"{_HEAD}{json.dumps(about)}\n{work.text}".encode(), mode=0o600)
            self._newest = work.number
            return True

    def clear(self, work: Work) -> bool:
        """Work says no more than the plan's file: forget what is kept. False as for `keep`."""
        with self._guard:
            if not self._is_current(work):
                return False
            _unlink(self.file)
            self._newest = work.number
            return True

    def _is_current(self, work: Work) -> bool:
        return work.turn is self._turn and work.number > self._newest

    def drop(self) -> None:
        """Forget what is kept; quietly, also when nothing is."""
        with self._guard:
            self._turn = object()
            _unlink(self.file)

    def close(self) -> None:
        """End the session: what is kept now counts as left behind."""
        with self._guard:
            self._turn = object()
            if self._held is not None:
                os.close(self._held)
                self._held = None
                if not self.file.exists():
                    _unlink(self.file.with_suffix(".lock"))


def left_behind(path: str | os.PathLike[str] | None) -> list[Kept]:
    """What ended sessions on a plan left unsaved, the latest first; None: on plans that had no file yet.

    What says the same as the plan's file is no loss and is cleared away.
    """
    found = []
    for file in _files(path):
        kept = _read(file, path)
        if kept is not None:
            found.append(kept)
    return sorted(found, key=lambda kept: kept.kept_s, reverse=True)


def discard(kept: Kept) -> None:
    """Forget what was left behind; quietly, also when it is gone."""
    _unlink(kept.file)
    _unlink(kept.file.with_suffix(".lock"))


def _folder() -> Path:
    from platformdirs import user_state_path

    return user_state_path("fuseplan") / "recovery"


def _name(path: str | os.PathLike[str] | None) -> str:
    if path is None:
        return "unnamed"
    return hashlib.sha256(os.path.realpath(path).encode("utf-8", "surrogateescape")).hexdigest()[:32]


def _files(path: str | os.PathLike[str] | None) -> Iterator[Path]:
    """Recovery files of a plan whose sessions are no more."""
    for file in sorted(_folder().glob(f"{_name(path)}-*.toml")):
        if not _is_held(file.with_suffix(".lock")):
            yield file
    for lock in _folder().glob(f"{_name(path)}-*.lock"):
        if not lock.with_suffix(".toml").exists() and not _is_held(lock):
            # Its session had saved everything when it was cut off.
            _unlink(lock)


def _is_held(lock: Path) -> bool:
    """Whether the session of a lock lives."""
    if not lock.exists():
        return False
    try:
        os.close(_locked(lock, make=False))
    except OSError:
        return True
    return False


def _read(file: Path, path: str | os.PathLike[str] | None) -> Kept | None:
    try:
        kept_s = file.stat().st_mtime
        head, _, text = read_text(file).text.partition("\n")
        about = json.loads(head.removeprefix(_HEAD))
        typed: Typed = tuple((tuple(each), str(words)) for each, words in about["typed"])
        before = str(about.get("before", ""))
    except (OSError, PlanError, ValueError, KeyError, TypeError):
        return None
    kept = Kept(file, text, typed, kept_s, False, before)
    if path is None:
        return kept
    try:
        if not typed and read_text(path).text == text:
            discard(kept)
            return None
        return replace(kept, overtaken=os.stat(path).st_mtime > kept_s)
    except (OSError, PlanError):
        # The plan's file is gone or spoilt: just then the kept text is wanted.
        return kept


def _unlink(file: Path) -> None:
    with contextlib.suppress(OSError):
        file.unlink()


if sys.platform == "win32":
    import msvcrt

    def _locked(file: Path, make: bool) -> int:
        """An open lock file that only this session holds; OSError where another does."""
        handle = os.open(file, os.O_RDWR | (os.O_CREAT if make else 0), 0o600)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            os.close(handle)
            raise
        return handle
else:
    import fcntl

    def _locked(file: Path, make: bool) -> int:
        """An open lock file that only this session holds; OSError where another does."""
        handle = os.open(file, os.O_RDWR | (os.O_CREAT if make else 0), 0o600)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            os.close(handle)
            raise
        return handle

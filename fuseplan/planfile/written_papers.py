"""A folder of papers: written whole, and nothing in it replaced that the program did not write itself.

The folder keeps a list of what was written, in the form that ``sha256sum --check`` reads. A file that is not on it, or
was changed since, is somebody's work.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from fuseplan.errors import StoreError
from fuseplan.planfile.files import READING, clean_path, reason
from fuseplan.planfile.outputs import made_folder
from fuseplan.planfile.write import write_atomically

LIST = "written-by-fuseplan.sha256"


class PaperFolder:
    """A folder that papers are written to, one file after the other; `close` notes what was written.

    Args:
        replace: also replace files that were not written by the program, or were changed since
    Raises:
        StoreError: A file stands where the folder should be, or the folder cannot be made or read.
    """

    def __init__(self, folder: str | os.PathLike[str], *, replace: bool = False) -> None:
        self.folder, self.replace = made_folder(folder), replace
        self._before = _noted(self.folder)
        self._written: dict[str, str] = {}
        self.left: list[Path] = []
        """Papers of earlier runs that are still there and were not written anew; known once it is closed."""

    def write(self, name: str, raw: bytes) -> Path:
        """Write one file.

        Raises:
            StoreError: A file of that name is there which the program did not write, or which was changed since; or it
                cannot be written.
        """
        target = self.folder / name
        if not self.replace and target.exists():
            noted = self._written.get(name) or self._before.get(name)
            if noted is None:
                raise StoreError(f"{clean_path(target)}: already there, and not written by fuseplan papers; accepted "
                                 "is another folder, to move that file away, or --replace on the command line")
            if noted != _digest(_read(target)):
                raise StoreError(f"{clean_path(target)}: changed since it was written; accepted is another folder, to "
                                 "move that file away, or --replace on the command line, which loses the changes")
        write_atomically(target, raw)
        self._written[name] = _digest(raw)
        return target

    def close(self) -> None:
        """Note what was written."""
        kept = {name: digest for name, digest in self._before.items()
                if name not in self._written and (self.folder / name).is_file()}
        noted = kept | self._written
        if noted:
            write_atomically(self.folder / LIST, "".join(
                f"{digest}  {name}\n" for name, digest in sorted(noted.items())).encode("utf-8"))
        self.left = [self.folder / name for name in sorted(kept)]


def write_papers(files: Iterable[tuple[str, bytes]], folder: PaperFolder) -> Iterator[Path]:
    """Write named bytes one after the other, each path once it is there; what is written is noted however it ends."""
    try:
        for name, raw in files:
            yield folder.write(name, raw)
    finally:
        folder.close()


def _noted(folder: Path) -> dict[str, str]:
    """Name and digest of what was written before; nothing where there is no list."""
    found = {}
    with contextlib.suppress(FileNotFoundError):
        for line in _read(folder / LIST).decode("utf-8", "replace").splitlines():
            digest, _, name = line.partition("  ")
            found[name] = digest
    return found


def _read(file: Path) -> bytes:
    try:
        with os.fdopen(os.open(file, READING), "rb") as stream:
            return stream.read()
    except FileNotFoundError:
        raise
    except OSError as error:
        raise StoreError(f"{clean_path(file)}: cannot be read: {reason(error)}; accepted is another folder") from None


def _digest(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()

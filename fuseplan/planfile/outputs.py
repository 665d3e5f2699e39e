"""Files of results, asked for by name: tables and pictures."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from fuseplan.errors import StoreError
from fuseplan.planfile.files import READING, clean_path, reason
from fuseplan.planfile.write import write_atomically


def write_picture(page: str, path: str | os.PathLike[str]) -> Path:
    """Write an SVG page; an earlier SVG file is replaced, any other file is left alone.

    Raises:
        StoreError: Another kind of file is there, or it cannot be written.
    """
    target = Path(path)
    if target.is_file() and not _begins(target).lstrip().startswith((b"<svg", b"<?xml")):
        raise StoreError(f"{clean_path(target)}: a file that is not SVG is there; accepted is a new name, or an SVG "
                         "file to replace")
    write_atomically(target, page.encode("utf-8"))
    return target


def _begins(file: Path) -> bytes:
    try:
        with os.fdopen(os.open(file, READING), "rb") as stream:
            return stream.read(200)
    except OSError as error:
        raise StoreError(f"{clean_path(file)}: cannot be read: {reason(error)}; accepted is a new name") from None


def write_folder(texts: Mapping[str, str | bytes], folder: str | os.PathLike[str],
                 replaces: bool = True) -> tuple[Path, ...]:
    """Write texts, or bytes as they are, into the files of a folder, which is made if need be; earlier files of these
    names are replaced, or without `replaces` nothing is written where one of them is there.

    Raises:
        StoreError: A file stands where the folder should be, the folder cannot be written, or a file is there that may
            not be replaced.
    """
    target = made_folder(folder)
    there = None if replaces else next((target / name for name in texts if os.path.lexists(target / name)), None)
    if there is not None:
        raise StoreError(f"{clean_path(there)}: already there, nothing is written; accepted is another folder with "
                         "--out, to move that file away, or --replace")
    for name, text in texts.items():
        write_atomically(target / name, text if isinstance(text, bytes) else text.encode("utf-8"))
    return tuple(target / name for name in texts)


def made_folder(folder: str | os.PathLike[str]) -> Path:
    """A folder, made if need be.

    Raises:
        StoreError: A file stands where the folder should be, or it cannot be made.
    """
    target = Path(folder)
    try:
        target.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise StoreError(f"{clean_path(target)}: a file is in the way; accepted is a folder, or a name that is not "
                         "taken") from None
    except (OSError, ValueError) as error:
        raise StoreError(f"{clean_path(target)}: cannot be made: {reason(error)}; accepted is a folder that can be "
                         "written") from None
    return target

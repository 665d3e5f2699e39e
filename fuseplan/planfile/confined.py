"""Where a page in a browser may write and read: the plan itself and plan files beside it."""

from __future__ import annotations

import os
from pathlib import Path

from fuseplan.errors import StoreError
from fuseplan.planfile.files import clean_path


def check_confined(own: Path | None, target: str | os.PathLike[str] | None, force: bool) -> None:
    """Refuse a target outside the folder of the plan `own`, one that is no .toml file, and one that is there already.

    Raises:
        StoreError: With what is accepted.
    """
    accepted = "accepted from a page is a new file that ends in .toml, in the folder of the plan"
    if own is None:
        raise StoreError(f"the plan has no file, so there is no folder to save in; {accepted}")
    if target is None or os.path.realpath(target) == os.path.realpath(own):
        if force and os.path.lexists(own):
            raise StoreError(f"{clean_path(own)}: somebody else wrote this file meanwhile, and a page does not "
                             "overwrite it; accepted is to take both together or to save under another name")
        return
    name = Path(target)
    _check_place(own, name, accepted)
    if os.path.lexists(name):
        raise StoreError(f"{clean_path(name)}: already there, and a page overwrites no file; {accepted}")


def check_readable(own: Path | None, name: Path, ends: tuple[str, ...] = (".toml",)) -> None:
    """Refuse to read a file outside the folder of the plan `own`, and one whose name does not end in one of `ends`.

    Raises:
        StoreError: With what is accepted.
    """
    accepted = f"accepted from a page is a file that ends in {' or '.join(ends)}, in the folder of the plan"
    if own is None:
        raise StoreError(f"the plan has no file, so there is no folder to read from; {accepted}")
    _check_place(own, name, accepted, ends)


def _check_place(own: Path, name: Path, accepted: str, ends: tuple[str, ...] = (".toml",)) -> None:
    folder = Path(os.path.realpath(own)).parent
    if name.suffix.lower() not in ends or name.name.startswith("."):
        raise StoreError(f"{clean_path(name)}: files of this kind are neither read nor written from a page; {accepted}")
    if folder not in Path(os.path.realpath(name)).parents:
        raise StoreError(f"{clean_path(name)}: outside the folder of the plan; {accepted}")

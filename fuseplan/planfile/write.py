"""The one way files are written: whole or not at all, and nothing about the old file lost without a word."""

from __future__ import annotations

import contextlib
import errno
import itertools
import os
import stat
import tempfile
from collections.abc import Iterator
from pathlib import Path

from fuseplan.errors import StoreError
from fuseplan.planfile.files import READING, clean_path, reason

_NOT_ALLOWED = (errno.EPERM, errno.EACCES, errno.ENOTSUP, errno.EINVAL)


class _Torn(OSError):
    """A file was left half written and could not be put back."""


def write_atomically(path: Path, raw: bytes, mode: int | None = None) -> os.stat_result:
    """Replace a file by new bytes in one step: either the old or the new file is there, never half of one.

    A symbolic link is followed and its target replaced. Owner, group, permissions and extended attributes (access lists
    among them; as far as the system shows them to Python, which is Linux) are those of the old file. Where a new file
    cannot be made alike, or other names lead to the old one (hard links), its bytes are written over instead, which
    keeps all of that; until that is done the whole new text lies beside it, and stays there if the program is killed
    meanwhile. With `mode` a new file of these permissions takes the place.

    Raises:
        StoreError: The file is write-protected or no plain file, its folder is missing or not writable, or the disk is
            full. The old file is as it was, unless the message says otherwise.
    """
    shown = clean_path(path)
    try:
        target = Path(os.path.realpath(path))
        old = _standing(target)
        if old is not None:
            _check_replaceable(target, old, shown, mode is None)
        with _beside(target, raw) as temporary:
            if old is None or mode is not None:
                os.chmod(temporary, _new_mode() if mode is None else mode)
                os.replace(temporary, target)
            elif _made_alike(temporary, target, old):
                os.replace(temporary, target)
            else:
                _write_over(target, raw, old, temporary)
            _settle(target.parent)
        return target.stat()
    except _Torn as error:
        raise StoreError(f"{shown}: {error}") from None
    except (OSError, ValueError) as error:
        raise StoreError(f"{shown}: cannot be written: {reason(error)}; the old file is as it was") from None


def keep_beside(path: str | os.PathLike[str]) -> Path:
    """Keep a file as it is beside itself, as PLAN.bak, or PLAN.bak.2 … where that is there already; the copy's path.

    Raises:
        StoreError: It cannot be read, or the copy cannot be written.
    """
    source = Path(clean_path(os.fspath(path)))
    try:
        raw = source.read_bytes()
    except OSError as error:
        raise StoreError(f"{source}: {reason(error)}") from None
    for number in itertools.count(1):
        copy = source.with_name(f"{source.name}.bak{'' if number == 1 else f'.{number}'}")
        if not copy.exists():
            break
    _write_exclusively(copy, raw)
    return copy


def write_new(path: str | os.PathLike[str], text: str) -> None:
    """Write a file that does not exist yet, whole or not at all.

    Raises:
        StoreError: Something of that name is already there, or the folder cannot be written.
    """
    target = Path(path)
    raw = text.encode("utf-8")
    try:
        with _beside(target, raw) as temporary:
            os.chmod(temporary, _new_mode())
            try:
                # A link, unlike a rename, fails when the name is taken: nothing is ever overwritten.
                os.link(temporary, target)
            except FileExistsError:
                raise
            except OSError:
                # Not every file system knows links.
                _write_exclusively(target, raw)
            _settle(target.parent)
    except FileExistsError:
        raise StoreError(f"{clean_path(target)}: already there; accepted is a name that is not taken") from None
    except (OSError, ValueError) as error:
        raise StoreError(f"{clean_path(target)}: cannot be written: {reason(error)}") from None


def _write_exclusively(target: Path, raw: bytes) -> None:
    with target.open("xb") as stream:
        try:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        except BaseException:
            _unlink(target)
            raise


def _standing(target: Path) -> os.stat_result | None:
    """What is there; None where nothing is."""
    try:
        return target.stat()
    except FileNotFoundError:
        return None


def _check_replaceable(target: Path, old: os.stat_result, shown: str, keeps_mode: bool) -> None:
    if not stat.S_ISREG(old.st_mode):
        what = "a folder" if stat.S_ISDIR(old.st_mode) else "something that is no plain file"
        raise StoreError(f"{shown}: {what} is there; accepted is another name")
    # Taking a file's place needs no leave of the file, only of its folder; who locked it did not mean that.
    if keeps_mode and (not old.st_mode & 0o222 or not os.access(target, os.W_OK)):
        raise StoreError(f"{shown}: this file is write-protected; accepted is another name, or to allow writing to it "
                         "first; the old file is as it was")


@contextlib.contextmanager
def _beside(target: Path, raw: bytes) -> Iterator[str]:
    """A complete file beside the target, safely on the disk; gone afterwards unless it took the target's place, or is
    the only whole one."""
    handle, temporary = tempfile.mkstemp(prefix=f".{target.name[:30]}.", suffix=".part", dir=target.parent)
    keep = False
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        yield temporary
    except _Torn:
        keep = True
        raise
    finally:
        if not keep:
            _unlink(temporary)


def _made_alike(temporary: str, target: Path, old: os.stat_result) -> bool:
    """Give a new file all that the old one has; False where that is not possible."""
    if old.st_nlink > 1:
        return False
    try:
        new = os.stat(temporary)
        if (new.st_uid, new.st_gid) != (old.st_uid, old.st_gid):
            os.chown(temporary, old.st_uid, old.st_gid)
        os.chmod(temporary, stat.S_IMODE(old.st_mode))
        _copy_attributes(target, temporary)
    except OSError as error:
        if error.errno in _NOT_ALLOWED:
            return False
        raise
    return True


def _copy_attributes(source: Path, target: str) -> None:
    """Make the extended attributes of two files the same."""
    if not hasattr(os, "listxattr"):
        return
    wanted, there = _attributes(source), _attributes(target)
    for name in there.keys() - wanted.keys():
        os.removexattr(target, name)
    for name, value in wanted.items():
        if there.get(name) != value:
            os.setxattr(target, name, value)


def _attributes(path: str | Path) -> dict[str, bytes]:
    try:
        return {name: os.getxattr(path, name) for name in os.listxattr(path)}
    except OSError as error:
        if error.errno == errno.ENOTSUP:
            return {}
        raise


def _write_over(target: Path, raw: bytes, old: os.stat_result, temporary: str) -> None:
    """Write over a file's bytes, and put the old ones back if that fails."""
    handle = os.open(target, READING | os.O_RDWR | getattr(os, "O_NOFOLLOW", 0))
    with os.fdopen(handle, "r+b", buffering=0) as stream:
        now = os.fstat(handle)
        if (now.st_dev, now.st_ino, now.st_mode) != (old.st_dev, old.st_ino, old.st_mode):
            raise OSError("another file was put in its place meanwhile")
        before = stream.read()
        try:
            _overwrite(handle, raw)
        except BaseException as error:
            try:
                _overwrite(handle, before)
            except OSError:
                raise _Torn(f"writing failed half-way ({reason(error)}) and the old text could not be put back; the "
                            f"whole new text is in {clean_path(temporary)}") from None
            raise


def _overwrite(handle: int, raw: bytes) -> None:
    os.lseek(handle, 0, os.SEEK_SET)
    rest = memoryview(raw)
    while rest:
        rest = rest[os.write(handle, rest):]
    os.ftruncate(handle, len(raw))
    os.fsync(handle)


def _new_mode() -> int:
    """Permissions of a new file under the user's mask."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _unlink(path: str | Path) -> None:
    with contextlib.suppress(OSError):
        os.unlink(path)


def _settle(folder: Path) -> None:
    """Ask the system to put a renamed file's folder entry on the disk; not every system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

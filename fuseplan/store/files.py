"""Text files in and out: read with every refusal a sentence, written so that nothing can be lost."""

from __future__ import annotations

import codecs
import contextlib
import hashlib
import os
import stat
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from fuseplan.errors import PlanError, Problem, StoreError
from fuseplan.quantities.amounts import clean

LARGEST_BYTES = 5_000_000
"""No plan comes near this; a larger file is something else."""


@dataclass(frozen=True)
class Shape:
    """How a text was laid down in its file, so that it goes back the same way."""

    mark: bool = False
    """It began with a byte order mark."""
    carriage: bool = False
    """Its lines end in CR LF."""
    final_newline: bool = True

    def encode(self, text: str) -> bytes:
        """The bytes of a text whose lines end in LF."""
        if not self.final_newline and text.endswith("\n"):
            text = text[:-1]
        if self.carriage:
            text = text.replace("\n", "\r\n")
        return (codecs.BOM_UTF8 if self.mark else b"") + text.encode("utf-8")


@dataclass(frozen=True)
class Fingerprint:
    """What a file was when it was read."""

    changed_ns: int
    size: int
    sha256: str


@dataclass(frozen=True)
class TextFile:
    """A file's text with line ends as LF and a final newline, its shape, and its fingerprint."""

    text: str
    shape: Shape
    fingerprint: Fingerprint


def decode(raw: bytes, file: str) -> tuple[str, Shape]:
    """Text and shape of a file's bytes.

    Raises
    ------
    PlanError
        Not text: a NUL byte, or bytes that are not UTF-8; names the line.
    """
    nul = raw.find(b"\0")
    if nul >= 0:
        line = raw.count(b"\n", 0, nul) + 1
        raise refused(file, f"byte {nul + 1} is zero, so this is no text; accepted is a TOML file in UTF-8", line)
    shape = Shape(mark=raw.startswith(codecs.BOM_UTF8))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        at = error.start + (3 if shape.mark else 0)
        line = raw.count(b"\n", 0, at) + 1
        raise refused(
            file, f"byte {at + 1} (0x{raw[at]:02x}) is not UTF-8; accepted is a TOML file saved as UTF-8", line
        ) from None
    if "\r\n" in text and text.count("\r\n") == text.count("\n"):
        shape = replace(shape, carriage=True)
        text = text.replace("\r\n", "\n")
    if not text.endswith("\n"):
        shape = replace(shape, final_newline=False)
        text += "\n"
    return text, shape


def refused(file: str, message: str, line: int = 0) -> PlanError:
    """One problem as an error."""
    return PlanError([Problem(clean_path(file), line, message)])


def clean_path(path: str | Path) -> str:
    """A path fit for a message: whole, with control characters shown."""
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in str(path))


def read_bytes(path: Path) -> tuple[bytes, os.stat_result]:
    """A plain file's bytes, refused with a sentence.

    Raises
    ------
    PlanError
        No such file, a folder, not a plain file, too large, or not allowed.
    """
    file = str(path)
    try:
        about = path.stat()
        if stat.S_ISDIR(about.st_mode):
            raise refused(file, "this is a folder; accepted is a plan's file")
        if not stat.S_ISREG(about.st_mode):
            raise refused(file, "this is no plain file; accepted is a plan's file")
        if about.st_size > LARGEST_BYTES:
            raise refused(
                file, f"{about.st_size / 1e6:.1f} MB is too large for a plan; accepted are {LARGEST_BYTES / 1e6:g} MB"
            )
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_BYTES + 1)
            return raw, os.fstat(stream.fileno())
    except FileNotFoundError:
        raise refused(file, "there is no such file; accepted is the path of a plan") from None
    except PermissionError:
        raise refused(file, "not allowed to read this file; accepted is a file you may read") from None
    except (OSError, ValueError) as error:
        raise refused(file, f"cannot be read: {reason(error)}") from None


def read_text(path: str | os.PathLike[str]) -> TextFile:
    """A plan's text, shape and fingerprint; raises PlanError as `read_bytes` and `decode` do."""
    raw, about = read_bytes(Path(path))
    text, shape = decode(raw, os.fspath(path))
    return TextFile(text, shape, fingerprint(raw, about))


def fingerprint(raw: bytes, about: os.stat_result) -> Fingerprint:
    """The fingerprint of bytes just read or written."""
    return Fingerprint(about.st_mtime_ns, len(raw), hashlib.sha256(raw).hexdigest())


def reason(error: Exception) -> str:
    """Why the system refused, in its own words, without its error number."""
    return clean(getattr(error, "strerror", None) or error)


def write_atomically(path: Path, raw: bytes, mode: int | None = None) -> os.stat_result:
    """Replace a file by new bytes in one step: either the old or the new file is there, never half of one.

    A symbolic link is followed and its target replaced; permissions are kept unless `mode` is given.

    Raises
    ------
    StoreError
        The file is write-protected, its folder is missing or not writable, or the disk is full. The old file is as
        it was.
    """
    target = Path(os.path.realpath(path))
    if mode is None and _protected(target):
        raise StoreError(f"{clean_path(path)}: this file is write-protected; accepted is another name, or to allow "
                         "writing to it first; the old file is as it was")
    try:
        with _beside(target, raw, mode) as temporary:
            os.replace(temporary, target)
            _settle(target.parent)
        return target.stat()
    except OSError as error:
        raise StoreError(f"{clean_path(path)}: cannot be written: {reason(error)}; the old file is as it was") from None


def _protected(target: Path) -> bool:
    """Whether a file is there that this user may not write, or that nobody may.

    Taking its place needs no leave of the file, only of its folder; who locked it did not mean that.
    """
    try:
        return not target.stat().st_mode & 0o222 or not os.access(target, os.W_OK)
    except OSError:
        return False


def write_new(path: str | os.PathLike[str], text: str) -> None:
    """Write a file that does not exist yet, whole or not at all.

    Raises
    ------
    StoreError
        Something of that name is already there, or the folder cannot be written.
    """
    target = Path(path)
    raw = text.encode("utf-8")
    try:
        with _beside(target, raw, None) as temporary:
            try:
                # A link, unlike a rename, fails when the name is taken: nothing is ever overwritten.
                os.link(temporary, target)
            except FileExistsError:
                raise
            except OSError:
                # Not every file system knows links.
                with target.open("xb") as stream:
                    stream.write(raw)
            _settle(target.parent)
    except FileExistsError:
        raise StoreError(f"{clean_path(target)}: already there; accepted is a name that is not taken") from None
    except (OSError, ValueError) as error:
        raise StoreError(f"{clean_path(target)}: cannot be written: {reason(error)}") from None


@contextlib.contextmanager
def _beside(target: Path, raw: bytes, mode: int | None) -> Iterator[str]:
    """A complete file beside the target, safely on the disk; gone afterwards unless it took the target's place."""
    handle, temporary = tempfile.mkstemp(prefix=f".{target.name[:80]}.", suffix=".part", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, _mode(target) if mode is None else mode)
        yield temporary
    finally:
        with contextlib.suppress(OSError):
            os.unlink(temporary)


def _mode(target: Path) -> int:
    """Permissions of the file to be replaced, or those of a new file under the user's mask."""
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except FileNotFoundError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def _settle(folder: Path) -> None:
    """Ask the system to put a renamed file's folder entry on the disk; not every system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

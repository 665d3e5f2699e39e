"""Text files read, with every refusal a sentence."""

from __future__ import annotations

import codecs
import hashlib
import os
import stat
from dataclasses import replace
from pathlib import Path

from fuseplan.errors import PlanError, Problem
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import clean
from fuseplan.quantities.printable import shown
from fuseplan.records import dataclass

LARGEST_BYTES = 2_000_000
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

    Raises:
        PlanError: Not text: a NUL byte, or bytes that are not UTF-8; names the line.
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
    return shown(path)


def read_bytes(path: Path, wanted: str = "a plan", most: int = LARGEST_BYTES) -> tuple[bytes, os.stat_result]:
    """A plain file's bytes, refused with a sentence that names what is `wanted`. Never waits: what is read is what was
    looked at.

    Raises:
        PlanError: No such file, a folder, not a plain file, too large, or not allowed.
    """
    file = str(path)
    try:
        # Looked at first: merely opening a pipe or device can already do something.
        _check_plain(path.stat(), file, wanted, most)
        handle = os.open(path, READING)
        with os.fdopen(handle, "rb") as stream:
            about = os.fstat(handle)
            _check_plain(about, file, wanted, most)
            raw = stream.read(most + 1)
            if len(raw) > most:
                raise _too_large(file, len(raw), wanted, most)
            return raw, about
    except FileNotFoundError:
        raise refused(file, f"there is no such file; accepted is the path of {wanted}") from None
    except PermissionError:
        raise refused(file, "not allowed to read this file; accepted is a file you may read") from None
    except (OSError, ValueError) as error:
        raise refused(file, f"cannot be read: {reason(error)}") from None


READING = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
"""How files are opened: a pipe put in a file's place meanwhile must not hold up the program."""


def _check_plain(about: os.stat_result, file: str, wanted: str, most: int) -> None:
    if stat.S_ISDIR(about.st_mode):
        raise refused(file, f"this is a folder; accepted is the file of {wanted}")
    if not stat.S_ISREG(about.st_mode):
        raise refused(file, f"this is no plain file; accepted is the file of {wanted}")
    if about.st_size > most:
        raise _too_large(file, about.st_size, wanted, most)


def _too_large(file: str, size: int, wanted: str, most: int) -> PlanError:
    return refused(file, f"{writing.burden(size / 1e6, 'MB')} is too large for {wanted}; accepted are "
                         f"{writing.stated(most / 1e6, 'MB')}")


def read_text(path: str | os.PathLike[str]) -> TextFile:
    """A plan's text, shape and fingerprint; raises PlanError as `read_bytes` and `decode` do."""
    raw, about = read_bytes(Path(path))
    text, shape = decode(raw, os.fspath(path))
    return TextFile(text, shape, fingerprint(raw, about))


def fingerprint(raw: bytes, about: os.stat_result) -> Fingerprint:
    """The fingerprint of bytes just read or written."""
    return Fingerprint(about.st_mtime_ns, len(raw), hashlib.sha256(raw).hexdigest())


def reason(error: BaseException) -> str:
    """Why the system refused, in its own words, without its error number."""
    return clean(getattr(error, "strerror", None) or error)

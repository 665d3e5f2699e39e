"""The file of an open plan: what it held when last read or saved, and writing it over nothing that others wrote."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from fuseplan.errors import ChangedOnDisk, PlanError, RemovedOnDisk, StoreError
from fuseplan.planfile.files import Fingerprint, Shape, TextFile, clean_path, fingerprint, read_bytes, reason
from fuseplan.planfile.write import write_atomically


class OwnFile:
    """The file of one plan; `text` is what it held when last read or saved, None for a plan that is on no disk yet."""

    def __init__(self, path: Path | None) -> None:
        self.path = path
        self.text: str | None = None
        self._shape = Shape()
        self._read: Fingerprint | None = None

    def took(self, file: TextFile) -> None:
        """That this is what the file holds now."""
        self.text, self._shape, self._read = file.text, file.shape, file.fingerprint

    def named(self) -> Path:
        """Its path; raises StoreError where it has none."""
        if self.path is None:
            raise StoreError("this plan has no file yet; accepted is a path to save it to")
        return self.path

    def has_changed(self) -> bool:
        """Whether it is no longer what was read or saved; also when it is gone."""
        if self.path is None or self._read is None:
            return False
        try:
            about = self.path.stat()
            if about.st_mtime_ns == self._read.changed_ns and about.st_size == self._read.size:
                return False
            raw, about = read_bytes(self.path)
        except (OSError, PlanError):
            return True
        return fingerprint(raw, about).sha256 != self._read.sha256

    def write(self, text: str, path: Path | None, force: bool) -> None:
        """Write a text to it, or to another file, which is its own from then on; nothing where it holds that text.

        Raises:
            ChangedOnDisk: The file is not what was read, or another file of that name is there; `force` writes all the
                same.
            StoreError: The file cannot be written; the old one is as it was.
        """
        target = path if path is not None else self.named()
        if "\0" in str(target):
            raise StoreError(f"{clean_path(target)}: no file can have this name")
        own = self.path is not None and self._read is not None \
            and os.path.realpath(target) == os.path.realpath(self.path)
        if own and self.text == text and not (force and self.has_changed()):
            return
        if not force:
            self._check_unchanged(target, own)
        raw = self._shape.encode(text)
        about = write_atomically(target, raw)
        self.path, self._read, self.text = target, fingerprint(raw, about), text

    def _check_unchanged(self, target: Path, own: bool) -> None:
        shown = clean_path(target)
        if not own:
            if os.path.lexists(target):
                raise ChangedOnDisk(f"{shown}: already there; accepted is a name that is not taken, or to overwrite it")
            return
        try:
            about = target.stat()
        except FileNotFoundError:
            raise RemovedOnDisk(f"{shown}: the file was removed meanwhile; accepted is to write it again") from None
        except OSError as error:
            raise StoreError(f"{shown}: cannot be read again before saving: {reason(error)}") from None
        same = self._read is not None and about.st_size == self._read.size
        if same or not stat.S_ISREG(about.st_mode):
            try:
                raw, about = read_bytes(target)
            except PlanError as error:
                raise StoreError(str(error)) from None
            same = self._read is not None and fingerprint(raw, about).sha256 == self._read.sha256
        if not same:
            raise ChangedOnDisk(
                f"{shown}: somebody else wrote this file meanwhile; accepted is to open it again, to save under "
                "another name, or to overwrite it"
            )

"""Everything that fuseplan raises on purpose, in one tree.

::

    FuseplanError
    ├── PlanError        a plan cannot be read or does not hold together; carries every Problem found
    ├── AmountError      one quantity cannot be understood: no unit, wrong dimension, out of range
    ├── TableError       a published table is missing, incomplete or asked for a row it does not have
    ├── LimitsError    a set of published limits is not known or not complete
    ├── StoreError       a file cannot be read or written
    │   └── ChangedOnDisk    the file is not what was read: somebody else wrote it meanwhile
    │       └── RemovedOnDisk    the file is no longer there
    ├── PaperError       a paper cannot be set: what it is made of does not fit, or what writes it is not installed
    ├── FigureError      a figure to be explained does not exist
    ├── EditError        an edit names something that is not there or may not be
    └── FaultError       the program itself failed at something; what it worked on is as it was before

Each message is a sentence that names the thing, the value and what is accepted.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class FuseplanError(Exception):
    """Root of all errors meant for the user."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong with a file: where, what, and what is accepted.

    ``line`` counts from 1; 0 stands for the file as a whole.
    """

    file: str
    line: int
    message: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        return f"{where}: {self.message}"


class PlanError(FuseplanError):
    """A plan cannot be read. ``problems`` holds all that was found, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(problems))
        super().__init__("\n".join(str(problem) for problem in self.problems))


class AmountError(FuseplanError, ValueError):
    """A quantity cannot be understood. Also a ValueError, so that model validation collects it.

    ``offers`` holds texts that could have been meant; each is accepted where this one was refused.
    """

    def __init__(self, message: str, offers: Iterable[str] = ()) -> None:
        self.offers: tuple[str, ...] = tuple(offers)
        super().__init__(message)


class TableError(FuseplanError):
    """A published table is missing, lacks its head, or has no such row."""


class LimitsError(FuseplanError):
    """A set of limits is not known, or its file is not complete."""


class StoreError(FuseplanError):
    """A file cannot be read or written."""


class ChangedOnDisk(StoreError):
    """The file on disk is not the one that was read."""


class RemovedOnDisk(ChangedOnDisk):
    """The file that was read is no longer there."""


class PaperError(FuseplanError):
    """A paper cannot be set, or what writes it is not installed."""


class EditError(FuseplanError):
    """An edit names something that does not exist or is not allowed."""


class FaultError(FuseplanError):
    """The program itself failed at something; what it worked on is as it was before."""


class FigureError(FuseplanError):
    """There is no figure of that address."""

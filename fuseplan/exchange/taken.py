"""What a list would change in a plan, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping

from fuseplan.plan.references import Path
from fuseplan.records import dataclass

MOST_PROBLEMS = 50


@dataclass(frozen=True)
class Problem:
    """One thing wrong with a list: where, as ``row 7, column 'Current'``, and what is accepted."""

    where: str
    message: str

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message


@dataclass(frozen=True)
class Taken:
    """What a list would change in a plan.

    Attributes:
        changes: values by path, as `PlanDocument.change` takes them; empty where anything is wrong
        rows: for each row of the table the entry it belongs to and what it says, by key of the list
        problems: what is wrong, in the order of the file, at most `MOST_PROBLEMS` of them
    """

    changes: tuple[tuple[Path, object], ...]
    rows: tuple[tuple[str, Mapping[str, str]], ...]
    problems: tuple[Problem, ...]

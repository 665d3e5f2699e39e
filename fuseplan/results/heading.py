"""What every document of a solved plan begins with."""

from __future__ import annotations

from typing import Literal

from fuseplan import __version__
from fuseplan.results.part import Part, entry
from fuseplan.results.solved_plan import SolvedPlan

FORMAT: Literal[2] = 2
"""Of the documents: the number changes when a key changes its name or its meaning. No release has been made yet: until
the first, 2 stands for the meanings the schema states now, and its descriptions say what each figure is of."""


class Document(Part):
    """A document of one plan."""

    solved: SolvedPlan

    @entry("version of the program")
    def fuseplan(self) -> str:
        return __version__

    @entry("version of the format of this document; what each figure means under it, its own description says")
    def format(self) -> Literal[2]:
        return FORMAT

    @entry("name of the plan")
    def plan(self) -> str | None:
        return self.solved.plan.vehicle.name

    @entry("the set of published limits it was checked against")
    def limits(self) -> str:
        return self.solved.limit_set.name

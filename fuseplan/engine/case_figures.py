"""What depends on the currents, case by case: at the two bounds of a plan's own currents, or in samples of them."""

from __future__ import annotations

from fuseplan.array_types import Floats
from fuseplan.engine.demand import Demands
from fuseplan.engine.drops import Drops
from fuseplan.engine.relays import Switching
from fuseplan.engine.solve import Solved
from fuseplan.records import dataclass


@dataclass(frozen=True)
class CaseFigures:
    """The figures that limits are for, in n cases of the currents."""

    solution: Solved
    """With the strongest load of each `either` group on."""
    running: Solved
    """The same with an alternator of unknown output holding its regulator voltage."""
    demands: Demands
    drops: Drops
    switching: Switching
    smallest_fuse_a: Floats
    """Smallest rating the load of each protective device allows (n, J) [A]."""
    average_a: Floats
    """Demand with every current weighed by its duty (n, C) [A]; of samples, NaN where it is held against no output."""
    held_back_a: Floats
    """What the battery gives of that where the alternator could give more, 0 elsewhere (n, C) [A]."""
    continuous_a: Floats
    """Loads in continuous and prolonged use (n, C) [A], as `average_a`."""

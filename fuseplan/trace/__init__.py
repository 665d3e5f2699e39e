"""The vocabulary in which the engine writes its own working.

In an ordinary run each word is a plain call that hands its figures on. Inside `record()` the same engine runs on arrays
that know how each of their cells came about (`Traced`), and `steps_of` walks back from one cell to what the plan, a
table or a set of limits says.
"""

from fuseplan.trace.arrays import Noted, Traced, bare, is_followed, plainly
from fuseplan.trace.switch import cached, record, recording
from fuseplan.trace.vocabulary import (
    Series,
    Who,
    apply,
    blank,
    chosen,
    cited,
    decided,
    gathered,
    given,
    in_series,
    larger,
    largest,
    number,
    per_part,
    smaller,
    smallest,
    solved,
    spread,
    summed,
    together,
    total,
)
from fuseplan.trace.walk import steps_of

__all__ = [
    "Noted", "Series", "Traced", "Who", "apply", "bare", "blank", "cached", "chosen", "cited", "decided", "gathered",
    "given", "in_series", "is_followed", "larger", "largest", "number", "per_part", "plainly", "record", "recording",
    "smaller", "smallest", "solved", "spread", "steps_of", "summed", "together", "total",
]

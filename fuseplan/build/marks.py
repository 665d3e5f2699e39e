"""Marks along a wire and the labels at its ends: how many, how high their letters, how long a label that goes round."""

from __future__ import annotations

from textwrap import wrap

from fuseplan.build.pairs import PairLine
from fuseplan.build.wires import Piece
from fuseplan.formulas.building import character_height, wrap_length
from fuseplan.quantities.decimals import steps
from fuseplan.quantities.printable import shown
from fuseplan.quantities.tied import tied, untied
from fuseplan.records import dataclass
from fuseplan.tables.building import visual_angle_arc_min, wire_mark_mm

READING_MM = 300.0
"""Distance from which a wire label is read: close, with the wire in the hand. Our choice."""
_LINE_PITCH = 1.4
"""Height of a line of print over the height of its letters. Common practice, no source."""
_HEIGHT_STEP_MM = 0.05
_THIN_MM = 3.0
"""Below this diameter a line shows only across part of the way round: the text is repeated. Our choice."""
_MOST_LETTERS = 24
"""Letters in a line: what goes on a label 38 mm wide at this height. Our choice."""
_OF_CORE = 2
"""Marks on a core of a cable: one at each end."""


@dataclass(frozen=True)
class WireLabel:
    """The label at one end of a wire."""

    piece: Piece
    at_start: bool
    lines: tuple[str, ...]
    height_mm: float
    wrap_mm: float | None
    """Length of a label that goes round, None where the wire's diameter is not known."""

    @property
    def where(self) -> str:
        """Which end of which wire."""
        end = self.piece.start if self.at_start else self.piece.end
        return f"wire {self.piece.number}, end at {end.words}"


def marks_on(length_mm: float) -> int:
    """Number of marks on a wire of a length in mm: none on a short one, one near the middle, else one at each end and
    no more than 381 mm from one to the next (AC 43.13-1B par. 11-208)."""
    if length_mm < wire_mark_mm("shortest marked").value:
        return 0
    if length_mm <= wire_mark_mm("one mark up to").value:
        return 1
    return 2 + max(0, steps(length_mm, wire_mark_mm("apart at most").value) - 1)


def letter_height_mm(reading_mm: float = READING_MM) -> float:
    """Height of the letters of a label that is read from a distance, rounded up to 0.05 mm."""
    needed = float(character_height(reading_mm, visual_angle_arc_min("preferred from").value))
    return steps(needed, _HEIGHT_STEP_MM) * _HEIGHT_STEP_MM


def wire_marks(piece: Piece) -> int | None:
    """Marks on a wire; None where its length is not known."""
    if piece.path_m is None:
        return None
    return sum(marks_on(each.cut_m * 1000.0) for each in piece.cuts) if piece.cuts else marks_on(piece.path_m * 1000.0)


def cable_marks(piece: Piece, cable: PairLine | None) -> int | None:
    """Marks on a wire that may be a core of a cable: such a one is marked at its two ends alone, and the cable's jacket
    along its length, which counts with its first core. None where a length is not known."""
    if cable is None:
        return wire_marks(piece)
    if piece.key != cable.pieces[0].key:
        return _OF_CORE
    return None if cable.cut_m is None else _OF_CORE + marks_on(cable.cut_m * 1000.0)


def wire_labels(piece: Piece) -> tuple[WireLabel, WireLabel]:
    """The labels of both ends. On a thin wire the text stands twice, so that it is seen from every side."""
    height = letter_height_mm()
    found = []
    for at_start in (True, False):
        far = piece.end if at_start else piece.start
        text = (piece.label,) * (2 if piece.outside_mm is not None and piece.outside_mm < _THIN_MM else 1)
        lines = (*text, *map(untied, wrap(tied(shown(f"to {far.short}")), _MOST_LETTERS)))
        round_mm = None if piece.outside_mm is None else float(wrap_length(len(lines) * height * _LINE_PITCH,
                                                                       piece.outside_mm))
        found.append(WireLabel(piece, at_start, lines, height, round_mm))
    return found[0], found[1]

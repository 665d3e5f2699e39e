"""What lies in each run: its diameter, tube and grommet, clips and bends."""

from __future__ import annotations

from fuseplan.build.pairs import PairLine
from fuseplan.build.wires import Piece
from fuseplan.formulas.building import bundle_diameter, largest_bundle
from fuseplan.plan.model import Run
from fuseplan.quantities import writing
from fuseplan.quantities.decimals import steps
from fuseplan.records import dataclass
from fuseplan.tables.building import bend_diameters, bundle_factor, corrugated_tubes
from fuseplan.tables.pullout import clearances, clip_spacing

SPREAD = 0.10
"""By how much a bundle may come out thicker or thinner: the published methods differ by as much."""
FILL = 0.70
"""Share of a tube's area that may be filled: a conduit maker's sheet."""
_CLIPS = "body-builder practice"
_HOLE = "panel penetration"


@dataclass(frozen=True)
class Bundle:
    """One run and the wires in it."""

    id: str
    number: str
    """What it is called on every paper: ``R4``."""
    run: Run
    pieces: tuple[Piece, ...]
    diameter_mm: float | None
    """None where a wire's diameter is not known."""
    no_diameter: tuple[str, ...]
    """Numbers of those wires."""
    no_jacket: tuple[str, ...] = ()
    """Names of its shielded cables whose diameter is not entered: their cores count, their jackets do not."""

    @property
    def title(self) -> str:
        """What the run is called."""
        return self.run.name or self.id.replace("_", " ")

    @property
    def thickest_mm(self) -> float | None:
        """Diameter it may come out at."""
        return None if self.diameter_mm is None else self.diameter_mm * (1.0 + SPREAD)

    @property
    def sleeve_inside_mm(self) -> float | None:
        """Inside diameter its tube must have at least."""
        return None if self.thickest_mm is None else self.thickest_mm / float(largest_bundle(1.0, FILL))

    @property
    def fill(self) -> float | None:
        """Share of its own tube's area that it fills; None where one of the two is not known."""
        inside = self.run.sleeve_inside
        if self.thickest_mm is None or inside is None:
            return None
        return (self.thickest_mm / float(largest_bundle(float(inside) * 1000.0, 1.0))) ** 2

    @property
    def is_too_full(self) -> bool | None:
        """It fills its tube more than it may; None where that is not known."""
        return None if self.fill is None else self.fill > FILL

    @property
    def tube_mm(self) -> tuple[float, float] | None:
        """Inside and outside diameter of the narrowest tube on file that takes it; None where none does."""
        if self.sleeve_inside_mm is None:
            return None
        rows = corrugated_tubes().rows()
        return next(((float(str(row["inside_mm"])), float(str(row["outside_mm"]))) for row in rows
                     if float(str(row["inside_mm"])) >= self.sleeve_inside_mm), None)

    @property
    def bend_mm(self) -> float | None:
        """Smallest bend radius as fitted."""
        if self.thickest_mm is None:
            return None
        words = "single car wire" if len(self.pieces) == 1 else "cable of several wires, as fitted"
        return self.thickest_mm * bend_diameters(words).value

    @property
    def clips(self) -> int | None:
        """Supports it needs, one at each end; None where its length is not known."""
        if self.run.length is None:
            return None
        return steps(float(self.run.length), clip_mm() / 1000.0) + 1

    @property
    def hole_is_tight(self) -> bool | None:
        """Its hole needs a grommet: there is less room round the bundle than an unlined hole must leave."""
        if self.run.hole is None or self.thickest_mm is None:
            return None
        return float(self.run.hole) * 1000.0 < self.thickest_mm + 2.0 * hole_clearance_mm()


def bundles(found: tuple[Piece, ...], runs: dict[str, Run], cables: tuple[PairLine, ...] = ()) -> tuple[Bundle, ...]:
    """The runs of a plan with their wires; the cores of a cable whose diameter is entered count as that cable."""
    return tuple(_bundle(name, f"R{number}", run, tuple(piece for piece in found if name in piece.runs), cables)
                 for number, (name, run) in enumerate(runs.items(), 1))


def _bundle(name: str, number: str, run: Run, inside: tuple[Piece, ...], cables: tuple[PairLine, ...]) -> Bundle:
    here = [line for line in cables if any(piece in inside for piece in line.pieces)]
    cores = {piece.key for line in here if line.outside_mm is not None for piece in line.pieces}
    alone = [piece for piece in inside if piece.key not in cores]
    known = [line.outside_mm for line in here if line.outside_mm is not None]
    known += [piece.outside_mm for piece in alone if piece.outside_mm is not None]
    unknown = tuple(piece.number for piece in alone if piece.outside_mm is None)
    return Bundle(name, number, run, inside, None if unknown or not known else diameter_mm(known), unknown,
                  tuple(line.name for line in here if line.is_shielded and line.outside_mm is None))


def diameter_mm(outside_mm: list[float]) -> float:
    """Diameter of wires laid together: the largest of the square-sum rule, the factor of equal wires, and the two
    thickest side by side."""
    if len(outside_mm) == 1:
        return outside_mm[0]
    found = [sum(sorted(outside_mm)[-2:]), float(bundle_diameter(sum(each**2 for each in outside_mm)))]
    factor = bundle_factor(len(outside_mm))
    if factor is not None and max(outside_mm) - min(outside_mm) < 1e-9:
        found.append(factor.value * outside_mm[0])
    return max(found)


def clip_mm() -> float:
    """Largest distance between supports that is taken: the middle one of those published for a loom along a body."""
    return clip_spacing().known("words", _CLIPS, "spacing_mm").value


def hole_clearance_mm() -> float:
    """Room a loom needs round it in a hole without a grommet (AC 43.13-1B par. 11-115)."""
    return clearances().known("thing", _HOLE, "clearance_mm").value


JACKETS = ("The cores of a cable count as that cable where the diameter over its jacket is entered (cable_diameter); "
           "otherwise its jacket is not counted, and the bundle is thicker than stated.")
BASIS = ("Bundle: the largest of 1.2 √Σd² (a wire distributor's page), the published factor for equal wires, and the "
         f"two thickest side by side; {writing.stated(SPREAD, 'share')} more is allowed for. Tube filled to "
         f"{writing.stated(FILL, 'share')} at most (a conduit maker's sheet). Bends: NASA-STD-8739.4 par. 7.3.21; a "
         f"single wire from a car maker's sample data. {JACKETS}")
"""What every list of bundles says about them."""

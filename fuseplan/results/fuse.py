"""A protective device: rating in force or proposed, and the range between load and wire."""

from __future__ import annotations

from fuseplan.engine.fusing import Fusing
from fuseplan.quantities.writing import LARGEST_FUSE, SMALLEST_FUSE
from fuseplan.results.part import Part, entry, figure, figure_of, part
from fuseplan.results.solved_plan import Owner, SolvedPlan, known
from fuseplan.tables import fuses as fuse_tables


def _ends_here(fusing: Fusing, index: int, high_a: float | None) -> float | None:
    """The upper end of a range; None where of a wire behind the device nothing is on file, as that one may allow less.
    One below what the load needs stands: no fuse fits, whatever else is not known."""
    low_a = float(fusing.low_a[0, index])
    return high_a if not fusing.silent[index] or (high_a is not None and low_a > high_a) else None


class FuseRange(Part, array=True):
    """Smallest rating the load allows, largest that the wires and the makers of the equipment allow."""

    solved: SolvedPlan
    index: int

    low = figure_of(lambda part: part.solved.results.fusing.low_a[0, part.index],
                    "smallest fuse for the load", unit="A", side="burden", written=SMALLEST_FUSE)

    @figure("largest fuse for wire and equipment", unit="A", side="limit", written=LARGEST_FUSE)
    def high(self) -> float | None:
        fusing = self.solved.results.fusing
        return _ends_here(fusing, self.index, known(fusing.high_a[self.index]))

    @property
    def is_empty(self) -> bool:
        """The load asks for more than the wire allows."""
        return self.low is not None and self.high is not None and self.low > self.high


class FuseResult(Part):
    """A protective device and its range."""

    solved: SolvedPlan
    index: int

    @entry("type of fuse, breaker or link")
    def kind(self) -> str:
        return self.solved.results.network.fuses[self.index].fuse.kind

    rating_a = figure_of(lambda part: part.solved.results.fusing.rating_a[part.index],
                         "rating of the fuse", unit="A", side="stated")

    @entry("the plan gives the rating; otherwise it is the proposed one")
    def entered(self) -> bool:
        return self.solved.results.network.fuses[self.index].fuse.rating is not None

    proposed_a = figure_of(lambda part: part.solved.results.proposals.proposed_a[part.index],
                           "rating proposed", unit="A", side="stated")

    @entry("colour printed on the part, in words")
    def colour(self) -> str | None:
        if self.rating_a is None:
            return None
        found = fuse_tables.colour(self.kind, self.rating_a)
        return None if found is None else found.value

    @part("fuse range")
    def range_a(self) -> FuseRange:
        return FuseRange(self.solved, self.index)

    @figure("largest fuse for the wire", unit="A", side="limit", written=LARGEST_FUSE)
    def largest_for_wire_a(self) -> float | None:
        fusing = self.solved.results.fusing
        return _ends_here(fusing, self.index, known(fusing.wire_a[self.index]))

    max_fuse_a = figure_of(lambda part: part.solved.results.fusing.maker_a[part.index],
                           "largest fuse its equipment's makers allow", unit="A", side="limit", written=LARGEST_FUSE)
    share = figure_of(lambda part: part.solved.results.fusing.share[0, part.index],
                      "continuous load current over the fuse rating", unit="share", side="burden")

    @figure("ambient temperature at the fuse", unit="°C", side="burden")
    def ambient_c(self) -> float:
        return self.solved.results.network.fuses[self.index].ambient_c

    @entry("its position in the fuse box, as entered")
    def position(self) -> str | None:
        return self.solved.results.network.fuses[self.index].fuse.position

    @property
    def binding(self) -> int:
        """Number of the segment that limits it; -1 without one."""
        return int(self.solved.results.fusing.binding[self.index])

    @property
    def is_set_elsewhere(self) -> bool:
        """The wire that limits it is one of another part behind it: that carries its own share of the load alone."""
        network = self.solved.results.network
        return self.binding >= 0 and network.segments.owner[self.binding] != network.fuses[self.index].owner

    @property
    def is_set_by_maker(self) -> bool:
        """The makers of the equipment allow less than the wires."""
        maker_a, wire_a = self.max_fuse_a, known(self.solved.results.fusing.wire_a[self.index])
        return maker_a is not None and (wire_a is None or maker_a < wire_a)

    @property
    def none_fits(self) -> bool:
        """Every rating inside the fuse range would break another check: none is proposed."""
        return self.index in self.solved.results.proposals.rejected and self.proposed_a is None

    @property
    def for_surge(self) -> bool:
        """A rating inside the fuse range is passed over because it may open at switch-on."""
        return any("switch-on" in each.reason for each in self.solved.results.proposals.rejected.get(self.index, ()))


def fuse_result(solved: SolvedPlan, owner: Owner) -> FuseResult | None:
    """The protective device of an owner, None without one."""
    index = solved.fuse_of.get(owner)
    return None if index is None else FuseResult(solved, index)

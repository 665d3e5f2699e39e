"""All that is worked out for building from one assessment, each part when it is first asked for."""

from __future__ import annotations

from functools import cached_property, lru_cache

from fuseplan.build.bundles import Bundle, bundles
from fuseplan.build.buying import BuyLine, buy_list
from fuseplan.build.connections import PinLine, SpliceLine, pin_lines, splice_lines
from fuseplan.build.devices import FittedRelay, FittedSwitch, relays, switches
from fuseplan.build.earth_map import EarthPoint, earth_points
from fuseplan.build.fuse_maps import AnyFuse, BoxMap, FittedFuse, box_maps, far_fuses, fitted_fuses, outside_boxes
from fuseplan.build.geometry import LoomLayout, layout
from fuseplan.build.numbers import Owner
from fuseplan.build.open_points import OpenPoint, open_points
from fuseplan.build.pairs import PairLine, pair_lines
from fuseplan.build.paths import CircuitPath, circuit_path
from fuseplan.build.states import StateLine, state_lines
from fuseplan.build.ways import Key, Way, ways
from fuseplan.build.wires import Piece, by_owner, coils_by_owner, pieces
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.idle_feeds import idle_feeds
from fuseplan.records import dataclass


@dataclass(frozen=True, eq=False)
class BuildFacts:
    """What is cut, crimped, labelled, fitted and bought."""

    assessment: Assessment

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """All wires, in the order of the plan."""
        return pieces(self.assessment)

    @cached_property
    def owned(self) -> dict[Owner, list[Piece]]:
        """Wires of each part of the plan, those of its relay's coil not among them."""
        return by_owner(self.pieces)

    @cached_property
    def coils(self) -> dict[Owner, list[Piece]]:
        """Wires of the coil of each part's relay."""
        return coils_by_owner(self.pieces)

    @cached_property
    def bundles(self) -> tuple[Bundle, ...]:
        """What lies in each run."""
        return bundles(self.needed, dict(self.assessment.plan.run), self.pairs)

    @cached_property
    def ways(self) -> dict[Key, Way]:
        """The way of each wire along the runs."""
        return ways(self.bundles)

    @cached_property
    def layout(self) -> LoomLayout:
        """The loom laid out flat."""
        return layout(self.bundles)

    @cached_property
    def fuses(self) -> tuple[FittedFuse, ...]:
        """All fuses fitted."""
        return fitted_fuses(self.assessment)

    @cached_property
    def boxes(self) -> tuple[BoxMap, ...]:
        """Every fuse box as it looks."""
        return box_maps(self.assessment, self.fuses)

    @cached_property
    def loose_fuses(self) -> tuple[FittedFuse, ...]:
        """Fuses that sit in no position of a box."""
        return outside_boxes(self.fuses, self.boxes)

    @cached_property
    def idle(self) -> frozenset[str]:
        """Feeds with nothing on them yet, for which nothing is bought and no wire is cut."""
        return idle_feeds(self.assessment.plan)

    def is_idle(self, owner: Owner) -> bool:
        """Whether a part is such a feed."""
        return owner[0] == "feed" and owner[1] in self.idle

    @cached_property
    def needed(self) -> tuple[Piece, ...]:
        """All wires but those that would be cut for such a feed: what lies in runs, ends on pins and is joined."""
        return tuple(piece for piece in self.pieces if not (piece.is_cut and self.is_idle(piece.owner)))

    @cached_property
    def far_fuses(self) -> tuple[AnyFuse, ...]:
        """The fuses at second batteries."""
        return far_fuses(self.assessment.plan)

    @cached_property
    def relays(self) -> tuple[FittedRelay, ...]:
        """All relays with what is on their pins."""
        return relays(self.assessment, self.owned, self.coils)

    @cached_property
    def switches(self) -> tuple[FittedSwitch, ...]:
        """All plain switches that carry their load."""
        return switches(self.assessment, self.owned)

    @cached_property
    def states(self) -> tuple[StateLine, ...]:
        """Which circuit is live at which position of the key."""
        return state_lines(self.assessment)

    @cached_property
    def pins(self) -> tuple[PinLine, ...]:
        """Every pin of every connector that a wire ends on."""
        return pin_lines(self.assessment.plan, self.needed)

    @cached_property
    def pairs(self) -> tuple[PairLine, ...]:
        """Twisted pairs and shielded cables."""
        return pair_lines(self.assessment.plan, self.needed)

    @cached_property
    def cables(self) -> tuple[PairLine, ...]:
        """Those of them that are cut and bought as one length of cable."""
        return tuple(line for line in self.pairs if line.is_cut)

    @cached_property
    def cable_of(self) -> dict[tuple[Owner, str], PairLine]:
        """The cable each wire that is cut as a part of one belongs to, by the wire's key."""
        return {piece.key: line for line in self.cables for piece in line.pieces}

    @cached_property
    def splices(self) -> tuple[SpliceLine, ...]:
        """Every splice and joint."""
        return splice_lines(self.assessment.plan, self.needed)

    @cached_property
    def earths(self) -> tuple[EarthPoint, ...]:
        """Every earth point with what lands on it."""
        return earth_points(self.assessment, self.needed)

    @cached_property
    def buying(self) -> tuple[BuyLine, ...]:
        """What has to be bought."""
        return buy_list(self)

    @cached_property
    def open_points(self) -> tuple[OpenPoint, ...]:
        """What would still have to be asked."""
        return open_points(self)

    def path(self, circuit: str) -> CircuitPath:
        """The whole way of a circuit; KeyError where it does not exist."""
        return circuit_path(self.assessment, circuit, self.owned, self.coils)


@lru_cache(maxsize=2)
def build_facts(assessment: Assessment) -> BuildFacts:
    """The facts of an assessment; kept, so that all papers of a set share them."""
    return BuildFacts(assessment)

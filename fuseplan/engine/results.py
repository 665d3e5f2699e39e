"""One plan under one set of limits, solved: the arrays every check, screen, paper and command reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.engine.assumed import fuse_words
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.ceilings import Ceilings, ceilings_of
from fuseplan.engine.demand import Demands, drawn_of, shared_demands
from fuseplan.engine.devices import Devices
from fuseplan.engine.drops import Drops
from fuseplan.engine.fault import FarEnds, Faults, clears, faults_of, least_way_ohm
from fuseplan.engine.fusing import Fusing
from fuseplan.engine.heat import balance_ampacity_a, steady_c, table_ampacity_a
from fuseplan.engine.inrush import Inrush
from fuseplan.engine.known import Known, known_of
from fuseplan.engine.network import Network, printed_fuse_resistance
from fuseplan.engine.power import Balance
from fuseplan.engine.proposed_ratings import ChosenBy, Ranges, with_proposals
from fuseplan.engine.relays import InPlace, Switching, fitted_contacts
from fuseplan.engine.second_state import discharge_if_low_a
from fuseplan.engine.selectivity import Pair, pairs_of
from fuseplan.engine.solve import Solution, solve
from fuseplan.engine.source import Source
from fuseplan.engine.surges import Surges
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Load
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables
from fuseplan.trace import bare, decided, number, spread, total

if TYPE_CHECKING:
    from fuseplan.engine.power_report import Power


@dataclass(frozen=True)
class Results:
    """All that is computed of a plan, before anything is judged."""

    network: Network
    source: Source
    solution: Solution
    choices: tuple[Solution, ...]
    """The solution, and one for each other choice of which load of every `either` group is on."""
    regulated: Solution | None
    """The same with an alternator of unknown output holding its regulator voltage; None where the output is known."""
    demands: Demands
    surges: Surges
    fusing: Fusing
    drops: Drops
    balance: Balance
    switching: Switching
    fuse_ohm: Floats
    """Cold resistance of each protective device at its rating in force (J,)."""
    far_ends: FarEnds
    """The smallest short-circuit currents."""
    chosen_by: ChosenBy
    """What ratings are proposed by."""
    fixes_wanted: bool = True
    """False where only what fails is asked for, and how it is mended is not worked out."""
    asked_sizes: Mapping[int, str] = field(default_factory=dict)
    """The thickest size that any check asks for in place of a segment, where another asks for less."""
    as_fitted: Results | None = None
    """Those of the plan as it stands, where these are of one with other sizes: wires are told as they are fitted."""

    @cached_property
    def answers(self) -> dict[tuple[Any, ...], Any]:
        """What was answered once (`noting`)."""
        return {}

    @cached_property
    def proposals(self) -> Fusing:
        """The fuse ranges with what is or would be proposed for every device, those with a rating in the plan too."""
        return with_proposals(*self.chosen_by, entered_too=True)

    @property
    def running(self) -> Solution:
        """The solution that says what a load has with the engine running."""
        return self.solution if self.regulated is None else self.regulated

    @cached_property
    def strong(self) -> Solution:
        """The network with an alternator strong enough to hold its voltage in every condition with the engine
        running."""
        return solve(self.network, self.source.strong, self.fuse_ohm, wires=self.solution.wires)

    @cached_property
    def at_bounds(self) -> CaseFigures:
        """What limits are for, at the currents as entered and at their upper bounds."""
        return CaseFigures(self.solution, self.running, self.demands, self.drops, self.switching, self.fusing.low_a,
                           self.balance.demand_a, np.where(self.balance.held_back, -self.balance.battery_a, 0.0),
                           self.balance.continuous_a)

    @cached_property
    def shared_in_conditions(self) -> tuple[Floats, Floats]:
        """Demand on the feeds (C, 3, feeds) and on the earth points (C, 3, earths) in each condition alone, as entered
        [A]."""
        drawn = drawn_of(self.network, self.solution.cases, self.source)
        found = [shared_demands(self.network, drawn, self.choices, self.source, self.regulated, condition)
                 for condition in range(len(self.network.conditions))]
        at_feeds, at_earths = zip(*found, strict=True)
        return np.stack(at_feeds)[:, 0], np.stack(at_earths)[:, 0]

    @cached_property
    def charged_through(self) -> frozenset[tuple[str, str]]:
        """The feeds and earth points, as (kind, id), through which the alternator charges the battery."""
        network = self.network
        if network.alternator < 0:
            return frozenset()
        ways = (("feed", network.feed_node, network.supply), ("earth", network.earth_node, network.returns))
        return frozenset((kind, name) for kind, nodes, tree in ways
                         for holds in (tree.holds(network.alternator),) for name, node in nodes.items() if holds[node])

    @property
    def worst(self) -> tuple[Solution, ...]:
        """The solutions a shared branch's demand is the largest of."""
        return self.choices if self.regulated is None else (*self.choices, self.regulated)

    @property
    def charging_known(self) -> bool:
        """Whether it is known what charges: an alternator whose output is not given must not read as one that gives
        0 A. A car without an alternator is known to have none."""
        return self.plan.alternator is None or self.source.alternator_known

    @cached_property
    def lost(self) -> NDArray[np.bool_]:
        """Rows (R,), bound by bound, in which no state was found that battery, alternator and wires allow: nothing of
        them is known."""
        return np.asarray(np.isnan([each.root_v for each in (*self.worst, self.balance.average)]).any(axis=0))

    def balance_known(self, condition: int) -> bool:
        """Whether output and balance of a condition are known: with the engine still no alternator counts."""
        return self.charging_known or not bool(self.source.running[condition])

    @cached_property
    def known(self) -> Known:
        """Which resistances and voltages rest on nothing unknown."""
        return known_of(self.network, self.fusing.rating_a)

    @cached_property
    def least_way_ohm(self) -> Floats:
        """Resistance of wires and fuses from the battery out to each consumer and back, at 20 °C and as far as it is
        known (L,) [ohm]."""
        return least_way_ohm(self.network, self.devices.cold_ohm(printed_fuse_resistance))

    @cached_property
    def _in_force(self) -> Ranges:
        """Surges and fuse ranges with the ratings in force."""
        ranges = self.chosen_by.ranges
        return ranges if ranges.fusing is self.fusing else replace(ranges, fusing=self.fusing)

    @property
    def devices(self) -> Devices:
        """The protective devices by type and rating in force."""
        return self._in_force.devices

    @cached_property
    def faults(self) -> Faults:
        """Short circuits, when asked for."""
        return faults_of(self.network, self.source, self.far_ends, self.printed_ohm, self.devices,
                         self.fusing.rating_a, self.segment_limit_a)

    @property
    def printed_ohm(self) -> Floats:
        """Cold resistance of each device as far as it is printed, for the most a short draws (J,) [ohm]."""
        kinds, rating = self.network.fuse_kinds, bare(self.fusing.rating_a)

        def words(device: int) -> tuple[str, str]:
            printed = None if np.isnan(rating[device]) else fuse_tables.cold_resistance_ohm(kinds[device],
                                                                                           float(rating[device]))
            if printed is None:
                return f"{kinds[device]} fuse: no resistance printed, counted as nothing", "no table on file"
            return fuse_words(kinds[device], float(rating[device]))

        return decided(self.devices.cold_ohm(printed_fuse_resistance), "R", "ohm", lambda device: words(device)[0],
                       lambda device: words(device)[1])

    def opens_s(self, device: int, current_a: float) -> float:
        """Greatest opening time of a device at a current [s]: infinite where it may never open, NaN where no limits are
        on file or nothing protects."""
        asked, current = np.array([device], dtype=np.int64), spread(current_a, 1)
        return number(clears(self.network, self.devices, asked, current, self.fusing.rating_a)[0][0])

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """Every protective device against the one above it, when asked for."""
        return pairs_of(self.network, self.faults, self.devices)

    @property
    def inrush(self) -> Inrush:
        """How the devices bear the switch-on surges, when asked for."""
        return self._in_force.inrush

    @cached_property
    def fitted_contacts(self) -> Mapping[int, InPlace]:
        """The relay contact of each circuit that has one, by the number of the circuit."""
        return fitted_contacts(self.network)

    @cached_property
    def balance_ampacity_a(self) -> Floats:
        """What a heat balance would let each segment carry alone, in A (S,), when asked for."""
        return balance_ampacity_a(self.network)

    @cached_property
    def table_ampacity_a(self) -> Floats:
        """What the limits' table would let each segment carry alone at its ambient, in A (S,), when asked for."""
        return table_ampacity_a(self.network)

    @cached_property
    def steady_c(self) -> Floats:
        """Steady temperature of each segment by heat balance in °C (S,), when asked for."""
        return steady_c(self.network, self.solution, self.demands)

    @property
    def power(self) -> Power:
        """Alternator, battery, cranking, standing and trips, each part when asked for."""
        from fuseplan.engine.power_report import Power

        return Power(self)

    @cached_property
    def discharge_if_low_a(self) -> Floats:
        """Current out of the battery in A once the voltage has been down at the battery's (bound, C); 0 where the
        alternator gets back to its regulator voltage."""
        return discharge_if_low_a(self.network, self.source, self.fuse_ohm, self.balance)

    @cached_property
    def conductors(self) -> Floats:
        """The largest number of conductors counted in the fullest run of each segment, itself included (S,)."""
        loaded, rule, names = self.solution.loaded, self.limit_set.group, self.network.names

        def words(index: int) -> str:
            fullest = names.condition(int(loaded[:, index].argmax()))
            return f"conductors counted in its fullest run {fullest}, itself included; {rule.basis}"

        return np.asanyarray(decided(loaded.max(axis=0, initial=0).astype(float), "N", "-", words,
                                     f"limits {self.limit_set.name}"))

    def current_a(self, condition: int, members: Sequence[int]) -> float:
        """Current of some consumers together in a condition [A]."""
        return number(total(self.solution.consumer_a[condition, list(members)], 0, "loads that are on",
                            lambda place: self.network.names.consumer(members[place]), follow=lambda _: True))

    def entered(self, rows: Floats) -> Floats:
        """The rows of a solution's array that belong to the currents as entered."""
        return rows[:len(self.network.conditions)]

    @property
    def plan(self) -> Plan:
        """The plan they are of."""
        return self.network.plan

    @property
    def limit_set(self) -> LimitSet:
        """The set of limits the plan was compiled with."""
        return self.network.limit_set

    @cached_property
    def segment_limit_a(self) -> NDArray[np.float64]:
        """Ampacity of each segment in the worst condition in which it carries current (S,)."""
        return self.solution.wires.limit_a

    @cached_property
    def largest_fuse_a(self) -> NDArray[np.float64]:
        """Largest fuse each segment allows by itself (S,); NaN where nothing is on file for it."""
        segments = self.network.segments
        return self.limit_set.largest_fuse_a(segments.area_mm2, self.segment_limit_a, segments.base_a)

    @cached_property
    def ceilings(self) -> Ceilings:
        """What bounds the segments of which nothing is on file."""
        return ceilings_of(self.network, self.segment_limit_a, self.largest_fuse_a)

    @property
    def load_consumers(self) -> NDArray[np.int64]:
        """Numbers of the consumers that are loads."""
        return self.network.load_consumers

    @property
    def loads(self) -> list[Load]:
        """The load each of `load_consumers` stands for, in the same order."""
        return self.network.loads

"""Figures of one circuit, its fuse, its wires and its short circuit, taken from the arrays when asked for."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fuseplan.engine.fault import survives
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.missing import Unknown, leaves_unknown
from fuseplan.engine.relays import need
from fuseplan.engine.selectivity import Order
from fuseplan.engine.still_wire import DISAGREES
from fuseplan.plan.model import Circuit
from fuseplan.plan.parts import Segment
from fuseplan.tables import fuses as fuse_tables

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment, Verdict
    from fuseplan.checks.assumptions import Assumption
    from fuseplan.checks.rule import Finding


def known(value: float) -> float | None:
    """None for NaN and infinities."""
    number = float(value)
    return number if math.isfinite(number) else None


@dataclass(frozen=True)
class FuseView:
    """A protective device: entered or proposed rating and its window."""

    kind: str
    rating_a: float | None
    entered: bool
    proposed_a: float | None
    low_a: float | None
    low_upper_a: float | None
    high_a: float | None
    share: float | None
    binding: int
    ambient_c: float
    position: str | None
    none_fits: bool
    """Every rating inside the fuse range would break another check: none is proposed."""
    for_surge: bool
    """A rating inside the fuse range is passed over because it may open at switch-on."""

    @property
    def colour(self) -> str | None:
        """Colour printed on the part, in words."""
        if self.rating_a is None:
            return None
        found = fuse_tables.colour(self.kind, self.rating_a)
        return None if found is None else found.value

    @property
    def window_is_empty(self) -> bool:
        """The load asks for more than the wire allows."""
        return self.low_a is not None and self.high_a is not None and self.low_a > self.high_a


@dataclass(frozen=True)
class SegmentView:
    """One stretch of wire."""

    index: int
    side: str
    place: str
    segment: Segment
    size_mm2: float | None
    length_m: float | None
    resistance_ohm: float | None
    ampacity_a: float | None
    current_a: float | None
    temperature_c: float | None
    """Steady conductor temperature by heat balance at the lasting demand; its ambient where nothing lasts."""
    table_temperature_c: float | None
    """The same by the square law from its ampacity, in the condition where it is hottest."""
    table_alone_a: float | None
    """What the table would allow the wire alone at its ambient."""
    balance_ampacity_a: float | None
    """What the heat balance would allow the wire alone; never used to allow more than the table."""
    fault_a: float | None
    """Smallest short-circuit current that flows through it."""
    fault_temperature_c: float | None
    """Conductor temperature after the most its device lets through."""
    survives: bool | None
    insulation: str
    ambient_c: float
    conductors: int
    binding: bool

    @property
    def balance_over_table(self) -> float | None:
        """Allowance of the heat balance over that of the table, both for the wire alone."""
        if not self.table_alone_a or self.balance_ampacity_a is None:
            return None
        return self.balance_ampacity_a / self.table_alone_a

    @property
    def disagrees(self) -> bool:
        """Heat balance and table differ by more than 15 %."""
        share = self.balance_over_table
        return share is not None and abs(share - 1.0) > DISAGREES


@dataclass(frozen=True)
class FaultView:
    """What a short circuit does on a circuit or feed; None for what nothing on file answers."""

    prospective_a: float | None
    """Largest short right behind its device."""
    far_end_a: float | None
    """Smallest short at the far end of what the device guards."""
    opens_within_s: float | None
    """Greatest opening time at the far-end current; infinite where the device may never open."""
    limits_on_file: bool
    wire_survives: bool | None
    device: int
    """Number of the device that guards it, its own or one upstream; -1 without one."""
    upstream: int
    """Number of the device above that one; -1 without one."""
    order: Order | None
    """Whether the device opens before the one above it; None where there is none."""
    order_from_a: float | None
    """Fault current from which on it is not assured, or nothing is on file."""


@dataclass(frozen=True)
class DropView:
    """Voltage lost to a circuit's worst load, in the condition where that is worst."""

    volts: float
    supply_v: float
    return_v: float
    judged_v: float
    """The part the limit is for: both ways, or the way out alone."""
    limit_v: float | None
    drop_class: str | None
    condition: str
    load: int


@dataclass(frozen=True)
class CircuitView:
    """Figures of one circuit."""

    assessment: Assessment
    id: str
    index: int

    @property
    def circuit(self) -> Circuit:
        return self.assessment.plan.circuit[self.id]

    @property
    def name(self) -> str:
        return self.circuit.name or self.id

    @property
    def verdict(self) -> Verdict:
        return self.assessment.verdict(self.id)

    @property
    def missing(self) -> tuple[str, ...]:
        return self.assessment.missing(self.id)

    @property
    def unknown(self) -> tuple[str, ...]:
        return self.assessment.unknown(self.id)

    @property
    def assumed(self) -> tuple[Assumption, ...]:
        """What was taken of its own parts where the plan is silent."""
        return tuple(each for each in self.assessment.assumptions
                     if each.subject_kind == "circuit" and each.subject == self.id)

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.assessment.findings_for("circuit", self.id)

    @property
    def current_known(self) -> bool:
        return not leaves_unknown(self.assessment.lacks(self.id), Unknown.CURRENT)

    def demand_a(self, interval: int, corner: int = 0) -> float:
        """Demand over one interval in A."""
        return float(self.assessment.results.demands.circuit[corner, interval, self.index])

    @property
    def design_a(self) -> float | None:
        """The current the circuit is planned for: continuous, else 5 min, else 5 s."""
        if not self.current_known or self.circuit.out_of_scope is not None:
            return None
        return next((value for value in (self.demand_a(interval) for interval in (CONTINUOUS, FIVE_MIN, FIVE_S))
                     if value > 0), 0.0)

    @property
    def fuse(self) -> FuseView | None:
        return fuse_view(self.assessment, ("circuit", self.id))

    @property
    def is_unfused(self) -> bool:
        """No fuse of its own or upstream protects it."""
        network = self.assessment.results.network
        return self.circuit.out_of_scope is None and int(network.guard[network.circuit_node[self.index]]) < 0

    @property
    def segments(self) -> tuple[SegmentView, ...]:
        return segment_views(self.assessment, ("circuit", self.id))

    @property
    def wire_words(self) -> str:
        """Sizes of the supply wire, thinnest first."""
        sizes = dict.fromkeys(str(view.segment.size) for view in sorted(
            (view for view in self.segments if view.side == "supply" and view.segment.size is not None),
            key=lambda view: view.size_mm2 or 0.0))
        return " + ".join(sizes)

    @property
    def drop(self) -> DropView | None:
        """None where the circuit is never on or a resistance on the way to it or back is not known."""
        results = self.assessment.results
        worst = int(results.drops.worst_load[self.index])
        if worst < 0 or self.missing or not results.known.circuit[self.index]:
            return None
        total = float(results.drops.total_v[0, worst])
        if math.isnan(total):
            return None
        limit = None
        if self.circuit.drop_class is not None:
            use = self.circuit.load[int(results.network.consumers.number[worst])].use
            found = results.limit_set.drop_limit(self.circuit.drop_class, results.network.system_v,
                                                "continuous" if use in ("continuous", "prolonged") else "intermittent")
            limit = None if found is None else found.value
        return DropView(
            volts=total, supply_v=float(results.drops.supply_v[0, worst]),
            return_v=float(results.drops.return_v[0, worst]),
            judged_v=total if results.limit_set.drop_covers_return else float(results.drops.supply_v[0, worst]),
            limit_v=limit, drop_class=self.circuit.drop_class,
            condition=results.network.condition_ids[int(results.drops.condition[0, worst])],
            load=int(results.network.consumers.number[worst]),
        )

    @property
    def fault(self) -> FaultView:
        return fault_view(self.assessment, ("circuit", self.id))

    @property
    def relay_need(self) -> tuple[bool, str]:
        return need(self.assessment.results.network, self.assessment.results.switching, self.index)

    def in_condition(self, condition: int) -> tuple[float, list[float], bool]:
        """(current in A, voltage across each load in V, live) in one condition; NaN V where a resistance on the way
        to a load or back is not known."""
        results = self.assessment.results
        network, solution = results.network, results.solution
        live = bool(network.circuit_live[self.index, network.state[condition]])
        members = self.assessment.consumers_of.get(self.index, [])
        current = float(sum(solution.consumer_a[condition, member] for member in members))
        volts = [float(solution.supply_v[condition, network.consumers.supply_node[member]]
                       - solution.return_v[condition, network.consumers.return_node[member]])
                 if live and results.known.consumer[member] else math.nan if live else 0.0 for member in members]
        return current, volts, live


def fuse_view(assessment: Assessment, owner: tuple[str, str]) -> FuseView | None:
    """The protective device of an owner, None without one."""
    index = assessment.fuse_of.get(owner)
    if index is None:
        return None
    fusing, row = assessment.results.fusing, assessment.results.network.fuses[index]
    return FuseView(
        kind=row.fuse.kind, rating_a=known(fusing.rating_a[index]), entered=row.fuse.rating is not None,
        proposed_a=known(fusing.proposed_a[index]), low_a=known(fusing.low_a[0, index]),
        low_upper_a=known(fusing.low_a[1, index]), high_a=known(fusing.high_a[index]),
        share=known(fusing.share[0, index]), binding=int(fusing.binding[index]), ambient_c=row.ambient_c,
        position=row.fuse.position, none_fits=index in fusing.rejected and math.isnan(fusing.proposed_a[index]),
        for_surge=any("switch-on" in each.reason for each in fusing.rejected.get(index, ())),
    )


def fault_view(assessment: Assessment, owner: tuple[str, str]) -> FaultView:
    """Short circuits of a circuit or feed; what rests on a resistance that is not known is None."""
    results = assessment.results
    network, faults = results.network, results.faults
    own = assessment.fuse_of.get(owner, -1)
    if owner[0] == "circuit":
        number = assessment.circuit(owner[1]).index
        device = int(network.guard[network.circuit_node[number]])
        far, opens = float(faults.circuit_far_a[number]), float(faults.circuit_opens_s[number])
        whole = bool(results.known.circuit[number])
    else:
        node = network.feed_node[owner[1]]
        device = int(network.guard[node])
        far = faults.feed_far_a[owner[1]] if own < 0 else float(faults.fuse_far_a[own])
        opens = float(results.devices.clears(results.devices.type_of(np.array([device])), np.array([far]))[0][0])
        whole = bool(results.known.supply_path[node])
    if not whole:
        far = opens = math.nan
    lasting = [survives(faults, index) for index in assessment.segments_of.get(owner, ())]
    outlives = None if not lasting or None in lasting else all(lasting)
    pair = assessment.pair_of.get(device)
    return FaultView(
        upstream=-1 if pair is None else pair.upper, order=None if pair is None else pair.answer,
        order_from_a=None if pair is None else known(pair.from_a),
        prospective_a=known(faults.prospective_a[own]) if own >= 0 else None, far_end_a=known(far),
        opens_within_s=None if math.isnan(opens) else opens, limits_on_file=not math.isnan(opens),
        wire_survives=False if False in lasting else outlives, device=device,
    )


def segment_views(assessment: Assessment, owner: tuple[str, str]) -> tuple[SegmentView, ...]:
    """The segments of an owner, supply side first."""
    results = assessment.results
    segments, solution = results.network.segments, results.solution
    conditions = len(results.network.conditions)
    fuse = assessment.fuse_of.get(owner)
    binding = int(results.fusing.binding[fuse]) if fuse is not None else -1
    limits = assessment.segment_limits
    return tuple(
        SegmentView(
            index=index, side="return" if segments.returns[index] else "supply", place=segments.place[index],
            segment=segments.segment[index], size_mm2=known(segments.area_mm2[index]),
            length_m=known(segments.length_m[index]),
            resistance_ohm=known(solution.segment_ohm[:conditions, index].max())
            if known(segments.length_m[index]) is not None and known(segments.area_mm2[index]) is not None else None,
            ampacity_a=known(limits[index]), current_a=known(results.demands.lasting[0, index]),
            temperature_c=known(results.steady_c[index]),
            table_temperature_c=known(solution.segment_c[:conditions, index].max()),
            table_alone_a=known(results.table_ampacity_a[index]),
            balance_ampacity_a=known(results.balance_ampacity_a[index]),
            fault_a=known(results.faults.segment_fault_a[index]),
            fault_temperature_c=known(results.faults.segment_end_c[index]),
            survives=survives(results.faults, index), insulation=segments.insulation[index],
            ambient_c=float(segments.ambient_c[index]), conductors=int(solution.loaded[:, index].max()),
            binding=index == binding,
        )
        for index in assessment.segments_of.get(owner, ())
    )

"""The shape of the result document, as models: what ``fuseplan schema result`` prints and the tests hold it to.

None stands for what is not known. Keys end in their SI unit.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from fuseplan.checks.power_schema import Power
from fuseplan.quantities.writing import Side

Figure = float | None


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class ConditionResult(_Part):
    """One operating condition at the battery."""

    id: str
    name: str
    state: str
    engine_rpm: float
    bus_v: Figure = Field(description="battery post against battery negative, all that is on drawing at once")
    average_bus_v: Figure = Field(description="the same on average demand")
    demand_a: Figure = Field(description="average demand")
    peak_a: Figure = Field(description="demand with every load on at once")
    available_a: Figure = Field(description="output of the alternator, hot, at that engine speed")
    balance_a: Figure = Field(description="available_a less demand_a")
    battery_a: Figure = Field(description="into the battery; negative out of it")


class CircuitCondition(_Part):
    """A circuit in one condition."""

    current_a: Figure
    load_v: list[Figure] = Field(description="voltage across each load, in the order of the plan")
    live: bool


class FeedCondition(_Part):
    """A feed in one condition."""

    volts: Figure
    current_a: Figure
    live: bool


class EarthCondition(_Part):
    """An earth point in one condition."""

    volts: Figure = Field(description="above the battery's negative post")
    current_a: Figure = Field(description="towards the battery")


class Demand(_Part):
    """Demand over three intervals in A."""

    five_s: Figure = Field(alias="5s")
    five_min: Figure = Field(alias="5min")
    continuous: Figure


class Drop(_Part):
    """Bus voltage less voltage across the worst load, in the condition where that is worst."""

    volts: float
    supply_v: float
    return_v: float
    limit_v: Figure
    drop_class: str | None = Field(alias="class")
    condition: str
    load: int


class FuseResult(_Part):
    """A protective device and its window."""

    kind: str
    rating_a: Figure
    entered: bool = Field(description="the plan gives the rating; otherwise it is the proposed one")
    proposed: Figure
    colour: str | None
    window_a: tuple[Figure, Figure] = Field(
        strict=False, description="smallest the load allows, largest the wire allows"
    )
    share: Figure = Field(description="continuous current as a share of the rating")
    ambient_c: Figure
    position: str | None


class SegmentResult(_Part):
    """One stretch of wire."""

    side: Literal["supply", "return"]
    place: str
    size_mm2: Figure
    length_m: Figure
    resistance_ohm: Figure
    ampacity_a: Figure
    current_a: Figure
    temperature_c: Figure = Field(description="steady, from a heat balance")
    table_temperature_c: Figure = Field(description="from the square law on the table's ampacity")
    table_alone_a: Figure = Field(description="ampacity of the table for the wire alone at its ambient")
    balance_ampacity_a: Figure = Field(description="ampacity of the heat balance, for comparison only")
    fault_a: Figure = Field(description="smallest short-circuit current that flows through it")
    fault_temperature_c: Figure = Field(description="after the most its fuse lets through")
    survives: bool | None
    binding: bool = Field(description="the wire that limits the fuse")
    insulation: str
    ambient_c: Figure
    conductors: int = Field(description="most conductors carrying current together in its runs")


class RelayResult(_Part):
    """Whether a relay is needed, and why."""

    needed: bool | None
    why: str | None


class Fault(_Part):
    """A short circuit at the fuse and at the far end."""

    prospective_a: Figure
    far_end_a: Figure
    opens_within_s: Figure = Field(description="None too where it may never open")
    wire_survives: bool | None
    may_never_open: bool | None
    limits_on_file: bool | None = Field(description="whether time-current limits of the fuse are published")
    order: Literal["assured", "not assured", "unknown"] | None = Field(
        description="whether it opens before the device above it; None where there is none")
    order_from_a: Figure = Field(description="fault current from which on that is not assured, or nothing is on file")


class CircuitResult(_Part):
    """One circuit."""

    id: str
    name: str
    role: str | None = Field(description="what the circuit is for, where stated")
    feed: str | None
    verdict: Literal["ok", "measure", "fails", "unknown"]
    missing: list[str] = Field(description="what the plan leaves out that its figures need")
    unknown: list[str] = Field(description="what else is not known of what it rests on")
    design_a: Demand
    in_condition: dict[str, CircuitCondition]
    drop: Drop | None
    fuse: FuseResult | None
    segments: list[SegmentResult]
    relay: RelayResult
    fault: Fault


class FeedResult(_Part):
    """One feed; the root comes from nowhere."""

    id: str
    name: str | None
    upstream: str | None = Field(alias="from")
    resistance_ohm: Figure
    in_condition: dict[str, FeedCondition]
    fuse: FuseResult | None
    segments: list[SegmentResult]
    fault: Fault


class EarthResult(_Part):
    """One earth point; the root leads nowhere."""

    id: str
    name: str | None
    upstream: str | None = Field(alias="to")
    resistance_ohm: Figure
    in_condition: dict[str, EarthCondition]
    segments: list[SegmentResult]


class FindingResult(_Part):
    """One check that did not pass."""

    check: str
    level: Literal["danger", "warning", "advice"]
    subject: str
    subject_kind: str
    message: str
    figure: Figure
    limit: Figure
    unit: str
    limits: str
    source: str
    fix: str
    caution: str
    measure: bool = Field(description="passes as entered, fails at the upper bound of the evidence")
    figure_side: Side = Field(description="burden: more of the figure is worse; limit: less is worse; its limit is of "
                                          "the other side")
    fields: list[str] = Field(description="paths in the plan that cure it, the likeliest first")


class AssumptionResult(_Part):
    """One figure taken where the plan gives none."""

    subject_kind: str
    subject: str
    key: str = Field(description="path in the plan that settles it")
    what: str
    value: float
    unit: str
    errs: Literal["to the safe side", "to either side", "to the dangerous side"]
    source: str


class UnjudgedResult(_Part):
    """One check that could not be made."""

    check: str
    subject: str
    subject_kind: str
    words: str = Field(description="what is not known")


class Result(_Part):
    """What ``fuseplan check --json`` prints."""

    fuseplan: str = Field(description="version of the program")
    plan: str | None = Field(description="name of the plan")
    limits: str
    conditions: list[ConditionResult]
    circuits: list[CircuitResult]
    feeds: list[FeedResult]
    earths: list[EarthResult]
    power: Power
    assumptions: list[AssumptionResult]
    unjudged: list[UnjudgedResult]
    findings: list[FindingResult]

"""The shape of the power part of the result document. None stands for what is not known, or for "never"."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

Figure = float | None


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class PowerCondition(_Part):
    """Alternator and battery in one condition, on average demand unless it says otherwise."""

    rotor_rpm: Figure
    available_a: Figure = Field(description="output of the alternator, hot")
    continuous_a: Figure = Field(description="loads in continuous and prolonged use, not weighed")
    demand_a: Figure = Field(description="average demand at the voltage that results of it")
    peak_a: Figure = Field(description="everything on together")
    balance_a: Figure = Field(description="available_a less demand_a")
    balance_upper_a: Figure = Field(description="the same with every current at the upper bound of its evidence")
    bus_v: Figure = Field(description="battery post")
    discharge_if_low_a: Figure = Field(
        description="current out of the battery once the voltage has been low, for example after starting, although "
        "the alternator could hold its regulator voltage; 0 where it gets back to it")
    alternator_a: Figure = Field(description="what the alternator delivers, charging current left out")
    continuous_share: Figure = Field(description="continuous_a over the rated output")
    peak_share: Figure = Field(description="peak_a over the rated output")
    shaft_w: Figure = Field(description="power taken from the belt")
    flat_min: Figure = Field(description="minutes to flat; None without a deficit")
    no_start_min: Figure = Field(description="minutes until the car no longer starts; None without a deficit")


class CurvePoint(_Part):
    rotor_rpm: float
    output_a: float


class AlternatorResult(_Part):
    """What the label or the measured curve promises."""

    basis: str
    measured: bool = Field(description="a curve measured by the user, taken as hot; cold by the label otherwise")
    points: list[CurvePoint]
    hot_source: str
    pulley_ratio: float
    pulley_given: bool
    highest_rotor_rpm: float
    highest_is_own: bool
    highest_source: str
    highest_engine_rpm: float = Field(description="engine speed at which the rotor reaches its highest")
    efficiency: float
    efficiency_source: str
    fuel_share: float = Field(description="share of the fuel's energy that becomes electricity")


class ReserveConversion(_Part):
    rule: str
    capacity_ah: float
    source: str


class BatteryResult(_Part):
    """What the battery's label promises."""

    capacity_ah: Figure
    capacity_basis: str
    reserve_conversions: list[ReserveConversion]
    charge: float
    open_circuit_v: float
    warm_ohm: float
    cold_ohm: float = Field(description="while cranking")
    resistance_basis: str
    peukert: float
    peukert_basis: str
    usable_ah: Figure = Field(description="what may go before the car no longer starts")
    no_start_share: float
    no_start_source: str
    freezing_c: Figure
    acceptance_basis: str


class DrainResult(_Part):
    owner_kind: str
    owner: str
    what: str
    current_a: Figure


class StandingResult(_Part):
    """The parked car."""

    condition: str
    drain_a: Figure
    drain_upper_a: Figure
    drains: list[DrainResult]
    self_discharge_a: Figure
    self_discharge_source: str
    usable_ah: Figure
    days: Figure = Field(description="days until it no longer starts, self-discharge left out")
    days_with_self_discharge: Figure
    days_upper: Figure
    wanted_days: float


class PieceResult(_Part):
    side: str
    owner_kind: str
    owner: str
    drop_v: Figure
    resistance_ohm: Figure
    engine_strap: bool


class CrankConsumer(_Part):
    owner_kind: str
    owner: str
    what: str
    kind: str
    volts: Figure
    dip_v: Figure
    limit_v: Figure
    limit_source: str | None
    must_run: bool


class CrankingResult(_Part):
    """While cranking."""

    condition: str
    starter: str | None
    basis: str
    current_a: Figure
    battery_v: Figure
    battery_upper_v: Figure
    battery_limit_v: float
    battery_limit_source: str
    starter_v: Figure
    starter_w: Figure
    supply_drop_v: Figure
    return_drop_v: Figure
    dip_battery_v: Figure = Field(description="at the first instant, with the starter's inrush")
    dip_current_a: Figure
    pieces: list[PieceResult]
    consumers: list[CrankConsumer]


class ExciterResult(_Part):
    circuit: str
    current_a: Figure
    wanted_a: float
    source: str


class AlternatorCableResult(_Part):
    """Alternator to battery and back, at rated output."""

    supply_ohm: Figure
    return_ohm: Figure
    supply_drop_v: Figure
    return_drop_v: Figure
    limit_ohm: float
    limit_ohm_source: str
    limit_v: Figure
    return_limit_v: float
    guarded: bool
    guarded_by: str
    exciter: ExciterResult | None


class ReserveCondition(_Part):
    normal_a: Figure
    essential_a: Figure
    usable_ah: float
    total_min: Figure


class ReserveResult(_Part):
    """After an alternator failure."""

    source: str
    wanted_min: float
    in_condition: dict[str, ReserveCondition]


class Power(_Part):
    """Battery and alternator."""

    alternator_rated_a: Figure
    regulator_v: Figure
    open_circuit_v: Figure
    continuous_share_limit: Figure
    peak_share_limit: Figure
    in_condition: dict[str, PowerCondition]
    alternator: AlternatorResult | None
    battery: BatteryResult | None
    standing: StandingResult | None
    cranking: CrankingResult | None
    alternator_cable: AlternatorCableResult | None
    reserve: ReserveResult

"""The plan: one vehicle's electrical plan as frozen models, one class a table of the file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from fuseplan.plan.beside_the_car import Change, Reading, Signed
from fuseplan.plan.fuse_boxes import FuseBox
from fuseplan.plan.looms import Connector, Loom
from fuseplan.plan.part import Day, Name, Part, Text
from fuseplan.plan.parts import Ammeter, Fuse, Load, Relay, SecondBattery, Switch, Wire
from fuseplan.plan.ranges import (
    AlternatorCurrent,
    BusCurrent,
    Capacity,
    ColdCrank,
    ContactResistance,
    Displacement,
    EngineSpeed,
    FlasherLoad,
    HighestEngineSpeed,
    HighestRotorSpeed,
    InternalResistance,
    Length,
    OutputAtSpeed,
    Period,
    Peukert,
    PulleyRatio,
    RatedCurrent,
    RegulatorSlope,
    RegulatorVoltage,
    ReserveCapacity,
    RestedVoltage,
    RotorSpeed,
    Share,
    SleeveDiameter,
    SystemVoltage,
    Temperature,
)
from fuseplan.plan.stock import Stock
from fuseplan.plan.words import (
    CircuitRole,
    CutOff,
    DropClass,
    Evidence,
    FeedRole,
    Flasher,
    Interlock,
    Machine,
    MadeFor,
    OutOfScope,
    Polarity,
    Sense,
    State,
    Stud,
)
from fuseplan.quantities.amounts import Amount

FORMAT = 1


class Vehicle(Part):
    """The car as a whole."""

    name: Text | None = Field(None, description="what the plan is for")
    system: SystemVoltage = Field(Amount(12.0, "12 V"), description="nominal system voltage")
    earthed: Polarity = Field("negative", description="post of the battery that is earthed")
    revision: Text | None = Field(None, description="revision of the plan, printed on every paper")
    revision_date: Day | None = Field(None, description="date of the revision, year-month-day; printed on every paper")
    limits: Name = Field("road", description="set of published limits the plan is checked against")
    displacement: Displacement | None = Field(None, description="swept volume of the engine, for the starter's current")
    highest_engine_speed: HighestEngineSpeed | None = Field(
        None, description="highest engine speed, for the alternator's rotor")


class Battery(Part):
    """The battery."""

    capacity: Capacity | None = Field(None, description="20-hour capacity")
    cold_crank: ColdCrank | None = Field(None, description="cold-cranking current of the label")
    kind: Literal["liquid", "agm"] = Field("liquid", description="construction; liquid is the one with more "
                                                                 "self-discharge")
    cold_crank_test: Literal["EN", "SAE", "DIN", "IEC"] = Field(
        "EN", description="test the cold-cranking current is stated by")
    reserve_capacity: ReserveCapacity | None = Field(None, description="reserve capacity: time at 25 A")
    open_circuit: RestedVoltage | None = Field(None, description="rested voltage; left out: from the state of charge")
    internal_resistance: InternalResistance | None = Field(
        None, description="resistance inside the battery; left out: derived from the cold-cranking current")
    state_of_charge: Share = Field(1.0, description="state of charge at the start")
    temperature: Temperature | None = Field(None, description="temperature of the battery")
    peukert: Peukert | None = Field(None, description="Peukert exponent of the 20-hour form")
    zone: Name | None = Field(None, description="zone it stands in")


class CurvePoint(Part):
    """One measured point of an alternator's output."""

    speed: RotorSpeed = Field(description="rotor speed")
    current: OutputAtSpeed = Field(description="output at that speed, hot")


class Alternator(Part):
    """The alternator or dynamo, its regulator and its lead."""

    machine: Machine = Field("alternator", description="alternator or dynamo")
    made_for: MadeFor | None = Field(None, description="earth it is made for; left out: negative of an alternator, "
                                     "either of a dynamo")
    cut_in: RotorSpeed | None = Field(None, description="of a dynamo: rotor speed from which it charges")
    full_output: RotorSpeed | None = Field(None, description="of a dynamo: rotor speed from which it gives its rated "
                                           "output")
    rated: AlternatorCurrent | None = Field(None, description="output at 6000 r/min of the rotor")
    low_speed: OutputAtSpeed | None = Field(None, description="output at 1500 r/min of the rotor")
    label: Text | None = Field(None, description="what the label says, instead of the two figures, such as "
                                                 "14V 50/120A, 14V 35A 20 or 90 A")
    curve: tuple[CurvePoint, ...] = Field((), description="measured output; wins over the label")
    pulley_ratio: PulleyRatio | None = Field(None, description="rotor turns per turn of the engine")
    max_speed: HighestRotorSpeed | None = Field(None, description="highest permitted rotor speed")
    regulator_voltage: RegulatorVoltage | None = Field(None, description="regulator voltage at 20 °C")
    slope: RegulatorSlope | None = Field(None, description="change of the regulator voltage with temperature, in V/K")
    regulator_temperature: Temperature | None = Field(None, description="temperature of the regulator")
    cable: Wire = Field((), description="cable from the alternator to its feed")
    fuse: Fuse | None = Field(None, description="fuse or link in the alternator cable")
    unfused: Text | None = Field(None, description="why its cable has no fuse, in your own words: shown, never checked")
    feed: Name | None = Field(None, description="feed the cable ends on; left out: the root")
    earth: Name | None = Field(None, description="earth point of its body; left out: the root")
    exciter: Name | None = Field(None, description="circuit that excites it")
    sense: Sense | None = Field(None, description="where its regulator senses the voltage: own_terminal, or battery "
                                "by a lead of its own: it then makes up for what the cable drops")
    sense_feed: Name | None = Field(None, description="feed the sense lead ends on, with `sense` as battery; left out: "
                                    "the battery's own post")
    sense_lead: Name | None = Field(None, description="circuit that is its sense lead, with its fuse, its wire and "
                                    "what it draws, with `sense` as battery")
    self_exciting: bool | None = Field(None, strict=True, description="it starts to charge without an exciter wire")


class Zone(Part):
    """A part of the car with one ambient temperature."""

    name: Text | None = None
    ambient: Temperature = Field(description="highest ambient temperature to plan for")


class Run(Part):
    """A length of loom between two places."""

    name: Text | None = None
    start: Name = Field(alias="from", description="starts at")
    end: Name = Field(alias="to", description="ends at")
    length: Length | None = Field(None, description="length of the run")
    zone: Name | None = Field(None, description="zone it lies in")
    sleeve: Text | None = Field(None, description="what it is sleeved with")
    sleeve_inside: SleeveDiameter | None = Field(None, description="inside diameter of that sleeve")
    hole: SleeveDiameter | None = Field(None, description="diameter of the hole it goes through, before the grommet")


class Feed(Part):
    """A point that hands out supply."""

    name: Text | None = None
    terminal: Text | None = Field(None, description="DIN 72552 terminal")
    upstream: Name | None = Field(None, alias="from", description="feed it comes from; the root has none")
    zone: Name | None = Field(None, description="zone of the point")
    fuse: Fuse | None = Field(None, description="fuse that protects the wire to this point")
    wire: Wire = Field((), description="wire from the feed it comes from")
    live: tuple[State, ...] | None = Field(None, description="states in which it is live; left out: as its feed")
    relay: Relay | None = Field(None, description="relay that switches it")
    switch: Switch | None = Field(None, description="switch that switches it")
    ammeter: Ammeter | None = Field(None, description="ammeter or shunt in the wire to it")
    limit: BusCurrent | None = Field(None, description="what the bus or stud may carry")
    role: FeedRole | None = Field(None, description="what the wire to this point is, where it has no fuse: "
                                  "starter_cable, alternator_cable, or battery_link (battery post to the first fuses)")
    unfused: Text | None = Field(None, description="why it has no fuse, in your own words: shown, never checked")


class Earth(Part):
    """An earth point."""

    name: Text | None = None
    upstream: Name | None = Field(None, alias="to", description="earth it leads to; the root has none")
    resistance: ContactResistance | None = Field(None, description="body panels and joints on the way")
    wire: Wire = Field((), description="strap or cable to the earth it leads to")
    zone: Name | None = Field(None, description="zone of the point")
    engine: bool | None = Field(None, strict=True, description="this point is on the engine")
    stud: Stud | None = Field(None, description="stud or bolt of the point, M4 to M12")
    switch: Switch | None = Field(None, description="battery isolator in the lead from this point to the earth it "
                                  "leads to; with it open only what has an earth beyond it is still fed")


class Circuit(Part):
    """From a feed, through fuse and relay or switch, along wires, to loads, back through an earth point."""

    name: Text | None = None
    feed: Name | None = Field(None, description="feed it is taken from")
    also_from: tuple[Name, ...] = Field((), description="further feeds whose wires reach its common wire")
    diode: bool | None = Field(None, strict=True,
                               description="a diode at each of its feeds lets current flow only away from the feed")
    fuse: Fuse | None = Field(None, description="its fuse")
    max_fuse: RatedCurrent | None = Field(None, description="largest fuse that the maker of what it supplies allows in "
                                          "front of it: a socket, a window motor, a control unit")
    relay: Relay | None = Field(None, description="its relay")
    switch: Switch | None = Field(None, description="its switch")
    second_battery: SecondBattery | None = Field(
        None, description="second battery its wire charges: a source at the far end, with a fuse of its own there")
    wire: Wire = Field((), description="common wire from the feed to the loads")
    earth: Name | None = Field(None, description="earth point its loads return to")
    earth_wire: Wire = Field((), description="wire from the loads to the earth point")
    flasher: Flasher | None = Field(None, description="kind of flasher unit in it")
    flasher_load: FlasherLoad | None = Field(None, description="least lamp load the flasher unit is made for, at the "
                                           "system voltage")
    drop_class: DropClass | None = Field(None, description="kind of circuit for the drop limit")
    must_run: tuple[State, ...] = Field((), description="states in which it must be live")
    must_stop: tuple[State, ...] = Field((), description="states in which it must be dead")
    load: tuple[Load, ...] = Field((), description="its loads")
    role: CircuitRole | None = Field(None, description="what the circuit is for: it says when the circuit must run and "
                                     "stop, and whether it may go without a fuse; other where no word fits")
    cut_off: tuple[CutOff, ...] | None = Field(
        None, description="what stops a pump besides the key when the engine stands still or the car crashes; none "
        "where nothing does")
    interlock: tuple[Interlock, ...] | None = Field(
        None, description="what keeps the starter from turning with a gear engaged; none where nothing does")
    unfused: Text | None = Field(None, description="why it has no fuse, in your own words: shown, never checked")
    out_of_scope: OutOfScope | None = Field(None, description="marks a circuit this program gives no figures for")
    taken_from: Name | None = Field(None, description="library definition it was copied from")
    caution: Text | None = Field(None, description="caution shown with it")


class Condition(Part):
    """One operating condition to be judged."""

    name: Text | None = None
    state: State
    engine: EngineSpeed = Field(Amount(0.0, "0 r/min"), description="engine speed")
    when: tuple[Name, ...] = Field((), description="what is on: loads that list one of these words")
    duration: Period = Field(Amount(900.0, "15 min"), description="how long it lasts")


class TripLeg(Part):
    """One leg of a trip."""

    condition: Name
    duration: Period


class Trip(Part):
    """Conditions in order, with durations."""

    name: Text | None = None
    leg: tuple[TripLeg, ...]


class Plan(Part):
    """One vehicle's electrical plan."""

    fuseplan: Literal[1] = Field(description="format version")
    vehicle: Vehicle = Field(default_factory=Vehicle)
    battery: Battery | None = None
    alternator: Alternator | None = None
    tolerance: Mapping[Evidence, Share] = Field(
        default_factory=dict, description="tolerance by how a current is known, where the built-in one does not suit"
    )
    stock: Stock | None = None
    zone: Mapping[Name, Zone] = Field(default_factory=dict)
    run: Mapping[Name, Run] = Field(default_factory=dict)
    feed: Mapping[Name, Feed] = Field(default_factory=dict)
    earth: Mapping[Name, Earth] = Field(default_factory=dict)
    circuit: Mapping[Name, Circuit] = Field(default_factory=dict)
    loom: Mapping[Name, Loom] = Field(default_factory=dict)
    connector: Mapping[Name, Connector] = Field(default_factory=dict)
    condition: Mapping[Name, Condition] = Field(default_factory=dict)
    fuse_box: Mapping[Name, FuseBox] = Field(default_factory=dict)
    trip: Mapping[Name, Trip] = Field(default_factory=dict)
    reading: tuple[Reading, ...] = ()
    signed: tuple[Signed, ...] = ()
    change: tuple[Change, ...] = ()

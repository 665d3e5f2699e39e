"""The parts that feeds, earths and circuits are made of: segments, joints, fuses, relays, switches, loads."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from fuseplan.plan.part import Name, Part, Text
from fuseplan.plan.ranges import (
    BarrelLength,
    BlowsAt,
    CoilResistance,
    ColdCrank,
    ContactResistance,
    CrankingRating,
    Distance,
    FullScale,
    Inrush,
    InrushTime,
    InternalResistance,
    Length,
    LoadCurrent,
    LoadPower,
    LoadVoltage,
    LockedCurrent,
    LockedVoltage,
    MeterDrop,
    OutputCurrent,
    PulsePeak,
    RatedCurrent,
    Share,
    ShortLength,
    SpanCurrent,
    StandbyCurrent,
    StripLength,
)
from fuseplan.plan.words import (
    AlsoOpens,
    Cover,
    Driver,
    DriverSide,
    Evidence,
    FuseKind,
    LoadKind,
    MadeFor,
    Origin,
    PulseShape,
    RatedFor,
    Stud,
    Suppression,
    Use,
)
from fuseplan.quantities.amounts import Between
from fuseplan.quantities.wire_size import WireSize


class Joint(Part):
    """A splice or bolted joint in a segment."""

    method: Text | None = Field(None, description="crimp, solder, crimp and solder, bolted …")
    resistance: ContactResistance | None = Field(None, description="resistance of the joint; counted in the drop")
    place: Distance | None = Field(None, description="distance from the segment's start")
    sleeve: Text | None = Field(None, description="what insulates the joint: heat-shrink with adhesive, boot …")


class WireEnd(Part):
    """Where a wire ends: a connector of the plan with its pin, or a part and its terminal in words."""

    connector: Text | None = Field(None, description="connector or part at this end")
    pin: Text | None = Field(None, description="pin or terminal in that connector")


class End(WireEnd):
    """Where one end of a segment plugs in."""

    terminal: Name | None = Field(
        None, description="terminal crimped on, for its current limit: flat_6.3, flat_2.8, sealed_20, sealed_16, "
        "sealed_12, ring_22, ring_38 or ring_60"
    )
    stud: Stud | None = Field(None, description="stud or bolt it is fastened to by a ring terminal, M4 to M12")
    strip: StripLength | None = Field(None, description="strip length: insulation taken off for the terminal")
    barrel: BarrelLength | None = Field(None, description="length of the terminal's crimp barrel")
    splice: Text | None = Field(None, description="name of the splice this end is made into; all ends that name it are "
                                "joined there")


class Segment(Part):
    """One length of wire of one size and insulation.

    Either `along` names the runs it lies in (length and zones come from them), or `length` and `zone` are its own.
    """

    size: WireSize | None = Field(None, description="conductor size")
    length: Length | None = Field(None, description="length, one way")
    zone: Name | None = Field(None, description="zone it lies in; left out: the hottest zone its circuit touches")
    along: tuple[Name, ...] | None = Field(None, description="runs it lies in, joined end to end")
    insulation: Name | None = Field(None, description="insulation; left out: the lowest class on file")
    cover: Cover | None = Field(None, description="protection against chafing over its whole length: sleeve, "
                                "corrugated_tube, conduit, second_jacket or enclosure; loom tape is none")
    colour: Text | None = Field(None, description="colour in IEC 60757 letters, tracer after the base colour")
    origin: Origin | None = Field(None, description="new, existing (chassis loom) or donor (engine loom)")
    number: Text | None = Field(None, description="wire number; left out: made from the circuit and the place in it")
    label: Text | None = Field(None, description="text of the wire label; left out: the wire number")
    joint: Joint | None = Field(None, description="a joint in this segment")
    splice: tuple[Joint, ...] = Field((), description="further joints in this segment")
    start: End | None = Field(None, description="connector and pin at the supply end")
    end: End | None = Field(None, description="connector and pin at the far end")


Wire = tuple[Segment, ...]


class Fuse(Part):
    """A protective device. Without a rating one is proposed."""

    kind: FuseKind = Field(description="fuse type by its trade word")
    rating: RatedCurrent | None = Field(None, description="rated current; left out: fuseplan proposes")
    position: Text | None = Field(None, description="position in the fuse box")
    holder: Name | None = Field(None, description="single holder it sits in, for its current limit: maxi_in_line, "
                               "blade_in_line, blade_in_line_heavy, mini_in_line or midi_holder")
    zone: Name | None = Field(None, description="zone of the holder; left out: that of the feed the fuse is taken from")
    link_size: WireSize | None = Field(None, description="conductor of a fusible link")
    link_length: ShortLength | None = Field(None, description="length of a fusible link")
    distance: Distance | None = Field(None, description="unprotected length of conductor before the device")
    cover: Cover | None = Field(None, description="what protects that conductor from chafing over its whole length")
    blows_at: BlowsAt | None = Field(None, description="multiple of its rating at which its maker's sheet says it has "
                                     "blown within 5 s; used where no opening times of its type are on file")


Before = Annotated[int, Between(0, 20)]
_BEFORE = ("segments of the wire that come before it, counted from the fuse{}; 0: it sits right behind the fuse; left "
           "out: not known")


class Relay(Part):
    """A relay: what its contact is, and what feeds and drives its coil."""

    contact: Name = Field(description="contact type on file, by trade size")
    coil_feed: Name = Field(description="feed of the coil; a fuse of its own for the coil is that of a feed for it")
    zone: Name | None = Field(None, description="zone it sits in; left out: that of the feed it sits on, for the relay "
                              "of a feed the hotter end of its wire")
    driver: Driver | None = Field(None, description="what switches the coil")
    driver_limit: OutputCurrent | None = Field(None, description="what the driving output may carry")
    driver_side: DriverSide | None = Field(None, description="side of the coil it switches: supply, between the coil's "
                                           "feed and 86, or earth, between 85 and earth; left out: earth for a control "
                                           "unit, supply for a switch")
    driver_before: Before | None = Field(None, strict=True, description="segments of the coil wire on its side that "
                                         "come before it; left out: none on the supply side, all of them on the earth "
                                         "side")
    suppression: Suppression | None = Field(None, description="coil suppression")
    coil: CoilResistance | None = Field(None, description="coil resistance; left out: the contact type's")
    resistance: ContactResistance | None = Field(None, description="contact resistance, socket included, as measured; "
                                                 "left out: the contact type's")
    breaks: RatedCurrent | None = Field(None, description="current its maker says the contact may break at the car's "
                                        "voltage; asked for at 24 V and above, as what is on file is for 14 V at most")
    wire_86: Wire = Field((), description="wire from the coil's feed, through what switches it where that is on the "
                          "supply side, to terminal 86")
    wire_85: Wire = Field((), description="wire from terminal 85 to its earth point, or to what switches the coil "
                          "where that is on the earth side")
    coil_earth: Name | None = Field(None, description="earth point the coil returns to: of terminal 85, or of the "
                                    "control unit that earths it; left out: the root")
    wire_before: Before | None = Field(None, strict=True, description=_BEFORE.format(""))
    socket: Name | None = Field(None, description="terminals in its socket, for their current limit, named as those "
                                "at the end of a wire: flat_6.3 …")


CRANKING_TIMES = 5
"""What a battery isolator carries for the seconds in which the starter turns, over its rating: common practice, no
source."""


class Switch(Part):
    """A plain switch that carries the load itself."""

    rating: RatedCurrent | None = Field(None, description="rated current of the switch, for a resistive load where "
                                        "`rated_for` names no other")
    rated_for: RatedFor | None = Field(None, description="kind of load its maker states that rating for: lamp, motor, "
                                       "coil; left out: a resistive load, of which a switch carries most")
    wire_before: Before | None = Field(None, strict=True, description=_BEFORE.format(
        ", in an earth lead from its earth point"))
    resistance: ContactResistance | None = Field(None, description="contact resistance")
    cranking_rating: CrankingRating | None = Field(
        None, description="of a switch with the starter behind it, such as a battery isolator: current its maker "
        f"allows for the seconds in which the starter turns; left out: {CRANKING_TIMES} times its rating")
    also_opens: tuple[AlsoOpens, ...] | None = Field(
        None, description="what a battery isolator opens beside the battery lead, by further contacts: "
        "alternator_field, alternator_cable, ignition, or none")

    @property
    def loads_rated(self) -> RatedFor | None:
        """The kind of load its rating is for; None for a resistive one, and where no rating is stated: for what load a
        rating would be says nothing of how much it carries."""
        return None if self.rating is None else self.rated_for


class SecondBattery(Part):
    """A battery at the far end of a circuit's common wire: it feeds a short in that wire from its own end."""

    fuse: Fuse | None = Field(None, description="fuse at its positive post, in the same wire; its distance is that "
                              "from the post")
    converter_before: Before | None = Field(None, strict=True, description="a DC-DC converter sits in the wire, with "
                                            "so many segments before it, counted from the feed: the fuse at the "
                                            "battery protects those behind it; left out: there is none, a relay joins "
                                            "the batteries")
    cold_crank: ColdCrank | None = Field(None, description="cold-cranking current of its label, for the short circuits "
                                         "it feeds")
    internal_resistance: InternalResistance | None = Field(
        None, description="resistance inside the battery; left out: derived from the cold-cranking current")


class Ammeter(Part):
    """An ammeter, or a shunt for one, in the wire to a feed: all that the feed hands out passes it."""

    scale: FullScale = Field(description="current of full scale")
    drop: MeterDrop | None = Field(None, description="voltage drop at full scale; left out: 75 mV")


class Load(Part):
    """One consumer."""

    name: Name | None = Field(None, description="what it is")
    current: LoadCurrent | None = Field(None, description="running current at voltage `at`")
    power: LoadPower | None = Field(None, description="power at voltage `at`, instead of a current")
    at: LoadVoltage | None = Field(None, description="voltage the figure was stated at")
    range: tuple[SpanCurrent, SpanCurrent] | None = Field(
        None, description="published span of the current at `at`; its worst case where it reaches further than the "
        "tolerance of how it is known, unless it is measured"
    )
    max_fuse: RatedCurrent | None = Field(None, description="largest fuse its maker allows in front of it")
    kind: LoadKind | None = Field(None, description="how its current follows the voltage")
    inrush: Inrush | None = Field(None, description="switch-on current as a multiple of the running one")
    inrush_time: InrushTime | None = Field(None, description="how long the inrush lasts; of a lamp or motor, until "
                                           "it has fallen to about twice the running current")
    locked_current: LockedCurrent | None = Field(
        None, description="of a starter: current with the rotor held, at `locked_at`; its running current is what the "
        "engine asks, whatever the voltage")
    locked_at: LockedVoltage | None = Field(None, description="voltage the locked current is stated at")
    pulse_peak: PulsePeak | None = Field(
        None, description="of a load switched many times a second (coil, injector, pulse-width drive without a "
        "capacitor of its own): current at the height of a pulse, at `at`; `current` is then the mean, and wires and "
        "fuse are heated by the effective value between the two")
    pulse_shape: PulseShape = Field("square", description="shape of those pulses: square, or ramp for a coil that is "
                                    "charged from nothing")
    use: Use | None = Field(
        None, description="how long it is on at a time; left out: continuous, or momentary where the role of its "
        "circuit is stated as starter and it is on only while cranking")
    duty: Share = Field(1.0, description="share of the time it is on, for averages only")
    when: tuple[Name, ...] = Field(("always",), description="on in the conditions that list one of these words")
    evidence: Evidence | None = Field(None, description="how the current is known; plate: printed on the part; limit: "
                                     "the most that may be drawn by whatever is plugged in, such as what a socket is "
                                     "rated for; left out: guess")
    tolerance: Share | None = Field(None, description="how far its current may be off, as a share, such as the error "
                                    "of the meter; counts where it is more than that of how the current is known")
    source: Text | None = Field(None, description="where the figure comes from")
    either: Name | None = Field(None, description="loads of one group are never on together")
    made_for: MadeFor | None = Field(None, description="earth it is made for; left out: negative of an electronic "
                                     "load, either of the others")
    standby: StandbyCurrent | None = Field(None, description="drawn whenever the feed is live")
    design_voltage: LoadVoltage | None = Field(None, description="a lamp's design voltage")
    essential: bool | None = Field(None, strict=True, description="needed to drive on after the alternator fails")
    to_feed: Name | None = Field(None, description="feed its far end goes to instead of earth: a lamp or coil between "
                                 "two feeds; its current is figured as if it were earthed, which is the most it draws")
    wire: Wire = Field((), description="wire of its own, behind the circuit's common wire")
    earth: Name | None = Field(None, description="earth point of its own")
    earth_wire: Wire = Field((), description="earth wire of its own")
    earth_resistance: ContactResistance | None = Field(
        None, description="resistance of the joint by which it is earthed where it is bolted, or of its earth pin; "
        "left out: without an earth wire 3 mΩ, on the engine 0.3 mΩ, else nothing")

"""Looms, their connectors, and the pins of each: what is found in the car, and what becomes of every wire."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import Field

from fuseplan.plan.part import Name, Part, Text
from fuseplan.plan.parts import Wire, WireEnd
from fuseplan.plan.ranges import Distance, Length, OutsideDiameter, RatedCurrent, ShortLength, TabSize, TwistsPerMetre
from fuseplan.plan.words import (
    BusRate,
    Fate,
    JoinMethod,
    Known,
    LoomKind,
    OutOfScope,
    Plating,
    PluggedInto,
    Seal,
    Signal,
)
from fuseplan.quantities.amounts import Between
from fuseplan.quantities.wire_size import WireSize

Count = Annotated[int, Between(1, 500), Field(strict=True)]


class Loom(Part):
    """A loom: the wires that come with the car, the engine or the donor, or that are new."""

    name: Text | None = Field(None, description="what it is called on screens and papers")
    kind: LoomKind = Field(description="chassis, engine (fits the engine as it is), donor (from another car) or new")
    wire: Wire = Field((), description="wires of it that are entered at no pin and are in no circuit: between two "
                                       "splices, a splice and a stud, or beside another wire in its pin")


class Extension(Part):
    """The wire added to one that is too short. The splice lies that far from the connector's new place."""

    length: Length = Field(description="length of the added wire, from the splice to the connector's new place")
    cut_back: Distance | None = Field(None, description="length cut off the wire as found, so that the splices of a "
                                                        "connector do not lie side by side")
    size: WireSize | None = Field(None, description="size of the added wire; left out: that of the wire as found")
    colour: Text | None = Field(None, description="colour of the added wire; left out: that of the wire as found")
    method: JoinMethod | None = Field(None, description="how it is joined on")
    sleeve: Text | None = Field(None, description="what seals the splice, such as adhesive-lined heat-shrink")
    twists: TwistsPerMetre | None = Field(None, description="twists per metre of the added pair")
    insulation: Name | None = Field(None, description="insulation of the added wire; left out: that of the wire as "
                                                      "found")
    along: tuple[Name, ...] | None = Field(None, description="runs the added wire lies in, joined end to end")


class Pin(Part):
    """One cavity of a connector and the wire in it."""

    function: Text | None = Field(None, description="what the wire does, such as coolant temperature sensor")
    signal: Signal | None = Field(None, description="kind of signal, supplies and earths by DIN 72552 terminal")
    characteristic: Text | None = Field(None, description="what the signal is, such as 250 to 20 ohm, 4 pulses per "
                                                          "turn or switch to earth")
    size: WireSize | None = Field(None, description="conductor size as found")
    colour: Text | None = Field(None, description="colour as found, in IEC 60757 letters, tracer after the base colour")
    other_end: WireEnd | None = Field(None, description="connector and pin at the other end of the wire")
    splice: Name | None = Field(None, description="splice the wire goes to; wires that name the same one are joined")
    known: Known | None = Field(None, description="how it is known: measured, from a diagram, or a guess; left out: "
                                                  "guess")
    fate: Fate = Field("unknown", description="what becomes of the wire; spare: no wire, or one that is left over; "
                                              "unknown blocks power")
    join_to: WireEnd | None = Field(None, description="for join: connector and pin, or part, it is joined to")
    feed: Name | None = Field(None, description="feed of this plan a supply pin is live from")
    earth: Name | None = Field(None, description="earth point of this plan an earth pin goes to")
    length: Length | None = Field(None, description="length of the wire to its other end, as found or, of a new wire, "
                                                    "as it lies")
    along: tuple[Name, ...] | None = Field(None, description="runs the wire lies in from this pin on, joined end to "
                                                             "end; they give its length where none is entered")
    insulation: Name | None = Field(None, description="insulation of the wire")
    number: Text | None = Field(None, description="wire number; left out: made from the connector and the pin")
    outside_diameter: OutsideDiameter | None = Field(None, description="diameter over the insulation, for its seal")
    wires: Count | None = Field(None, description="wires crimped into the terminal; left out: one")
    current: RatedCurrent | None = Field(None, description="current it carries, where no circuit of this plan ends "
                                                           "on it")
    twisted_with: Name | None = Field(None, description="pin of the same connector whose wire it is twisted with")
    twists: TwistsPerMetre | None = Field(None, description="twists per metre")
    shield: Name | None = Field(None, description="pin of the same connector that carries its shield")
    cable_diameter: OutsideDiameter | None = Field(None, description="diameter over the jacket of the cable it is a "
                                                                     "core, or the shield, of")
    bus_rate: BusRate | None = Field(None, description="rate of the data bus")
    stub: ShortLength | None = Field(None, description="length of its stub off the data bus")
    extension: Extension | None = Field(None, description="length of wire added to it, where it is not a segment of a "
                                                          "circuit")


class Connector(Part):
    """A connector, one half of it, with its pins."""

    name: Text | None = Field(None, description="what it is called on screens and papers")
    loom: Name | None = Field(None, description="loom its wires belong to; left out: it is on a part")
    mates: Name | None = Field(None, description="connector it plugs into")
    plugged_into: PluggedInto | None = Field(None, description="what it plugs into")
    family: Text | None = Field(None, description="connector family, as its maker names it")
    tab_size: TabSize | None = Field(None, description="tab width, as ISO 8092 names its sizes, such as 2.8 mm")
    cavities: Count | None = Field(None, description="number of cavities; those without a pin entered are unknown")
    place: Text | None = Field(None, description="where it is in the car")
    zone: Name | None = Field(None, description="zone it is in")
    seal: Seal | None = Field(None, description="unsealed, a seal on each wire, or one mat for all")
    smallest_wire: WireSize | None = Field(None, description="smallest conductor its terminals are made for")
    largest_wire: WireSize | None = Field(None, description="largest conductor its terminals are made for")
    smallest_diameter: OutsideDiameter | None = Field(None, description="smallest diameter over the insulation its "
                                                                        "seals fit")
    largest_diameter: OutsideDiameter | None = Field(None, description="largest diameter over the insulation its "
                                                                       "seals fit")
    contact_current: RatedCurrent | None = Field(
        None, description="rated current of one contact, alone, on the largest wire of its terminals")
    plating: Plating | None = Field(None, description="surface of its contacts")
    out_of_scope: OutOfScope | None = Field(None, description="marks a connector this program says nothing about: do "
                                                              "not probe or splice it")
    pin: Mapping[Name, Pin] = Field(default_factory=dict, description="its pins, by the number of the cavity")

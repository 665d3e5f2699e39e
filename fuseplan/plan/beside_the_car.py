"""What the plan keeps of the work beside the car: readings, what was signed for, changes of wires."""

from __future__ import annotations

from pydantic import Field

from fuseplan.plan.part import Name, Part, Text
from fuseplan.plan.parts import WireEnd


class Reading(Part):
    """A value measured beside the car."""

    point: Text = Field(description="where, by its address: circuit.fuel_pump.current, feed.main_bus.volts, "
                                    "earth.rear_stud.drop_mv, battery.volts …; `fuseplan bench PLAN --full` lists them")
    condition: Name | None = Field(None, description="condition it was taken in; also unpowered (battery "
                                   "disconnected), rested (engine off, everything off for some hours) or alone (engine "
                                   "off, its circuit switched on by itself); left out: the usual one of its point")
    quantity: Text | None = Field(None, description="what was read, in your own words: shown with the reading")
    value: Text = Field(description="the reading as taken, with its unit: 6.2 A, 21 mV, open; never changed afterwards")
    instrument: Text | None = Field(None, description="meter it was taken with: clamp, multimeter_volts, "
                                    "multimeter_amps, multimeter_ohms, or in your own words")
    date: Text | None = Field(None, description="date it was taken")
    accepted: bool | None = Field(None, strict=True, description="taken over into the figures of the plan by you")


class Signed(Part):
    """Something done or looked at beside the car that no meter tells, signed for."""

    item: Name = Field(description="what is signed for, by its name; `fuseplan bench PLAN --ready` lists them")
    date: Text | None = Field(None, description="date it was signed")
    who: Text | None = Field(None, description="who signed")


class Change(Part):
    """One line of the change log."""

    date: Text
    what: Text
    why: Text | None = None
    who: Text | None = None
    wire: WireEnd | None = Field(None, description="connector and pin of the wire that was changed")

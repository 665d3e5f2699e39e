"""What each figure of a plan may be: the ends of what can exist in a vehicle of 6 V to 48 V, motorcycle to heavy truck.

Common practice, no source: wide enough for anything real, narrow enough that a slipped unit (ohm for mohm) or a zero
nothing can work with is refused where it is typed. The models take their types from here; JSON Schema, the form's help
and the error message take the range from the type, and the example beside an empty field: common practice, no source,
of the size such a part has, and no default.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from fuseplan.quantities.amounts import (
    CHARGE,
    CURRENT,
    LENGTH,
    POWER,
    RESISTANCE,
    SPEED,
    TEMPERATURE,
    TIME,
    VOLTAGE,
    VOLUME,
    Amount,
    Between,
)

Number = Annotated[float, Field(strict=True)]
"""A bare number; text in quotes is not one."""
Share = Annotated[Number, Between(0, 1)]

BlowsAt = Annotated[Number, Between(2, 20)]
"""Multiple of a fuse's rating. Below twice it no device on file has blown within 5 s: what a sheet prints for
less, such as 135 %, is a time it may take."""

# Vehicle
SystemVoltage = Annotated[Amount, VOLTAGE.within("6 V", "48 V").like("12 V", "24 V")]
Displacement = Annotated[Amount, VOLUME.within("20 cm3", "40 litre")]
HighestEngineSpeed = Annotated[Amount, SPEED.within("500 r/min", "20000 r/min").like("6500 r/min")]
EngineSpeed = Annotated[Amount, SPEED.within("0 r/min", "20000 r/min")]
"""In a condition; the engine may stand still."""
Temperature = Annotated[Amount, TEMPERATURE.within("-50 degC", "300 degC")]
Period = Annotated[Amount, TIME.within("100 ms", "1000 d").like("15 min", "2 h")]
"""How long a condition or a leg of a trip lasts."""

# Battery
Capacity = Annotated[Amount, CHARGE.within("1 Ah", "1000 Ah")]
ColdCrank = Annotated[Amount, CURRENT.within("5 A", "5000 A").like("540 A")]
ReserveCapacity = Annotated[Amount, TIME.within("1 min", "48 h").like("90 min")]
RestedVoltage = Annotated[Amount, VOLTAGE.within("4 V", "60 V").like("12.7 V")]
"""Of a flat battery of 6 V to a full one of 48 V."""
InternalResistance = Annotated[Amount, RESISTANCE.within("0.5 mohm", "1 ohm").like("9 mohm")]
Peukert = Annotated[Number, Between(1, 2)]

# Alternator
AlternatorCurrent = Annotated[Amount, CURRENT.within("1 A", "1000 A").like("90 A")]
OutputAtSpeed = Annotated[Amount, CURRENT.within("0 A", "1000 A").like("50 A")]
"""A slow machine gives nothing yet."""
RotorSpeed = Annotated[Amount, SPEED.within("0 r/min", "30000 r/min").like("2000 r/min")]
HighestRotorSpeed = Annotated[Amount, SPEED.within("1000 r/min", "30000 r/min").like("18000 r/min")]
PulleyRatio = Annotated[Number, Between(0.2, 10)]
RegulatorVoltage = Annotated[Amount, VOLTAGE.within("6 V", "60 V").like("14.2 V")]
RegulatorSlope = Annotated[Number, Between(-0.05, 0.02)]
"""In V/K; 48 V at the steepest printed for 12 V, -10 mV/K, has -0.04."""

# Wires and joints
_LENGTH = LENGTH.within("1 mm", "100 m")
Length = Annotated[Amount, _LENGTH]
ShortLength = Annotated[Amount, _LENGTH.like("200 mm", "8 in")]
"""Of a fusible link, or of a stub off a data bus."""
Distance = Annotated[Amount, LENGTH.within("0 m", "100 m").like("150 mm", "6 in")]
StripLength = Annotated[Amount, LENGTH.within("1 mm", "50 mm").like("6 mm")]
BarrelLength = Annotated[Amount, LENGTH.within("1 mm", "60 mm").like("8 mm")]
SleeveDiameter = Annotated[Amount, LENGTH.within("2 mm", "150 mm").like("20 mm")]
"""Inside, of a tube over a loom; or of the hole a loom goes through."""
ContactResistance = Annotated[Amount, RESISTANCE.within("0 ohm", "1 ohm")]
"""Of a joint, a switch or a body panel; that of a good one is below what a meter reads."""

# Looms and connectors
TabSize = Annotated[Amount, LENGTH.within("0.3 mm", "25 mm").like("2.8 mm")]
OutsideDiameter = Annotated[Amount, LENGTH.within("0.3 mm", "40 mm").like("2.4 mm")]
TwistsPerMetre = Annotated[Number, Between(1, 200)]

# Devices
_RATED = CURRENT.within("1 mA", "1000 A")
"""What a fuse, a switch, an output, a bus or a stud is made for."""
RatedCurrent = Annotated[Amount, _RATED.like("15 A")]
BusCurrent = Annotated[Amount, _RATED.like("100 A")]
LargestFuse = Annotated[Amount, _RATED.like("30 A")]
OutputCurrent = Annotated[Amount, _RATED.like("1 A", "350 mA")]
"""Of a control unit's output that drives a coil."""
CrankingRating = Annotated[Amount, CURRENT.within("1 A", "5000 A").like("500 A")]
"""Wide enough for what the largest starter may draw: one of a heavy truck some 2000 A (from memory), more where its
current is a guess."""
FullScale = Annotated[Amount, _RATED.like("60 A")]
CartridgeRating = Annotated[Amount, _RATED.like("40 A")]
"""Of a maxi blade fuse as well."""
BoltInRating = Annotated[Amount, _RATED.like("100 A")]
CeramicRating = Annotated[Amount, _RATED.like("8 A")]
COIL_RESISTANCE = RESISTANCE.within("0.5 ohm", "10000 ohm")
CoilResistance = Annotated[Amount, COIL_RESISTANCE]

MeterDrop = Annotated[Amount, VOLTAGE.within("1 mV", "1 V").like("75 mV")]
"""Of an ammeter or shunt at full scale."""

# Loads
_LOAD = CURRENT.within("0.001 mA", "3000 A")
LoadCurrent = Annotated[Amount, _LOAD]
"""The starter of a heavy truck takes 2000 A."""
PulsePeak = Annotated[Amount, _LOAD.like("8 A")]
LockedCurrent = Annotated[Amount, _LOAD.like("600 A")]
_LOAD_POWER = POWER.within("0.01 mW", "30 kW")
LoadPower = Annotated[Amount, _LOAD_POWER.like("55 W")]
FlasherLoad = Annotated[Amount, _LOAD_POWER.like("42 W")]
_LOAD_VOLTAGE = VOLTAGE.within("1 V", "60 V")
LoadVoltage = Annotated[Amount, _LOAD_VOLTAGE]
"""What a load is made for, or its figure was stated at; less than the system's where it has a ballast."""
LockedVoltage = Annotated[Amount, _LOAD_VOLTAGE.like("5 V")]
SpanCurrent = Annotated[Amount, CURRENT.within("0 A", "3000 A")]
"""End of a published span; some begin at nothing."""
StandbyCurrent = Annotated[Amount, CURRENT.within("0 A", "100 A").like("5 mA")]
Inrush = Annotated[Number, Between(1, 100)]
InrushTime = Annotated[Amount, TIME.within("0.01 ms", "10 min")]

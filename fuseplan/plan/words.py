"""The closed vocabularies of a plan, each word written once."""

from __future__ import annotations

from typing import Literal, get_args

State = Literal["off", "accessory", "ignition", "crank", "running", "run_on"]
STATES: tuple[State, ...] = get_args(State)

LoadKind = Literal["resistive", "lamp", "motor", "electronic", "coil"]

RatedFor = Literal["lamp", "motor", "coil"]

Use = Literal["continuous", "prolonged", "intermittent", "momentary"]
USES: tuple[Use, ...] = get_args(Use)

PulseShape = Literal["square", "ramp"]

Evidence = Literal["measured", "limit", "plate", "published", "typical", "guess"]
EVIDENCE: tuple[Evidence, ...] = get_args(Evidence)

TOLERANCE: dict[str, float] = {"measured": 0.03, "limit": 0.0, "plate": 0.10, "published": 0.15, "typical": 0.30,
                               "guess": 0.50}
"""How far a current may be off, by how it is known. Common practice, no source; a plan may set its own. A limit is
the most that may be drawn, such as from a socket: what is plugged in is not known, and no reading shows it."""

FuseKind = Literal[
    "mini", "blade", "maxi", "micro2", "micro3", "jcase", "midi", "mega", "strip", "glass", "glass_british",
    "ceramic", "link", "breaker_1", "breaker_2", "breaker_3",
]
FUSE_KINDS: tuple[FuseKind, ...] = get_args(FuseKind)

DropClass = Literal[
    "lamp_small", "lamp", "headlamp", "charging", "regulator_sense", "starter_main", "starter_control", "control"
]

Driver = Literal["ecu", "switch", "thermo_switch", "voltage_sensing"]
DriverSide = Literal["supply", "earth"]
"""Side of the coil on which what switches it sits: between the coil's feed and 86, or between 85 and earth."""
Suppression = Literal["diode", "resistor", "none"]
Origin = Literal["new", "existing", "donor"]
Stud = Literal["M4", "M5", "M6", "M8", "M10", "M12"]
"""Thread of a stud or bolt a ring terminal is fastened to."""

CircuitRole = Literal[
    "fuel_pump", "diesel_pump", "engine_control_unit", "engine_control_memory", "ignition", "injection",
    "sensor_supply", "engine_actuator", "starter", "starter_solenoid", "glow_plugs", "alternator_exciter",
    "cooling_fan", "coolant_pump", "air_conditioning", "power_steering", "brake_vacuum_pump", "transmission_control",
    "headlamps", "stop_lamps", "side_lamps", "indicators", "hazard_lamps", "fog_lamps", "reverse_lamps", "work_lamps",
    "interior_lamps", "instruments", "horn", "wipers", "washers", "heater_blower", "heated_glass", "comfort", "audio",
    "socket", "converter", "second_battery", "parking_heater", "alarm", "relay_coils", "other",
]
"""What a circuit is for; ``plan/roles.csv`` says what each asks of it."""

CutOff = Literal["ecu", "oil_pressure", "tachometric_relay", "alternator", "inertia", "none"]
"""What stops a pump besides the key: the control unit, an oil-pressure switch, a relay that holds while ignition pulses
come, one that holds while the alternator charges, a crash (inertia) switch; none states that nothing does."""
STOPS_WITH_ENGINE: tuple[CutOff, ...] = ("ecu", "oil_pressure", "tachometric_relay", "alternator")
"""Those that work with the key on and the engine still."""

Interlock = Literal["neutral_switch", "clutch_switch", "brake_switch", "control_unit", "none"]
"""What keeps the starter from turning with a gear engaged: a switch on the gearbox or its selector that closes in
neutral or park, one at the clutch or brake pedal, the control unit; none states that nothing does."""

Sense = Literal["own_terminal", "battery"]
"""Where a regulator senses the voltage it holds: at the alternator, or by a lead of its own at the battery."""

AlsoOpens = Literal["alternator_field", "alternator_cable", "ignition", "none"]
"""What a battery isolator opens with its other contacts; none states that it has no others."""

Machine = Literal["alternator", "dynamo"]
Polarity = Literal["negative", "positive"]
"""Which post of the battery is earthed."""
OTHER_POST: dict[Polarity, Polarity] = {"negative": "positive", "positive": "negative"}
"""The post that is live, by the one that is earthed."""
MadeFor = Literal["negative", "positive", "either"]
"""Which earth a part is made for."""
Flasher = Literal["thermal", "load_sensing", "electronic"]
"""How a flasher unit keeps time: a bimetal the lamp current heats, a circuit that watches the lamp current, or a clock
of its own."""

FeedRole = Literal["starter_cable", "alternator_cable", "battery_link"]
FEED_ROLES: tuple[FeedRole, ...] = get_args(FeedRole)
"""What the wire to a feed is: the cable to the starter's stud, the one to the stud the alternator cable ends on, or the
short link from the battery post to where the first fuses sit."""

Cover = Literal["sleeve", "corrugated_tube", "conduit", "second_jacket", "enclosure"]
COVERS: tuple[Cover, ...] = get_args(Cover)
"""What protects a wire from chafing over its whole length. Loom tape does not."""

WHEN_ALWAYS = "always"
"""The word of a load that is on in every condition in which it is fed."""

ReadingCondition = Literal["unpowered", "rested", "alone"]
READING_CONDITIONS: tuple[ReadingCondition, ...] = get_args(ReadingCondition)
"""Conditions of a reading besides the plan's own: battery disconnected; engine off and everything switched off for
long; engine off and the point's own circuit switched on by itself."""

OutOfScope = Literal["airbag", "pretensioner", "abs", "immobiliser", "high_voltage", "fuel_tank"]
OUT_OF_SCOPE: tuple[OutOfScope, ...] = get_args(OutOfScope)
"""Kinds of circuit this program gives no figures for."""

LoomKind = Literal["chassis", "engine", "donor", "new"]

Signal = Literal[
    "supply_30", "supply_15", "supply_87", "supply_75", "supply_50", "supply_58", "switched_supply", "earth_31",
    "sensor_supply", "sensor_return", "signal", "pulse", "bus_high", "bus_low", "shield", "coil_driver",
]
SIGNALS: tuple[Signal, ...] = get_args(Signal)
"""Kinds of signal on a pin. The number is the DIN 72552 terminal; `switched_supply` is the live side of a load behind
its own switch or relay, `coil_driver` an output that switches a coil or valve to earth."""
LIVE_SIGNALS: tuple[Signal, ...] = SIGNALS[:7]
"""Those that carry battery voltage."""

Known = Literal["measured", "diagram", "guess"]
Fate = Literal["keep", "extend", "new", "join", "cut_and_insulate", "spare", "unknown"]
FATES: tuple[Fate, ...] = get_args(Fate)
"""What becomes of a wire."""

Seal = Literal["unsealed", "wire_seals", "mat_seal"]
Plating = Literal["tin", "silver", "gold"]
PluggedInto = Literal["control_unit", "sensor", "actuator", "instrument", "fuse_box", "loom"]
JoinMethod = Literal["crimp", "solder", "crimp_and_solder", "weld", "connector"]
BusRate = Literal["125 kbit/s", "250 kbit/s", "500 kbit/s", "1 Mbit/s"]

"""What no meter tells: done or looked at by hand, and signed for before the next step of first power."""

from __future__ import annotations

from typing import Literal, NamedTuple

StageKey = Literal["battery", "control_unit", "cranking", "driving"]


class SignedItem(NamedTuple):
    """Something to be signed for."""

    key: str
    stage: StageKey
    words: str


SIGNED_ITEMS: tuple[SignedItem, ...] = (
    SignedItem("wiring_looked_over", "battery", "No bare end, no chafe, every hole with a grommet, every wire clipped, "
                                                "every joint pulled by hand"),
    SignedItem("fuses_out", "battery", "All fuses, clip leads and relay bridges out, control units "
                                       "unplugged, everything switched off"),
    SignedItem("help_at_hand", "battery", "Extinguisher to hand, somebody at the battery, spanner on the earth lead"),
    SignedItem("plug_checked", "control_unit", "Open plug checked pin by pin against the pin list: supply where supply "
                                               "belongs, earth below 5 mV, no battery voltage on any signal pin"),
    SignedItem("cannot_start", "cranking", "Fuel and ignition disabled, gear out, handbrake on, hands and clothing "
                                           "clear"),
    SignedItem("heat_looked_at", "driving", "After 20 to 30 minutes with everything on: no hot holder, relay or stud; "
                                            "earths tightened again"),
    SignedItem("lamps_work", "driving", "Lamps, stop lamps, indicators, horn and wipers work, also with the engine "
                                        "running"),
    SignedItem("stop_works", "driving", "The engine stops with the key, the fuel pump stops when the engine stalls, "
                                        "the master switch stops everything if there is one"),
    SignedItem("law_asked", "driving", "Inspection or approval that the law asks for where the car is driven"),
)

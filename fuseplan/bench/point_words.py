"""What is read at each kind of point, in words: its unit, and where the red and the black probe go."""

from __future__ import annotations

from typing import Literal, NamedTuple

Unit = Literal["A", "mA", "V", "mV", "ohm", "K"]
MINUS = "battery {earthed} post"
"""`posts` says which one that is."""
PLUS = "battery {other} post"
EARTH_LEAD = "end of the battery earth lead, taken off"
"""What is earth while the battery is disconnected: the post is not."""
LIVE_LEAD = "end of the battery live lead, taken off"
"""What the supply comes in by. Its post is not: clipped to earth, it would make the body live against the other post,
and an earth lead that springs back would short the battery."""


class What(NamedTuple):
    """One thing that is read: what it is in words, its unit, and where the red and the black probe go; for a current
    the first is where it is measured."""

    words: str
    unit: Unit
    probe: str
    to: str = ""


LOAD: dict[str, What] = {
    "load_v": What("volts across the load", "V", "{load}, supply pin", "{load}, earth pin"),
    "supply_mv": What("supply-side drop", "mV", "{feed}", "{load}, supply pin"),
    "return_mv": What("earth-side drop", "mV", "{load}, earth pin", MINUS),
    "earth_mv": What("drop of its earth wire and joint", "mV", "{load}, earth pin", "{earth}"),
}
CIRCUIT: dict[str, What] = {
    "current": What("current", "A", "round the supply wire, behind {fuse}"),
    "feed_v": What("volts at the supply point", "V", "{feed}", MINUS),
    "off_v": What("volts at the load, circuit switched off", "V", "{load}, supply pin", MINUS),
    "wire_mv": What("drop of the supply wire, behind fuse and contact", "mV", "load side of {contact}",
                    "{load}, supply pin"),
    "earth_point_mv": What("drop from its earth point", "mV", "{earth}", MINUS),
    "lamp_v": What("volts across the series lamp in the fuse's place", "V", "{fuse}, supply side", "{fuse}, load side"),
    "plug_v": What("volts at its unplugged connector", "V", "supply pin of the open connector", MINUS),
    "cold_ohm": What("cold resistance, loads plugged in", "ohm", "{fuse}, load side", EARTH_LEAD),
    "plus_to_earth_ohm": What("supply wire to earth, loads unplugged", "ohm",
                              "{load}, supply pin of the open connector", EARTH_LEAD),
    "wire_ohm": What("supply wire end to end", "ohm", "{fuse}, load side",
                     "{load}, supply pin of the open connector"),
    "return_ohm": What("earth wire end to end", "ohm", "{load}, earth pin of the open connector", EARTH_LEAD),
    "holder_rise": What("temperature above a like part with a like current", "K", "{fuse}",
                        "a like part"),
}
FUSE: dict[str, What] = {
    "fuse_mv": What("drop across the fuse, on its test points", "mV", "{fuse}, supply side", "{fuse}, load side"),
    "holder_mv": What("drop across fuse and holder", "mV", "terminal of the wire into the holder",
                      "terminal of the wire out of the holder"),
}
OWN_WIRE: dict[str, What] = {
    "own_wire_mv": What("drop of its own supply wire", "mV", "end of the common wire", "{load}, supply pin"),
}
OWN_EARTH: dict[str, What] = {
    "own_earth_mv": What("drop of its own earth wire", "mV", "{load}, earth pin", "beginning of the common earth wire"),
}
BLOWN: dict[str, What] = {
    "bulb_v": What("volts across a {bulb} in the place of its blown fuse, circuit switched on", "V",
                   "{fuse}, supply side", "{fuse}, load side"),
}
CONTACT: dict[str, What] = {"contact_mv": What("drop across {contact}", "mV", "{contact}, supply side",
                                                "{contact}, load side")}
COIL_86: dict[str, What] = {"coil_86_v": What("volts at the coil's supply terminal", "V", "relay 86", MINUS)}
COIL_85: dict[str, What] = {"coil_85_mv": What("earth-side drop of the coil", "mV", "relay 85", MINUS)}
COIL: dict[str, What] = {
    "coil_v": What("volts across the relay coil", "V", "relay 86", "relay 85"),
    "coil_current": What("current of the relay coil", "mA", "in the wire to 86 or 85"),
    "socket_v": What("volts at the coil terminals of the socket, relay pulled out", "V", "socket 86", "socket 85"),
}
RELAY_FEED: dict[str, What] = {
    "relay_feed_v": What("volts at relay {terminal} with {how}", "V", "relay {terminal}", MINUS),
}
_TO_EARTH = "to earth, every other feed clipped to earth"
_TO_OTHERS = "to every other feed in turn: write the lowest"
FEED: dict[str, What] = {
    "volts": What("volts", "V", "{feed}", MINUS),
    "current": What("current into it", "A", "round the wire to {feed}"),
    "drop_mv": What("drop from the feed before it", "mV", "{upstream}", "{feed}"),
    "lamp_v": What("volts across the series lamp in the fuse's place", "V", "{fuse}, supply side", "{fuse}, load side"),
    "earth_ohm": What(_TO_EARTH, "ohm", "{feed}", EARTH_LEAD),
    "other_feeds_ohm": What(_TO_OTHERS, "ohm", "{feed}", "each other feed"),
    "holder_rise": What("temperature above a like part with a like current", "K", "{fuse}", "a like part"),
}
ROOT: dict[str, What] = {
    "earth_ohm": What(_TO_EARTH, "ohm", LIVE_LEAD, EARTH_LEAD),
    "other_feeds_ohm": What(_TO_OTHERS, "ohm", LIVE_LEAD, "each other feed"),
    "lamp_v": What("volts across the series lamp in the battery earth lead", "V", "end of the earth lead, taken off",
                   MINUS),
}
EARTH: dict[str, What] = {
    "drop_mv": What("drop to battery {earthed}", "mV", "{earth}", MINUS),
    "strap_mv": What("drop to the earth point it leads to", "mV", "{earth}", "{upstream}"),
    "current": What("current of its strap or cable", "A", "round its strap or cable"),
}
BATTERY: dict[str, What] = {
    "volts": What("volts", "V", PLUS, MINUS),
    "current": What("current out of the battery; into it is negative", "A", "round every cable of the {earthed} post"),
    "ripple_mv": What("AC ripple", "mV", PLUS, MINUS),
    "drain": What("standing drain", "mA", "in series in the {earthed} cable, fused range, or clamp round it"),
    "load_test_v": What("volts after 15 s at half the cold-cranking current", "V", PLUS, MINUS),
    "all_earth_ohm": What("all feeds and supply wires to earth", "ohm", LIVE_LEAD, EARTH_LEAD),
    "reserve_v": What("lowest volts while cranking after 10 min on the battery", "V", PLUS, MINUS),
}
ALTERNATOR: dict[str, What] = {
    "volts": What("volts", "V", "its output terminal", "its case"),
    "current": What("current", "A", "round its cable"),
    "cable_mv": What("drop of its cable", "mV", "its output terminal", PLUS),
    "case_mv": What("drop of its earth", "mV", MINUS, "its case"),
}
CAN: dict[str, What] = {
    "pair_ohm": What("CAN high to CAN low", "ohm", "CAN high", "CAN low"),
    "high_earth_ohm": What("CAN high to earth", "ohm", "CAN high", EARTH_LEAD),
    "low_earth_ohm": What("CAN low to earth", "ohm", "CAN low", EARTH_LEAD),
}
PLUG: dict[str, What] = {
    "wire_ohm": What("{function}, wire end to end", "ohm", "{start}", "{end}"),
    "earths_ohm": What("each earth pin to earth: write the highest", "ohm", "{earths}", EARTH_LEAD),
    "signals_earth_ohm": What("each signal pin to earth: write the lowest", "ohm", "{signals}", EARTH_LEAD),
    "signals_supply_ohm": What("each signal pin to each supply pin: write the lowest", "ohm", "{signals}",
                               "{supplies}"),
    "pair_ohm": What("bus high to bus low", "ohm", "pin {high}", "pin {low}"),
    "supplies_v": What("each supply pin that is live with the key on: write the lowest", "V", "{live} of the open plug",
                       MINUS),
    "sensors_v": What("each sensor and bus pin: write the highest", "V", "{sensors} of the open plug", MINUS),
}

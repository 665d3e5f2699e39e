"""Drop limits, relays, loads, lamps, terminals, colours and building practice."""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from fuseplan.errors import TableError
from fuseplan.tables import colours, drops, loads, pullout, relays, terminals
from fuseplan.tables.load import table


def test_handbook_drop_limits():
    # A trade journal, July 2017, table 2: positive lead
    printed = {"lamp_small": 0.1, "lamp": 0.5, "headlamp": 0.3, "charging": 0.4, "regulator_sense": 0.1}
    printed |= {"starter_main": 0.5, "starter_control": 1.4, "control": 0.5}
    assert {each: drops.drop_limit("handbook", each, 12).value for each in drops.DROP_CLASSES} == printed
    assert drops.drop_limit("handbook", "charging", 24).value == 0.8
    assert drops.drop_limit("handbook", "headlamp", 24) is None
    # None is printed for 6 V: half a volt lost of six is not half a volt lost of twelve.
    halves = {each: drops.drop_limit("handbook", each, 6).value for each in drops.DROP_CLASSES}
    assert halves == pytest.approx({each: volts / 2 for each, volts in printed.items()})
    assert "in proportion" in drops.drop_limit("handbook", "lamp", 6).source.line()
    assert drops.drop_limit("aircraft", "control", 6).value == 0.5 * drops.drop_limit("aircraft", "control", 12).value
    assert not drops.covers_return("handbook")


def test_other_drop_limits():
    # ISO 10133 and ABYC 3 % and 10 %; NFPA 1901 10 %; 13 CCR 1249 85 % of 12.8 V leaves 10.88 V
    assert drops.drop_limit("small_craft", "headlamp", 12).value == pytest.approx(0.36)
    assert drops.drop_limit("small_craft", "control", 12).value == pytest.approx(1.2)
    assert drops.drop_limit("small_craft_critical", "control", 12).value == pytest.approx(0.36)
    assert drops.drop_limit("ten_percent", "control", 12).value == pytest.approx(1.2)
    assert 12.8 - drops.drop_limit("lamp_85_percent", "lamp", 12.8).value == pytest.approx(10.88)
    assert drops.drop_limit("lamp_85_percent", "control", 12.8) is None
    assert drops.covers_return("aircraft")


def test_aircraft_drop_limits():
    # AC 43.13-1B table 11-6: 28 V with 1 V continuous was read; the other pairs are from memory
    assert drops.drop_limit("aircraft", "control", 28).value == 1
    assert drops.drop_limit("aircraft", "control", 14).value == 0.5
    assert drops.drop_limit("aircraft", "control", 14, "momentary").value == 1
    assert drops.drop_limit("aircraft", "control", 14).source.how == "memory"


def test_unknown_drop_names():
    for arguments in (("x", "lamp"), ("handbook", "x")):
        with pytest.raises(TableError, match="accepted are"):
            drops.drop_limit(*arguments, 12)
    with pytest.raises(TableError, match="accepted are"):
        drops.covers_return("x")


def test_cranking_drops_add_up():
    # US Army TM 5-3820-256-24-4: cable 3 to 6 ft, solenoid and mechanical switch give the 0.5 V of its example
    printed = table("army_tm_cranking_drops")
    pieces = ("cable of 3 to 6 ft", "solenoid switch", "mechanical switch")
    assert sum(printed.cited("piece", piece, "drop_v").value for piece in pieces) == pytest.approx(0.5)


def test_relay_rows():
    # TE 7-1393302-5, TE Power Relay F7, TE 1432791-1
    assert relays.contact_rating("mini_60", 23).value == 60
    assert relays.contact_rating("mini_60", 24).value == 40
    assert relays.contact_rating("maxi_70", 90).value == 30
    assert relays.contact_rating("mini_60", 126) is None
    assert relays.contact_rating("mini_40", 90) is None  # its drawing prints nothing above 85 °C
    mini = relays.relay_contact("mini_40")
    assert (mini.make_a, mini.coil_ohm, mini.coil_printed) == (90, 90, True)
    assert 12 / mini.coil_ohm == pytest.approx(0.133, abs=5e-4)
    assert relays.relay_contact("micro_30").contact_ohm == pytest.approx(0.0015)
    assert not relays.relay_contact("maxi_70").coil_printed
    with pytest.raises(TableError, match="mini_40"):
        relays.relay_contact("mega_900")


def test_relay_figures_fall_with_heat_and_with_the_closed_side():
    assert len(relays.CONTACTS) >= 10
    for each in relays.CONTACTS.values():
        printed = [a for a in (each.rated_23_a, each.rated_85_a, each.rated_125_a) if a is not None]
        assert printed
        assert printed == sorted(printed, reverse=True)
        assert each.make_a is None or each.make_a >= printed[-1]
        assert each.contact == ("NC" if each.id.endswith("_nc") else "NO")
    assert relays.CONTACTS["mini_60_nc"].rated_85_a < relays.CONTACTS["mini_60"].rated_85_a


def test_relay_short_time():
    # TE sheets: 6.0 for 0.1 s, 3.5 for 0.5 s, 2.0 for 5 s, 1.35 for 1800 s
    assert [relays.short_time_multiple(t).value for t in (0.1, 0.3, 5, 60, 3600)] == [6.0, 3.5, 2.0, 1.35, 1.0]


@pytest.mark.parametrize(
    ("kind", "system_v", "current_a", "switch_a"),
    [
        ("lamp", 12, 10, 50),
        ("motor", 12, 10, 20),
        ("coil", 28, 5, 20),
        ("resistive", 12, 17, 17),
        ("lamp", 12, 110 / 12, 46),
        ("lamp", 24, 10, 80),
        ("electronic", 12, 10, 10),
    ],
)
def test_switch_rating(kind, system_v, current_a, switch_a):
    # FAA AC 43.13-1B table 11-4; electronic counts as resistive
    assert relays.switch_factor(kind, system_v).value * current_a == pytest.approx(switch_a, abs=0.2)


def test_switch_factor_of_an_unknown_kind():
    with pytest.raises(TableError, match="capacitive"):
        relays.switch_factor("capacitive", 12)


def test_load_exponents_and_inrush():
    # Lamp rerating article: 0.55; lamps 10 to 15 times and motors 5 to 10 times (a relay module manual)
    assert loads.EXPONENTS == {"resistive": 1, "lamp": 0.55, "motor": 1, "electronic": -1, "coil": 1}
    assert loads.exponent("motor").source.how == "memory"
    ranges = table("inrush_by_load_kind")
    for kind in ("resistive", "lamp", "motor"):
        multiple, seconds = loads.default_inrush(kind).value
        row = ranges.row("kind", kind)
        assert row["multiple_from"] <= multiple <= row["multiple_to"]
        assert seconds >= 0
    with pytest.raises(TableError, match="no exponent of 'inductive'; accepted are resistive"):
        loads.exponent("inductive")


def test_lamp_sheets():
    # Directive 97/24/EC annex 15: 21 W lamps take 25 W, 6 % at 13.5 V, 5 W ones 6 W, 10 %
    printed = table("lamp_categories")
    assert printed.cited("category", "P21/5W major", "max_w").value == pytest.approx(25 * 1.06)
    assert printed.cited("category", "P21/5W minor", "max_w").value == pytest.approx(6 * 1.10)
    # the exponent of power those objectives imply lies by the published 1.6
    power = table("lamp_rerating_exponents").cited("quantity", "power", "exponent").value
    for rated, objective in ((21, 25), (5, 6)):
        assert math.log(objective / rated) / math.log(13.5 / 12) == pytest.approx(power, abs=0.13)
    assert len(printed.rows()) >= 22
    assert (printed.array("rated_w") < printed.array("max_w")).all()


def test_push_on_terminals():
    # TE catalogue 82004 (UL 310): 6.3 mm on AWG 10 24 A, intermittent twice that in every row
    assert terminals.faston_a(250, "10").value == (24, 48)
    assert terminals.faston_a(110, "16").value == (5, 10)
    assert terminals.faston_a(250, "8") is None
    for series in terminals.FASTON_SERIES:
        printed = table(f"faston_{series}")
        np.testing.assert_allclose(printed.array("intermittent_a"), 2 * printed.array("continuous_a"))
    with pytest.raises(TableError, match="250 and 110"):
        terminals.faston_a(312, "10")


def test_holders_and_contacts():
    # Littelfuse MAH 45 A continuous and 60 A at most; FHA 20 and 30 A; sealed contact size 16 13 A
    assert terminals.holders()["maxi_in_line"].max_a == 60
    assert terminals.holders()["maxi_in_line"].continuous_a == 45
    assert terminals.holders()["blade_in_line_heavy"].max_a == 30
    assert terminals.sealed_contact_a("16").value == 13
    assert terminals.sealed_contact_a("8") is None
    assert len(terminals.ring_terminals().rows()) == 3


def test_colour_purposes_use_known_letters():
    for purposes in (colours.colour_purposes(), colours.british_colour_purposes()):
        letters = purposes.texts("colour")
        assert len(letters) >= 13
        known = colours.wire_colours()
        assert all(set(re.findall("..", each)) <= known.keys() for each in letters)
    assert colours.british_colour_purposes().how == "memory"
    assert colours.colour_purposes().row("colour", "BN")["purpose"] == "earth"  # DIN 72551


def test_terminal_numbers():
    """Every terminal that is named by its number, in code and library, is one of DIN 72552."""
    known = set(table("din_72552_terminals").texts("number"))
    root = Path(__file__).parents[2]
    texts = [path.read_text(encoding="utf-8") for folder in ("fuseplan", "circuits")
             for kind in ("*.py", "*.toml") for path in (root / folder).rglob(kind)]
    named = {each for text in texts for each in re.findall(r"[Tt]erminals? ([0-9]+[a-z]?)\b(?!\.\d)", text)}
    assert {"30", "50", "85", "86", "87"} <= named
    assert named <= known, named - known


def test_pull_out_forces():
    # TE 114-2161 commercial: 14 AWG 222.5 N (50 lbf), 10 AWG 356 N (80 lbf); TE 114-2157 military is higher
    assert pullout.pull_out_n("14").value == pytest.approx(50 * 4.448, rel=0.001)
    assert pullout.pull_out_n("10").value == pytest.approx(80 * 4.448, rel=0.001)
    assert pullout.pull_out_n("2/0") is None
    assert (np.diff(table("te_114_2161_pull_out").array("commercial_n")) > 0).all()
    for awg in ("18", "16", "14", "12", "10"):
        assert table("te_114_2157_pull_out").cited("awg", awg, "military_n").value > pullout.pull_out_n(awg).value


def test_routing_practice():
    # FAA AC 43.13-1B: supports at most 24 in apart, fuel line 6 in preferred and 2 in at least
    assert pullout.clip_spacing().row("words", "aircraft practice")["spacing_mm"] == pytest.approx(24 * 25.4, abs=0.5)
    fuel = [row["clearance_mm"] for row in pullout.clearances().rows() if row["thing"] == "fuel line"]
    assert fuel == [pytest.approx(6 * 25.4, abs=0.5), pytest.approx(2 * 25.4, abs=0.5)]

"""The library is found by workshop words, British and American, and the circuit that bears the name comes first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fuseplan.planfile.library import library
from fuseplan.workspace.library_search import rank, search, words_of

ALL = library().definitions
SAID = {
    "headlamp": "dip_beam_left", "headlights": "dip_beam_left", "blinker": "indicators_left",
    "turn signals": "indicators_left", "license plate": "number_plate_lamps", "licence plate": "number_plate_lamps",
    "dynamo": "alternator_exciter", "spot lamps": "main_beams", "spotlights": "main_beams", "high beam": "main_beams",
    "tail light": "side_tail_left", "brake lights": "stop_lamps", "backup lights": "reverse_lamps",
    "rear defogger": "heated_rear_window", "gas pump": "fuel_pump_high_flow", "stereo": "radio",
    "ABS": "anti_lock_brakes",
    "antenna": "power_aerial", "cigarette lighter": "power_socket", "fan": "fan_large", "wipers": "wiper_front",
    "o2 sensor": "lambda_narrow_band", "solenoid": "starter_solenoid", "ignition coil": "ignition_coil_oil",
    "electric windows": "window_lifts", "dash lights": "panel_lamps", "courtesy light": "interior_lamp",
    "washer": "washer_pump", "washers": "washer_pump", "washer pump": "washer_pump", "wash": "washer_pump",
    "headlamp washer": "headlamp_washer",
}


@pytest.mark.parametrize(("said", "meant"), SAID.items())
def test_a_word_of_the_trade_finds_its_circuit_first(said, meant):
    assert search(ALL.values(), said)[0].id == meant


@pytest.mark.one_in(5)
@pytest.mark.parametrize("name", ALL)
def test_every_title_and_every_other_name_finds_its_own_circuit(name):
    assert search(ALL.values(), ALL[name].title)[0].id == name
    assert ALL[name].also, "what else is it called?"
    for other in ALL[name].also:
        best = rank(ALL[name], other)
        assert best is not None
        assert best[0] == 0
        assert rank(search(ALL.values(), other)[0], other)[0] == 0


@pytest.mark.parametrize("name", ALL)
def test_other_names_are_other_names(name):
    said = [words_of(each) for each in ALL[name].also]
    assert len(set(said)) == len(said)


@pytest.mark.parametrize("typed", ["zz", "zzle", "x q", "ulb", *(f"{a}{a}" for a in "bdgkqvwxyz")])
def test_what_is_found_by_its_note_has_words_that_begin_as_typed(typed):
    found = search(ALL.values(), typed)
    for each in found:
        names = [*words_of(each.title), *(word for other in each.also for word in words_of(other)), *words_of(each.id)]
        begin = [*words_of(f"{each.group} {each.note}"), *names]
        for part in words_of(typed):
            assert any(part in name for name in names) or any(word.startswith(part) for word in begin), each.id


def test_letters_within_a_word_of_a_note_find_nothing():
    lamp = replace(next(iter(ALL.values())), note="Aimed too high it dazzles others.")
    assert rank(lamp, "dazzle") is not None
    assert rank(lamp, "zz") is None
    assert rank(lamp, "azzle") is None


def test_what_nothing_is_called_finds_nothing_and_no_words_find_all():
    assert search(ALL.values(), "zzz") == []
    assert len(search(ALL.values(), "  ")) == len(ALL)

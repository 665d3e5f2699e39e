"""Contacts and data buses: figures held against what their documents print."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.errors import TableError
from fuseplan.tables.conductors import conductor
from fuseplan.tables.contacts import loading_factor, parallel_a, stub_limits, twist_limits
from fuseplan.tables.load import table


def awg(name: str) -> float:
    return conductor("AWG", name).area_mm2


@pytest.mark.parametrize(("gauge", "share", "amperes"), [
    ("20", 0.50, 3.41),  # a connector maker's product specification 108-40005 rev. F, figure 4B: 0.341
    ("18", 1.00, 2.97),  # the same: 0.297
    ("24", 0.26, 3.31),  # the same; printed 0.342, which its margins, 0.536 and 0.618, show to be a misprint
])
def test_a_10_a_contact_by_wire_and_loading(gauge: str, share: float, amperes: float) -> None:
    found = loading_factor(awg(gauge), share)
    assert found is not None
    assert 10.0 * found.value == pytest.approx(amperes, abs=0.005)
    assert "108-40005" in found.source.line()


def test_every_printed_factor_but_one_is_the_product_of_its_margins_within_one_percent() -> None:
    printed = table("contact_loading_factors")
    rows = {str(row["loaded_pct"]): row for row in printed.rows()}
    gauges = [heading for heading in printed.columns if heading != "loaded_pct"]
    margins = {(loaded, gauge): float(str(rows["single"][gauge])) * float(str(row["AWG 18"]))
               for loaded, row in rows.items() for gauge in gauges}
    off = [(loaded, gauge) for (loaded, gauge), product in margins.items()
           if abs(float(str(rows[loaded][gauge])) / product - 1) > 0.01]
    assert off == [("26", "AWG 24")]


@given(st.floats(0.09, 50.0), st.floats(0.09, 50.0), st.floats(0, 1), st.floats(0, 1))
def test_a_thinner_wire_or_more_loaded_neighbours_never_allow_more(one: float, other: float, few: float, many: float
                                                                   ) -> None:
    thin, thick = sorted((one, other))
    few, many = sorted((few, many))
    less, more = loading_factor(thin, many), loading_factor(thick, few)
    alone = loading_factor(thick, None)
    assert less is not None
    assert more is not None
    assert alone is not None
    assert less.value <= more.value * 1.006 <= alone.value * 1.006


def test_what_no_row_covers_is_nothing_on_file() -> None:
    assert loading_factor(0.05, 0.5) is None
    with pytest.raises(TableError, match="accepted is 0 to 1"):
        loading_factor(1.0, 1.2)


def test_contacts_in_parallel() -> None:
    # a trade page on connectors: two contacts of 3 A carry 4.8 A, four carry 7.68 A
    assert parallel_a(3.0, 2) == pytest.approx(4.8)
    assert parallel_a(3.0, 4) == pytest.approx(7.68)
    assert parallel_a(3.0, 3) == parallel_a(3.0, 2)
    assert parallel_a(3.0, 1) == 3.0
    assert all(parallel_a(1.0, n) <= n for n in range(1, 64))


def test_stub_limits_disagree_and_all_are_told() -> None:
    # SAE J1939-11 as reported: 1 m at 250 kbit/s; ISO 11898 as two makers of engine control units state it: 0.3 m
    limits = {limit.words: limit.value for limit in stub_limits("250 kbit/s")}
    assert limits["SAE J1939-11"] == 1.0
    assert limits["ISO 11898 as two engine control makers state it"] == 0.3
    assert "SAE J1939-11" not in {limit.words for limit in stub_limits("1 Mbit/s")}
    assert stub_limits(None)[0].value == 0.3


def test_twists_of_both_makers() -> None:
    # one engine control maker: a twist at least every 50 mm; another: one every 40 mm
    assert [limit.value for limit in twist_limits()] == [1 / 0.050, 1 / 0.040]
    assert not any(math.isnan(limit.value) for limit in twist_limits())

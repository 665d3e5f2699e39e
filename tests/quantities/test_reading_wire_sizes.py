"""Reading wire sizes: an area or a gauge with its system; a number alone is never taken for either.

Gauges: ASTM B258. Spellings and what is sold are common practice, no source.
"""

from __future__ import annotations

import math
import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.errors import AmountError
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.quantities.wire_size import WireSize, size_offers
from fuseplan.tables.conductors import conductor
from fuseplan.tables.fuses import ratings
from fuseplan.tables.load import table

READ = [
    ("2.5 mm2", "mm2", "2.5"), ("2.5 mm²", "mm2", "2.5"), ("1.5 mm^2", "mm2", "1.5"), ("2.5 sq mm", "mm2", "2.5"),
    ("2.5mmsq", "mm2", "2.5"), ("16mm sq.", "mm2", "16"), ("35 qmm", "mm2", "35"), ("2.5\u00a0mm²", "mm2", "2.5"),
    ("AWG 14", "AWG", "14"), ("10 AWG", "AWG", "10"), ("awg14", "AWG", "14"), ("#10 AWG", "AWG", "10"),
    ("AWG #10", "AWG", "10"), ("14 gauge AWG", "AWG", "14"), ("4/0 AWG", "AWG", "4/0"), ("AWG 0000", "AWG", "4/0"),
    ("AWG 0", "AWG", "1/0"), ("6 B&S", "AWG", "6"), ("SAE 14", "SAE", "14"), ("14 SAE", "SAE", "14"),
    ("AV 1.25", "AV", "1.25"), ("AV1.25", "AV", "1.25"),
]


@pytest.mark.parametrize(("text", "system", "name"), READ)
def test_sizes_as_printed_on_a_reel_are_read(text: str, system: str, name: str) -> None:
    size = WireSize.read(text)
    assert (size.system, size.name, str(size)) == (system, name, text)
    assert conductor(size.system, size.name).area_mm2 > 0


REFUSED: list[tuple[object, str, tuple[str, ...]]] = [
    ("14", "has no unit", ("14 mm2", "AWG 14", "SAE 14")), (14, "has no unit", ("14 mm2", "AWG 14", "SAE 14")),
    ("2.5", "has no unit", ("2.5 mm2",)), ("1.25", "has no unit", ("1.25 mm2", "AV 1.25")),
    ("0", "has no unit", ("AWG 1/0", "SAE 1/0")), ("600", "has no unit", ()),
    ("14 gauge", "may be AWG or SAE, which is thinner", ("AWG 14", "SAE 14")),
    ("16 ga", "may be AWG or SAE", ("AWG 16", "SAE 16")), ("#12", "may be AWG or SAE", ("AWG 12", "SAE 12")),
    ("2 gauge", "may be AWG or SAE", ("AWG 2", "SAE 2")), ("12g", "may be AWG or SAE", ("AWG 12", "SAE 12")),
    ("14 guage", "may be AWG or SAE", ("AWG 14", "SAE 14")), ("1/0", "may be AWG or SAE", ("AWG 1/0", "SAE 1/0")),
    ("0000", "may be AWG or SAE", ("AWG 4/0", "SAE 4/0")), ("4/0", "may be AWG or SAE", ("AWG 4/0", "SAE 4/0")),
    ("2,5 mm²", "has a comma; write a point", ("2.5 mm²",)), ("2,5", "has a comma", ("2.5 mm2",)),
    ("2.5mm", "is a length, perhaps over the insulation", ("2.5 mm2",)), ("4 cm", "is a length", ()),
    ("28/0.30", "is strands by diameter", ("2 mm2",)), ("14 SWG", "not on file", ()),
    ("2.5 A", "is a current; accepted is '2.5 mm2', 'AWG 14'", ()), ("AWG 99", "there is no gauge", ()),
    ("AWG 14.5", "is not a wire size", ()), ("fat", "is not a wire size", ()), ("0 mm2", "out of range", ()),
    ("2 x 2.5 mm2", "not one number", ()), (True, "is not a wire size", ()), ([], "is not a wire size", ()),
]


@pytest.mark.parametrize(("value", "words", "offered"), REFUSED)
def test_what_may_be_two_sizes_is_refused_and_both_are_offered(
        value: object, words: str, offered: tuple[str, ...]) -> None:
    with pytest.raises(AmountError) as caught:
        WireSize.read(value)
    assert words in str(caught.value)
    assert caught.value.offers == offered


NUMBERS = st.one_of(st.integers(0, 700).map(str), st.floats(0, 200, allow_nan=False).map(lambda x: f"{x:.3g}"),
                    st.sampled_from(["00", "000", "0000", "1/0", "2/0", "3/0", "4/0", "5/0", "2,5", "1,500", "½",
                                     "14/0.3"]))
WORDS = st.sampled_from(["", "mm2", "mm²", "sq mm", "mm", "AWG", "SAE", "AV", "gauge", "ga", "g", "SWG", "B&S", "A",
                         "wire"])
TEXTS = st.one_of(st.tuples(NUMBERS, WORDS).map(" ".join), st.tuples(WORDS, NUMBERS).map(" ".join),
                  st.tuples(st.sampled_from(["#", "no. ", "gauge "]), NUMBERS).map("".join),
                  st.text(alphabet="0123456789./,#AWGSEgam²x ", max_size=10), st.text(max_size=6))


def refusal(text: str) -> AmountError | None:
    try:
        WireSize.read(text)
    except AmountError as error:
        return error
    return None


@settings(max_examples=400, deadline=None)
@given(text=TEXTS)
def test_what_is_accepted_goes_round_and_what_is_offered_is_accepted_and_on_file(text: str) -> None:
    refused = refusal(text)
    if refused is not None:
        assert "accepted is" in str(refused) or "accepted are" in str(refused)
        assert "\n" not in str(refused)
        for offered in refused.offers:
            found = WireSize.read(offered)
            assert f"'{offered}'" in str(refused)
            if 0.05 <= found.area_mm2 <= 300 or math.isnan(found.area_mm2):
                assert conductor(found.system, found.name).area_mm2 > 0
        return
    size = WireSize.read(text)
    again = WireSize.read(str(size))
    assert (again.system, again.name) == (size.system, size.name)
    assert pickle.loads(pickle.dumps(size)).name == size.name
    assert size.system in ("mm2", "AWG", "SAE", "AV")
    assert any(letter.isalpha() for letter in text), "never by a number alone"


@given(strands=st.integers(7, 200), diameter=st.floats(0.1, 0.6))
def test_strands_are_never_offered_as_better_copper_than_they_are(strands: int, diameter: float) -> None:
    """A size that cables are named by may have more area than the strands; what IEC 60228 lets it have of resistance is
    still more than theirs, at 17.241 Ω mm²/km for annealed copper (IEC 60028, from memory)."""
    text = f"{strands}/{diameter:.2f}"
    copper_mm2 = strands * math.pi / 4 * float(f"{diameter:.2f}") ** 2
    for offered in size_offers(text):
        size = WireSize.read(offered)
        assert size.area_mm2 <= copper_mm2 / 0.975
        assert size.area_mm2 <= copper_mm2 or \
            conductor(size.system, size.name).r20_ohm_per_m > 17.241e-3 / copper_mm2


@pytest.mark.parametrize("name", ["uk_thin_wall_class_b", "bs_6862_uk"])
def test_the_strands_of_a_printed_cable_are_offered_as_its_size(name: str) -> None:
    """As both lists print them side by side: 28/0.30 is 2 mm², and no row lower. A name that is more copper than the
    size has may go by the copper."""
    for row in table(name).rows():
        offered, = size_offers(str(row["strands"]))
        assert float(str(row["area_mm2"])) <= WireSize.read(offered).area_mm2 <= 1.04 * float(str(row["area_mm2"]))


@pytest.mark.parametrize(("text", "words", "offered"), [
    # The area is that of the strands, π/4 · d² each; 0.012 inch is 0.3048 mm; 1.98 mm² is sold as 2 mm².
    ("28/0.30", "strands by diameter", "2 mm2"), ("28/0.30 cable", "strands by diameter", "2 mm2"),
    ("44/.012", "strands by diameter", "3.21 mm2"), ("44/0.012 in", "strands by diameter", "3.21 mm2"),
    ("4 mm auto cable", "diameter over the insulation", None), ("4 mm auto", "diameter over the insulation", None),
    ("3 mm thin wall", "diameter over the insulation", None),
    ("27 amp cable", "is a current", None)])
def test_trade_names_of_other_countries_are_refused_with_their_reason(text, words, offered):
    with pytest.raises(AmountError, match=words) as caught:
        WireSize.read(text)
    if offered is not None:
        assert offered in str(caught.value)


@pytest.mark.parametrize(("text", "offered"), [("35 A blow", "17.5 A"), ("50 amp blow", "25 A"), ("8A blow", "4 A")])
def test_a_glass_fuse_by_its_blowing_current_is_refused_with_what_it_carries(text, offered):
    # Half the blowing current: common practice, no source.
    with pytest.raises(AmountError, match=f"blows.*glass_british.*'{offered}'"):
        amount(text, CURRENT)
    ladder = ratings("glass_british")
    assert ladder is not None
    assert float(offered.split()[0]) in ladder.value
    assert ladder.source.how == "memory"



@pytest.mark.parametrize(("load", "allowed", "unit", "texts"), [
    (0.2, 0.177, "m", ("200 mm", "177 mm")), (0.05, 0.12, "A", ("50 mA", "120 mA")),
    (0.95, 1.4, "ohm", ("950 mΩ", "1400 mΩ")), (0.05, 30.0, "A", ("50 mA", "30 A")),
    (0.19, 5.0, "m", ("190 mm", "5.00 m")), (0.3, 0.5, "V", ("0.30 V", "0.50 V")),
])
def test_two_figures_of_like_size_stand_in_one_unit(load: float, allowed: float, unit: str,
                                                    texts: tuple[str, str]) -> None:
    assert writing.against(load, allowed, unit) == texts
    assert writing.judged(allowed, load, unit, "limit") == writing.against(load, allowed, unit)[::-1]

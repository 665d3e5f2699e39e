"""Least voltages while cranking, the drops a starter circuit may have, and the current of a starter by engine size."""

from __future__ import annotations

from functools import lru_cache

from fuseplan.engine.source import COLD_TEST_C, SCALED, crank_c
from fuseplan.plan.model import Battery
from fuseplan.tables.commissioning import load_test_v
from fuseplan.tables.load import Cited, table
from fuseplan.trace import decided


@lru_cache(maxsize=64)
def voltage_limit(name: str, system_v: float) -> Cited[float]:
    """Least voltage while cranking by its row, scaled from 12 V."""
    found = table("cranking_voltage_limits").known("id", name, "voltage_v")
    return Cited(found.value * system_v / 12.0, found.source)


def battery_limit(battery: Battery | None, system_v: float) -> Cited[float]:
    """Least voltage of the battery post while cranking, at the temperature its resistance is taken at: that of the
    workshop load test, below its coldest row that row's, scaled from 12 V."""
    at = crank_c(battery)
    found = load_test_v(max(float(at), COLD_TEST_C))
    assert found is not None
    value = decided(found.value * system_v / 12.0, "U", "V", "least voltage of the battery post while cranking: that "
                    f"of the workshop load test at that temperature, straight line between the printed rows, {SCALED}",
                    found.source.line, at)
    return Cited(value, found.source)


def side_limit(side: str, system_v: float) -> Cited[float]:
    """Voltage the starter circuit may lose on one side, "supply" or "return", scaled from 12 V."""
    found = table("starter_tester_drops").known("side", side, "drop_v")
    return Cited(found.value * system_v / 12.0, found.source)


def current_by_size(litres: float) -> Cited[float]:
    """Starter current by the published rule, at the upper end of its tolerance."""
    printed = table("starter_current_rule")
    per_litre, tolerance = (printed.known("quantity", key, "value") for key in ("a_per_litre", "tolerance"))
    return Cited(per_litre.value * litres * (1.0 + tolerance.value), per_litre.source)

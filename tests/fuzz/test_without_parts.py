"""A plan may lack any of its tables, and its battery may be flat: every command still says what can be said."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.plan.references import ENTRIES
from tests.fuzz.laws import hold, printed
from tests.fuzz.mutated import TESTS, untie

SMALL = tomllib.loads((TESTS / "cli" / "plans" / "small.toml").read_text(encoding="utf-8"))
EMPTY: dict[str, Any] = {"fuseplan": 1}
TABLES = [name for name in ("vehicle", "battery", "alternator", *ENTRIES) if name in SMALL]


def without(*tables: str) -> dict[str, Any]:
    data = {key: copy.deepcopy(value) for key, value in SMALL.items() if key not in tables}
    if "feed" in tables:
        for circuit in data["circuit"].values():
            circuit.pop("relay", None)
        data.pop("fuse_box", None)
    untie(data)
    return data


def test_the_loop_is_worth_running() -> None:
    assert len(TABLES) >= 5


@pytest.mark.one_in(3)
@pytest.mark.parametrize("table", TABLES)
def test_one_table_may_be_missing(table: str, tmp_path: Path) -> None:
    assert hold(without(table), tmp_path, 1) == "assessed"


@pytest.mark.one_in(3)
@pytest.mark.parametrize("data", [EMPTY, *({"fuseplan": 1, table: SMALL[table]} for table in ("vehicle", "battery")),
                                  {"fuseplan": 1, "feed": {"post": {}}}, {"fuseplan": 1, "earth": {"post": {}}}],
                         ids=["nothing", "vehicle", "battery", "feed", "earth"])
def test_next_to_nothing_may_be_there(data: dict[str, Any], tmp_path: Path) -> None:
    assert hold(data, tmp_path, 1) == "assessed"


def test_loads_may_be_missing(tmp_path: Path) -> None:
    data = without()
    for circuit in data["circuit"].values():
        circuit["load"] = []
        circuit.pop("relay", None)
    assert hold(data, tmp_path, 1) == "assessed"


@pytest.mark.one_in(3, first=2)
@pytest.mark.parametrize("battery", [{"capacity": "1 Ah"}, {"state_of_charge": 0.0}, {"state_of_charge": 0.01},
                                     {"capacity": "1 Ah", "state_of_charge": 0.3, "peukert": 2.0}], ids=str)
def test_the_battery_may_go_flat_on_every_trip(battery: dict[str, Any], tmp_path: Path) -> None:
    data = without("alternator")
    data["battery"] |= battery
    assert hold(data, tmp_path, 1) == "assessed"


def test_days_without_a_battery_are_not_known(tmp_path: Path) -> None:
    assert hold(without("battery"), tmp_path, 1) == "assessed"
    said = printed(["power", "PLAN"], tmp_path / "fuzzed.toml")
    assert "0.0 days" not in said
    assert "never" not in said

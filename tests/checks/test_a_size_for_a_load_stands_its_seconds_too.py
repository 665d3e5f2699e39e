"""A size named for a wire that carries too much stands what flows for seconds, a starter's current, as well as what
lasts: entered, nothing of the wire is too hot any more."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks import assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_data
from tests.checks.check_plans import passing


def of(data: dict[str, Any]) -> list[Finding]:
    return [each for each in assess(Plan.model_validate(data)).findings if each.check == "earth-strap-overloaded"]


@pytest.mark.parametrize("charges", [True, False], ids=["with a lasting current", "with seconds alone"])
@pytest.mark.parametrize("size", ["2.5 mm2", "4 mm2", "6 mm2", "10 mm2"])
def test_what_it_names_is_enough(size: str, charges: bool) -> None:
    data = parse_data(passing("no-engine-strap"), "plan")
    strap = data["earth"]["engine"]["wire"][0]
    strap |= {"size": size, "length": "0.5 m"}
    data["circuit"]["starter"]["load"][0] |= {"current": "300 A", "use": "momentary"}
    if charges:
        data["alternator"] = {"rated": "70 A", "earth": "engine"}
    found = of(data)
    assert found
    (path, value), = found[0].values
    assert path == "earth.engine.wire.0.size"
    assert found[0].fix == f"fit {value.replace('mm2', 'mm²')} in its place"
    strap["size"] = value
    assert not of(data)

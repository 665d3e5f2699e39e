"""An earth point whose name says that it is for sensors carries no power load, with or without a sensor in the plan."""

import pytest

from fuseplan.checks import assess
from tests.plans import cabin_wire, large_plan, load, plan_of

CHECK = "sensor-earth-shared"


def found(name: str, current: str) -> list[tuple[str, str]]:
    data = large_plan(4)
    earth = next(iter(data["earth"]))
    data["earth"]["e9"] = {"name": name, "to": earth, "wire": cabin_wire("2.5 mm2", "1 m")}
    next(iter(data["circuit"].values())).update(earth="e9", load=[load(current)])
    return [(each.subject_kind, each.subject) for each in assess(plan_of(data)).findings if each.check == CHECK]


@pytest.mark.parametrize("name", ["Sensor earth of the control unit", "Earth for sensors", "Sensors return"])
def test_a_power_load_on_a_sensor_earth_is_told(name: str) -> None:
    assert found(name, "6 A") == [("earth", "e9")]
    assert not found(name, "0.4 A"), "what draws little disturbs no sensor"


@pytest.mark.parametrize("name", ["Body, front", "Earth by the parking sensor"])
def test_any_other_point_carries_what_it_likes(name: str) -> None:
    assert not found(name, "6 A")

"""A battery isolator in the supply: what is fed from before it stays live, and whoever opens it is told so."""

from __future__ import annotations

from tomllib import loads as toml
from typing import Any

from fuseplan.checks import Assessment, assess
from fuseplan.papers.paper_set import paper_set, texts_of
from tests.checks.check_plans import passing
from tests.plans import plan_of

CHECK = "isolator-bypassed"


def isolated(before: dict[str, str] | None = None, **switch: Any) -> dict[str, Any]:
    """A car whose every feed goes through the isolator, but for circuits (name: role) fed from before it."""
    data = toml(passing(CHECK))
    del data["earth"]["body"]["switch"]
    data["feed"]["main"] = {"from": "battery_post", "switch": {"rating": "100 A", "also_opens": ["none"], **switch},
                            "fuse": {"kind": "mega", "rating": "100 A", "distance": "50 mm"},
                            "wire": [{"size": "25 mm2", "length": "0.4 m", "zone": "cabin", "insulation": "xlpe125"}]}
    data["feed"]["ignition"]["from"] = "main"
    for name, role in (before or {}).items():
        data["circuit"][name] = {**data["circuit"]["coil"], "role": role, "feed": "battery_post",
                                 "fuse": {"kind": "blade", "rating": "10 A", "distance": "100 mm"}}
    return data


def found(data: dict[str, Any]) -> list[Any]:
    assessment: Assessment = assess(plan_of(data))
    return [each for each in assessment.findings if each.check == CHECK]


def test_what_is_fed_from_before_it_is_named_all_of_it() -> None:
    assert found(isolated()) == []
    names = {f"memory_{number}": "alarm" for number in range(7)}
    [finding] = found(isolated(names))
    assert finding.level == "advice"
    assert all(name in finding.message for name in names)
    assert "coil" not in finding.message
    (paper,) = paper_set(assess(plan_of(isolated(names))), ["owner-summary"]).papers
    text = "\n".join(texts_of(paper.blocks))
    assert "Live with it open" in text
    assert all(name in text.split("Live with it open")[1] for name in names)


def test_an_engine_that_is_fed_from_before_it_runs_on_unless_it_opens_the_ignition() -> None:
    [finding] = found(isolated({"second_coil": "ignition"}))
    assert finding.level == "danger"
    [stopped] = found(isolated({"second_coil": "ignition"}, also_opens=["ignition"]))
    assert stopped.level != "danger"


def test_a_plain_switch_in_a_feed_is_no_battery_isolator() -> None:
    data = isolated({"clock": "alarm"})
    del data["feed"]["main"]["switch"]["also_opens"]
    assert found(data) == []

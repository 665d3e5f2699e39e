"""A battery isolator in the supply: what is fed from before it stays live, and whoever opens it is told so."""

from __future__ import annotations

from pathlib import Path
from tomllib import loads as toml
from typing import Any

from fuseplan.checks import Assessment, assess
from fuseplan.papers.paper_set import paper_set, texts_of
from fuseplan.planfile.plain import with_value, without
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


def test_a_pump_before_it_stops_where_its_relay_lets_go_with_what_is_behind() -> None:
    """Its coil is fed from behind an isolator that stops the alternator, too; with the coil fed from before it, or an
    alternator that goes on behind it, the pump may run on."""
    data = isolated({"pump": "fuel_pump"}, also_opens=["alternator_field"])
    relay = {"contact": "mini_40", "coil_feed": "ignition", "driver": "switch", "suppression": "diode"}
    field = "alternator_field"
    for feed, opens, level in (("ignition", field, "advice"), ("battery_post", field, "danger"),
                               ("ignition", "none", "danger")):
        data["circuit"]["pump"]["relay"] = relay | {"coil_feed": feed}
        data["feed"]["main"]["switch"]["also_opens"] = [opens]
        [finding] = found(data)
        assert finding.level == level
        assert "pump" in finding.message


def test_no_pump_lets_go_that_a_further_feed_keeps_alive_or_that_another_isolator_parts() -> None:
    data = isolated({"pump": "fuel_pump"}, also_opens=["alternator_field"])
    pump = data["circuit"]["pump"]
    pump["relay"] = {"contact": "mini_40", "coil_feed": "ignition", "driver": "switch", "suppression": "diode"}
    assert [each.level for each in found(data)] == ["advice"]
    pump["also_from"] = ["battery_post"]
    assert [each.level for each in found(data)] == ["danger"]
    del pump["also_from"]
    data["feed"]["second"] = {**data["feed"]["main"], "from": "battery_post", "switch": {
        **data["feed"]["main"]["switch"], "also_opens": ["none"]}}
    pump["relay"]["coil_feed"] = "second"
    assert "danger" in [each.level for each in found(data)]


def test_an_alternator_before_it_stays_on_the_battery_and_its_cable_whatever_it_opens() -> None:
    """For a race it must cut the alternator too: FIA Appendix J, article 253-13 (2016), second-hand. With its field
    opened it delivers nothing, but the battery still feeds its cable: whoever works there is told so."""
    data = isolated()
    data["alternator"] = {"rated": "70 A", "low_speed": "40 A", "feed": "battery_post"}
    [finding] = found(data)
    assert finding.level == "advice"
    assert "alternator" in finding.message
    (paper,) = paper_set(assess(plan_of(data)), ["owner-summary"]).papers
    assert "the alternator, while it turns, and its cable" in "\n".join(texts_of(paper.blocks))
    for opens in ("alternator_field", "ignition"):
        stopped = with_value(data, ("feed", "main", "switch", "also_opens"), [opens])
        [cable] = found(stopped)
        assert cable.level == "advice"
        assert "still on the battery: the alternator cable" in cable.message
        assert cable.fields == ("alternator.feed",)
        (paper,) = paper_set(assess(plan_of(stopped)), ["owner-summary"]).papers
        assert "the alternator cable" in "\n".join(texts_of(paper.blocks)).split("Live with it open")[1]
        assert found(with_value(stopped, ("alternator", "feed"), "main")) == []
    assert found(with_value(data, ("feed", "main", "switch", "also_opens"), ["alternator_cable"])) == []
    data["circuit"]["second_coil"] = {**data["circuit"]["coil"], "feed": "battery_post"}
    [both] = found(data)
    assert both.level == "danger"
    assert "second_coil" in both.message
    assert "alternator" in both.message
    [behind] = found(with_value(data, ("alternator", "feed"), "main"))
    assert "alternator" not in behind.message
    [left] = [each for each in assess(plan_of(with_value(data, ("alternator", "feed"), "main"))).findings
              if each.check == "alternator-not-isolated"]
    assert "battery side" not in left.fix, "a fix asks for nothing that is found fault with"


def test_a_plain_switch_in_a_feed_is_no_battery_isolator() -> None:
    data = isolated({"clock": "alarm"})
    del data["feed"]["main"]["switch"]["also_opens"]
    assert found(data) == []


def with_a_second_battery(data: dict[str, Any], feed: str, **relay: Any) -> dict[str, Any]:
    """The same car with a second battery that a relay joins to one of its feeds."""
    link = toml(passing("second-battery-unprotected"))["circuit"]["link"]
    link["relay"] |= {"coil_feed": feed, **relay}
    data["circuit"]["link"] = {**link, "feed": feed}
    return data


def of_the_second_battery(data: dict[str, Any]) -> list[Any]:
    return [each for each in found(data) if each.subject == "link"]


def test_a_second_battery_joined_behind_an_isolator_feeds_the_car_with_it_open() -> None:
    """It is a second source: only what stands between it and the car parts them."""
    data = with_a_second_battery(isolated(), "main")
    [finding] = of_the_second_battery(data)
    assert finding.level == "danger"
    assert "coil" in finding.message
    (paper,) = paper_set(assess(plan_of(data)), ["owner-summary"]).papers
    assert "fed by the second battery of link" in "\n".join(texts_of(paper.blocks))
    assert of_the_second_battery(with_a_second_battery(isolated(), "battery_post")) == []
    data["circuit"]["link"]["second_battery"]["converter_before"] = 1
    assert of_the_second_battery(data) == []


def test_one_whose_relay_lets_go_with_the_ignition_the_isolator_opens_does_not() -> None:
    opened = {"also_opens": ["ignition"]}
    assert of_the_second_battery(with_a_second_battery(isolated(None, **opened), "main", coil_feed="ignition")) == []
    [finding] = of_the_second_battery(with_a_second_battery(isolated(None, **opened), "main"))
    assert finding.level == "warning"
    assert of_the_second_battery(with_a_second_battery(isolated(), "main", coil_feed="ignition"))


def test_an_isolator_of_its_own_parts_it_from_the_car() -> None:
    data = with_a_second_battery(isolated(), "main")
    data["feed"]["spare"] = {**data["feed"]["main"], "from": "main"}
    data["circuit"]["link"]["feed"] = "spare"
    assert of_the_second_battery(data) == []


def test_a_second_battery_earthed_behind_an_isolator_in_the_earth_lead_feeds_the_car_with_it_open() -> None:
    data = with_a_second_battery(toml(passing(CHECK)), "battery_post")
    [finding] = of_the_second_battery(data)
    assert "coil" in finding.message
    data["circuit"]["link"]["earth"] = "battery_negative"
    assert of_the_second_battery(data) == []


def test_where_the_alternator_cable_ends_is_asked_where_the_answer_decides_what_an_isolator_stops() -> None:
    """Left out, the cable counts as ending on the battery post: a danger that the answer was went without a word."""
    track = toml((Path(__file__).parents[2] / "examples" / "track_car.toml").read_text(encoding="utf-8"))

    def asked(data: dict[str, Any]) -> list[bool]:
        return [each.safety for each in assess(plan_of(data)).not_said if each.key == "alternator.feed"]

    silent = without(track, ("alternator", "feed"))
    assert "alternator-not-isolated" in {each.check for each in assess(plan_of(track)).findings}
    assert asked(track) == []
    assert asked(silent) == [True]
    assert asked(with_value(silent, ("feed", "master", "switch", "also_opens"), ["alternator_field"])) == []
    assert asked(with_value(silent, ("feed", "master", "switch", "also_opens"), ["none"])) == [True]
    assert asked(without(silent, ("feed", "master", "switch"))) == []


def test_it_is_asked_of_an_isolator_behind_a_stud_too_and_of_no_switch_behind_a_small_fuse() -> None:
    """A cable ends on no feed whose fuse is for a few lamps: a light switch with feeds behind it is no isolator."""
    track = toml((Path(__file__).parents[2] / "examples" / "track_car.toml").read_text(encoding="utf-8"))
    track["feed"]["stud"] = {"from": "battery_post", "zone": "cockpit"}
    track["feed"]["master"]["from"] = "stud"
    assert "alternator-not-isolated" in {each.check for each in assess(plan_of(track)).findings}
    silent = without(track, ("alternator", "feed"))

    def asked(**lights: Any) -> list[str]:
        data = with_value(silent, ("feed", "lights"), {"from": "main_bus", "zone": "cockpit", "switch": {}, **lights})
        data = with_value(data, ("feed", "left"), {"from": "lights", "zone": "cockpit"})
        if lights:
            data = without(data, ("feed", "master", "switch"))
        return [each.what for each in assess(plan_of(data)).not_said if each.key == "alternator.feed"]

    assert [("master" in each) for each in asked()] == [True]
    fuse = {"kind": "blade", "distance": "50 mm"}
    assert asked(fuse={**fuse, "rating": "30 A"}) == []
    assert len(asked(fuse={**fuse, "kind": "mega", "rating": "100 A"})) == 1
    assert len(asked(fuse=fuse)) == 1
    assert asked(switch={"rating": "30 A"}) == []
    assert len(asked(switch={"rating": "100 A"})) == 1

"""Joined feeds, against networkx for who reaches whom and ngspice for the voltage left on a dead feed."""

from __future__ import annotations

import random
import re
import shutil
import subprocess
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.backfeed import MACHINE, Join, joins_of, passages
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.words import STATES
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import around
from tests.lazily import Lazily
from tests.plans import plan_of

nx = Lazily("networkx")

FEEDS = """
[feed.ignition]
from = "battery_post"
live = ["ignition", "crank", "running"]
[feed.lights]
from = "battery_post"
live = ["accessory", "ignition", "running"]
"""


def tell_tale(more: str = "", load: str = 'to_feed = "ignition"', feed: str = "lights") -> str:
    return FEEDS + f"""
[circuit.tell_tale]
feed = "{feed}"
{more}
fuse = {{ kind = "blade", rating = "3 A" }}
wire = [{{ size = "0.75 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }}]
earth = "battery_negative"
[[circuit.tell_tale.load]]
name = "Tell-tale"
power = "2 W"
at = "12 V"
kind = "lamp"
{load}
when = ["key_on"]
evidence = "plate"
[circuit.coil]
feed = "ignition"
fuse = {{ kind = "blade", rating = "5 A" }}
wire = [{{ size = "0.75 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }}]
earth = "battery_negative"
[[circuit.coil.load]]
name = "Valve"
current = "0.1 A"
at = "12 V"
kind = "coil"
when = ["engine"]
evidence = "plate"
"""


def joins(plan: Plan) -> tuple[Join, ...]:
    return joins_of(assess(plan, "road").results)


def test_a_lamp_between_two_feeds_joins_them_when_one_is_off() -> None:
    """In the accessory position the lights are live and the ignition is dead; while cranking the other way round."""
    found = {(each.state, each.source, each.dead) for each in joins(around(tell_tale()))}
    assert found == {("accessory", ("feed", "lights"), "ignition"), ("crank", ("feed", "ignition"), "lights")}


def test_a_diode_lets_current_pass_one_way_only() -> None:
    found = {(each.state, each.dead) for each in joins(around(tell_tale(more="diode = true")))}
    assert found == {("accessory", "ignition")}


def test_a_circuit_from_two_feeds_joins_them_without_a_load_between() -> None:
    found = joins(around(tell_tale(more='also_from = ["ignition"]', load="")))
    assert {(each.state, each.dead) for each in found} == {("accessory", "ignition"), ("crank", "lights")}
    assert all(step.load is None for each in found for step in each.path)
    assert next(each for each in found if each.dead == "ignition").dead_v == pytest.approx(12.6, abs=1e-6)
    assert joins(around(tell_tale(more='also_from = ["ignition"]\ndiode = true', load=""))) == ()


def test_the_charge_lamp_feeds_the_ignition_while_the_engine_still_turns() -> None:
    text = tell_tale(load="", feed="ignition").replace('[circuit.tell_tale]', '[circuit.charge]').replace(
        "circuit.tell_tale.load", "circuit.charge.load")
    plan = around(text)
    assert plan.alternator is not None
    assert joins(plan) == ()
    excited = plan.model_copy(update={"alternator": plan.alternator.model_copy(update={"exciter": "charge"})})
    found = joins(excited)
    assert {each.state for each in found} == {"off", "accessory", "run_on"}
    assert all(each.source == MACHINE and each.dead == "ignition" and each.circuit == "charge" for each in found)


@pytest.mark.parametrize("driver", ["voltage_sensing", "ecu"])
@pytest.mark.parametrize("on_feed", [True, False])
def test_a_relay_that_senses_the_voltage_may_still_be_closed_after_the_engine(driver: str, on_feed: bool) -> None:
    """It parts at 12.8 V (two sellers), and a battery just charged stands above that: only a dead coil opens it."""
    relay = f'relay = {{ contact = "mini_40", coil_feed = "COIL", driver = "{driver}", suppression = "diode" }}'
    text = tell_tale(more="" if on_feed else relay, load="")
    if on_feed:
        text = text.replace("[feed.lights]", f"[feed.lights]\n{relay}")
    for coil, state, open_ in (("ignition", "ignition", False), ("ignition", "off", True),
                               ("battery_post", "accessory", False)):
        results = assess(around(text.replace("COIL", coil)), "road").results
        start, end = (("feed", "battery_post"), ("feed", "lights")) if on_feed else \
            (("feed", "lights"), ("circuit", "tell_tale"))
        passed = any((each.start, each.end) == (start, end) for each in passages(results, state))
        assert passed != open_, (coil, state)


def test_an_ordinary_plan_joins_nothing() -> None:
    assert joins(around(tell_tale(load=""))) == ()


@pytest.mark.parametrize(("earthed", "ring"), [("negative", "away from"), ("positive", "towards")])
def test_the_finding_names_the_place_of_the_diode_and_which_way_round_it_goes(earthed: str, ring: str) -> None:
    """Current goes from a live bus into the lamp, and with positive earth back into it: the ring points along it."""
    plan = around(tell_tale())
    plan = plan.model_copy(update={"vehicle": plan.vehicle.model_copy(update={"earthed": earthed})})
    found = [each for each in assess(plan, "road").findings if each.check == "back-feed"]
    assert found
    for each in found:
        assert each.subject == "tell_tale"
        assert "a diode in the wire of tell_tale" in each.fix
        assert f"its ring (cathode) {ring} " in each.fix
    assert any(each.level != "advice" and "coil" in each.message for each in found)


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="the judge is ngspice")
@pytest.mark.parametrize("sink", [0.02, 0.1, 1.0])
def test_the_voltage_left_is_what_ngspice_finds(tmp_path: Path, sink: float) -> None:
    """2 W lamp by I = I₀·(U/12)^0.55 (published lamp rerating) in series with a coil of 12 V / its current."""
    plan = around(tell_tale().replace('current = "0.1 A"', f'current = "{sink} A"'))
    join = next(each for each in joins(plan) if each.state == "accessory")
    netlist = f"""lamp and coil
V1 live 0 12.6
B1 live dead I={2 / 12:.12g}*pwr(abs(V(live,dead))/12,0.55)*sgn(V(live,dead))
R1 dead 0 {12 / sink:.12g}
.options reltol=1e-9 vntol=1e-9 abstol=1e-12 gmin=1e-15 itl1=500
.nodeset v(live)=12.6 v(dead)=6
.control
op
print v(dead)
.endc
.end
"""
    (tmp_path / "join.cir").write_text(netlist)
    out = subprocess.run(["ngspice", "-b", str(tmp_path / "join.cir")], capture_output=True, text=True, timeout=60,
                         check=False).stdout
    printed = re.search(r"v\(dead\) = (\S+)", out)
    assert printed is not None, out
    assert join.dead_v == pytest.approx(float(printed[1]), abs=2e-3)
    assert join.current_a == pytest.approx(float(printed[1]) / (12 / sink), rel=1e-3)


def _graph(results: Results, state: str) -> nx.MultiDiGraph:
    """The same plan as a graph, from the plan alone."""
    plan, graph = results.plan, nx.MultiDiGraph()
    live = {name: bool(mask[STATES.index(state)]) for name, mask in results.network.feed_live.items()}  # type: ignore[arg-type]
    for name, feed in plan.feed.items():
        graph.add_node(("feed", name))
        if feed.upstream is not None and (feed.live is None or state in feed.live):
            graph.add_edges_from([(("feed", name), ("feed", feed.upstream)), (("feed", feed.upstream), ("feed", name))])
    for name, circuit in plan.circuit.items():
        own = [circuit.feed] if circuit.relay is None or live[circuit.relay.coil_feed] else []
        for feed_name in (*own, *circuit.also_from):
            graph.add_edge(("feed", feed_name), ("circuit", name))
            if not circuit.diode:
                graph.add_edge(("circuit", name), ("feed", feed_name))
        for load in circuit.load:
            end = ("feed", load.to_feed) if load.to_feed else \
                MACHINE if plan.alternator is not None and plan.alternator.exciter == name else None
            if end is not None:
                graph.add_edges_from([(("circuit", name), end), (end, ("circuit", name))])
    return graph


def _world(seed: int) -> dict[str, Any]:
    """Feeds with states at random, tell-tales between some, wires from two, diodes in some."""
    rng = random.Random(seed)
    feeds: dict[str, Any] = {"post": {}}
    for number in range(6):
        feeds[f"bus_{number}"] = {"from": rng.choice(list(feeds))}
        if rng.random() < 0.7:
            feeds[f"bus_{number}"]["live"] = rng.sample(STATES, rng.randint(1, 5))
    names = list(feeds)
    circuits: dict[str, Any] = {}
    for number in range(8):
        load = {"power": "5 W", "at": "12 V", "kind": rng.choice(["lamp", "coil", "electronic"]), "evidence": "plate"}
        if rng.random() < 0.5:
            load["to_feed"] = rng.choice(names)
        circuit: dict[str, Any] = {"feed": rng.choice(names), "earth": "negative", "load": [load],
                                   "fuse": {"kind": "blade", "rating": "5 A"},
                                   "wire": [{"size": "1 mm2", "length": "1 m"}]}
        if rng.random() < 0.3:
            circuit["also_from"] = [rng.choice(names)]
        if rng.random() < 0.3:
            circuit["diode"] = True
        if rng.random() < 0.3:
            circuit["relay"] = {"contact": "mini_40", "coil_feed": rng.choice(names), "suppression": "diode"}
        circuits[f"circuit_{number}"] = circuit
    alternator = {"rated": "50 A", "exciter": rng.choice(list(circuits))} if rng.random() < 0.5 else None
    data: dict[str, Any] = {"fuseplan": 1, "feed": feeds, "earth": {"negative": {}}, "circuit": circuits}
    return data | ({"alternator": alternator} if alternator else {})


def test_the_dead_feeds_reached_are_those_networkx_reaches() -> None:
    reached = 0
    for seed in range(40):
        results = assess(plan_of(_world(seed)), "road").results
        found = joins_of(results)
        for state in STATES:
            graph = _graph(results, state)
            number = STATES.index(state)
            live = {name for name, mask in results.network.feed_live.items() if mask[number]}
            sources = [("feed", name) for name in live]
            if results.plan.alternator is not None:
                sources.append(MACHINE)
                graph.add_node(MACHINE)
            met = set().union(*(nx.descendants(graph, source) for source in sources)) if sources else set()
            dead = {name for kind, name in met if kind == "feed" and name not in live}
            own = {each.dead for each in found if each.state == state}
            assert own <= dead
            # A dead feed that is not entered itself hangs by its own closed contact on one that is.
            plain = nx.Graph((one, other) for one, other in graph.edges() if one[0] == other[0] == "feed")
            around_own = {name for entered in own if ("feed", entered) in plain
                          for _, name in nx.node_connected_component(plain, ("feed", entered))} | own
            assert dead <= around_own
            for each in found:
                if each.state == state:
                    assert all(graph.has_edge(step.start, step.end) for step in each.path)
                    assert all(one.end == two.start for one, two in pairwise(each.path))
            reached += len(own)
            assert {(step.start, step.end) for step in passages(results, state)} == set(graph.edges())
    assert reached > 50


def test_a_plan_text_may_name_the_other_feed_and_a_wrong_name_is_refused() -> None:
    from fuseplan.errors import PlanError
    from tests.advice.worlds import BASE

    with pytest.raises(PlanError, match="to_feed"):
        parse_plan(BASE + tell_tale(load='to_feed = "nowhere"'))
    with pytest.raises(PlanError, match="also_from"):
        parse_plan(BASE + tell_tale(more='also_from = ["nowhere"]'))

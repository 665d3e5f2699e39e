"""What is fitted to a circuit does not depend on its neighbours: another circuit that shares neither a run nor a feed
with it changes nothing of its load current, its fuse, its wires, its switch and its relay.

Common sense of the trade, no source: nobody changes a fuse because a fan was added elsewhere.
"""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuseplan.checks import assess
from fuseplan.results.circuit import CircuitResult
from tests.plans import plan_of, random_plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
FEW = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])

Fitted = dict[str, tuple[float | bool | None, ...] | None]


def with_another(data: dict[str, Any], watts: float, kind: str) -> dict[str, Any]:
    """The same plan with one more circuit, straight from a feed of its own at the root."""
    more = copy.deepcopy(data)
    root = next(name for name, feed in more["feed"].items() if "from" not in feed)
    earth = next(name for name, point in more["earth"].items() if "to" not in point)
    more["feed"]["quite_another"] = {"from": root}
    more["circuit"]["quite_another"] = {
        "feed": "quite_another", "earth": earth, "drop_class": "control", "fuse": {"kind": "blade", "rating": "40 A"},
        "wire": [{"size": "10 mm2", "length": "1 m", "insulation": "xlpe125"}],
        "load": [{"power": f"{watts} W", "kind": kind, "when": ["always"], "evidence": "measured"}]}
    return more


def fitted(view: CircuitResult) -> Fitted:
    """What a circuit is to be fitted with, and the currents that is chosen by."""
    load, fuse, relay = view.load_current_a, view.fuse, view.relay
    return {
        "load": (load.five_s, load.five_min, load.continuous),
        "fuse": None if fuse is None else (fuse.range_a.low, fuse.range_a.high, fuse.proposed_a, fuse.rating_a),
        "switch": (relay.plain_switch_a, relay.needed),
        "wires": tuple(figure for each in view.segments for figure in (each.current_a, each.ampacity_a)),
    }


def each_fitted(data: dict[str, Any]) -> dict[str, Fitted]:
    return {view.id: fitted(view) for view in assess(plan_of(data)).circuits}


def assert_unchanged(data: dict[str, Any], watts: float, kind: str) -> None:
    before = each_fitted(data)
    after = each_fitted(with_another(data, watts, kind))
    assert before, "a plan without circuits shows nothing"
    assert set(after) == {*before, "quite_another"}
    for name, parts in before.items():
        for part, figures in parts.items():
            assert after[name][part] == pytest.approx(figures, rel=1e-9, nan_ok=True), f"{name}: {part}"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_of_the_examples(path: Path) -> None:
    """A fan of 400 W is more than most of these alternators have left: the voltage falls, the fuses stay."""
    assert_unchanged(tomllib.loads(path.read_text(encoding="utf-8")), 400.0, "motor")


@FEW
@given(seed=st.integers(0, 100_000), watts=st.floats(5.0, 600.0),
       kind=st.sampled_from(["lamp", "motor", "resistive", "electronic"]))
def test_of_plans_made_at_random(seed: int, watts: float, kind: str) -> None:
    assert_unchanged(random_plan(seed), watts, kind)

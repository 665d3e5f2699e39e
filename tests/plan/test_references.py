"""The plan's cross-checks; networkx is the judge of trees and of joined runs."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.references import REFERENCES, accepted, names_in, place
from fuseplan.planfile.library import shipped_folder
from tests.lazily import Lazily

nx = Lazily("networkx")

NAMES = ["a", "b", "c", "d", "e"]


@given(st.dictionaries(st.sampled_from(NAMES), st.one_of(st.none(), st.sampled_from(NAMES)), min_size=1))
def test_trees_agree_with_networkx(parents: dict[str, str | None]) -> None:
    """No problem exactly when the graph from parent to child is an arborescence and every parent exists."""
    feeds = {name: {} if parent is None else {"from": parent} for name, parent in parents.items()}
    graph = nx.DiGraph()
    graph.add_nodes_from(parents)
    graph.add_edges_from((parent, name) for name, parent in parents.items() if parent is not None)
    known = all(parent is None or parent in parents for parent in parents.values())
    wanted = known and nx.is_arborescence(graph)
    assert (reference_problems({"feed": feeds}) == []) == wanted
    earths = {name: {} if parent is None else {"to": parent} for name, parent in parents.items()}
    assert (reference_problems({"earth": earths}) == []) == wanted


@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=1, max_size=5))
def test_runs_join_as_a_walk(ends: list[tuple[int, int]]) -> None:
    """Runs join exactly when some choice of directions makes them a walk; judged by trying all of them."""
    runs = {f"r{n}": {"from": str(start), "to": str(end)} for n, (start, end) in enumerate(ends)}
    reached = [[pair] for pair in (ends[0], ends[0][::-1])]
    for pair in ends[1:]:
        reached = [[*way, turned] for way in reached for turned in (pair, pair[::-1]) if way[-1][1] == turned[0]]
    data = {"run": runs, "circuit": {"x": {"wire": [{"along": list(runs)}]}}}
    assert (reference_problems(data) == []) == bool(reached)


@given(
    st.recursive(
        st.one_of(st.none(), st.booleans(), st.integers(), st.text(max_size=3), st.sampled_from(NAMES)),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3),
            st.dictionaries(
                st.sampled_from(
                    ["circuit", "feed", "earth", "load", "wire", "along", "from", "to", "when", "run", "trip", "leg",
                     "relay", "coil_feed", "condition", "range", "zone", "reading", "must_run", "must_stop", "fuse"]
                ),
                inner, max_size=4,
            ),
        ),
        max_leaves=30,
    )
)
def test_any_shape_of_data_is_survived(value: object) -> None:
    data = value if isinstance(value, dict) else {"circuit": value, "feed": value, "run": value, "trip": value}
    for path, message in reference_problems(data):
        assert path
        assert message


def test_every_reference_is_checked() -> None:
    """A wrong name in any of the places that name something is found."""
    wrong = "nowhere"
    segment = {"zone": wrong}
    fuse, relay = {"zone": wrong}, {"coil_feed": wrong}
    data = {
        "battery": {"zone": wrong},
        "alternator": {"feed": wrong, "earth": wrong, "exciter": wrong, "cable": [segment], "fuse": fuse},
        "run": {"r": {"from": "p", "to": "q", "zone": wrong}},
        "feed": {"root": {}, "f": {"from": wrong, "zone": wrong, "wire": [segment], "fuse": fuse, "relay": relay}},
        "earth": {"root": {}, "e": {"to": wrong, "zone": wrong, "wire": [segment]}},
        "circuit": {
            "c": {
                "feed": wrong, "earth": wrong, "wire": [{"along": ["r", wrong]}], "earth_wire": [segment],
                "fuse": fuse, "relay": relay,
                "load": [{"earth": wrong, "wire": [segment], "earth_wire": [segment]}],
            }
        },
        "connector": {"x": {"loom": wrong, "mates": wrong, "zone": wrong,
                                "pin": {"1": {"feed": wrong, "earth": wrong}}}},
        "fuse_box": {"b": {"feed": wrong, "columns": 1, "row_feed": [wrong]}},
        "trip": {"t": {"leg": [{"condition": wrong}]}},
        "reading": [{"condition": wrong}],
    }
    places = {path for path, name, _ in names_in(data) if name == wrong}
    assert len(places) == 33
    assert {(path, "nowhere" in said) for path, said in reference_problems(data)} == {(path, True) for path in places}
    assert {target for _, _, target in names_in(data)} == set(REFERENCES.values())


def test_a_loop_is_named_once_beside_a_good_tree() -> None:
    feeds = {"root": {}, "x": {"from": "y"}, "y": {"from": "z"}, "z": {"from": "y"}}
    found = reference_problems({"feed": feeds})
    assert len(found) == 1
    assert "y → z → y" in found[0][1]


def test_words_of_own_conditions_are_known() -> None:
    load = {"circuit": {"x": {"load": [{"when": ["towing"]}]}}}
    assert reference_problems(load)
    assert not reference_problems({**load, "condition": {"tow": {"when": ["towing"]}}})


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ((), "the plan"),
        (("vehicle",), "vehicle"),
        (("circuit", "x", "load", 1), "load 2 of circuit 'x'"),
        (("circuit", "x", "load", 1, "earth_wire", 0, "joint"),
         "joint of earth wire segment 1 of load 2 of circuit 'x'"),
        (("reading", 0), "reading 1"),
        (("fuse_box", "b\n", "position", "F1"), "position F1 of fuse box 'b\\x0a'"),
    ],
)
def test_places_in_words(path: tuple[str | int, ...], words: str) -> None:
    assert place(path) == words


def test_accepted_names() -> None:
    assert accepted("fuze", ["fuse", "relay"]) == "the nearest known is 'fuse'"
    assert accepted("q", ["fuse", "relay"]) == "known: fuse, relay"
    assert accepted("q", []) == "none is known"
    assert accepted("9", [f"n{n}x" for n in range(20)]).startswith("20 are known, among them n0x")


@pytest.mark.parametrize("kind", sorted(set(REFERENCES.values())))
def test_a_name_that_leads_nowhere_is_told_with_what_is_accepted(kind: str) -> None:
    """Of the plans that are shipped, with all parts of a kind left out, and with all but one."""
    said = []
    for file in sorted(shipped_folder("examples").glob("*.toml")):
        data = tomllib.loads(file.read_text(encoding="utf-8"))
        parts = data.get(kind, {})
        for left in ({}, dict(list(parts.items())[:1]) if isinstance(parts, dict) else {}):
            said += [words for _, words in reference_problems({**data, kind: left})]
    assert said or kind not in ("feed", "earth", "zone", "run")
    assert [each for each in said if not any(word in each for word in ("accepted", "known", "wanted"))] == []

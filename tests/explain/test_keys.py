"""Every key of the result document is explained by a figure, or listed with the reason why it needs no working."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.checks import assess
from fuseplan.checks.explain import figures
from fuseplan.checks.explain.keys import EXPLAINED, NOT_EXPLAINED, Leaf, leaves
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_key_is_explained_or_listed(path: Path) -> None:
    assessment = assess(read_plan(path))
    known = {figure.address: figure for figure in figures(assessment).values()}
    explained = 0
    for leaf in leaves(assessment.to_dict()):
        if leaf.address is None:
            assert leaf.reason is not None, f"{leaf.key} ({leaf.value!r}) is neither explained nor listed"
            continue
        figure = known.get(leaf.address)
        if figure is None:
            assert leaf.value is None, f"{leaf.key}: there is no figure {leaf.address} for {leaf.value!r}"
        elif not isinstance(leaf.value, bool):
            assert figure.value == leaf.value, f"{leaf.key}: {leaf.address} is another number"
            explained += 1
    assert explained > 500


def test_no_entry_is_stale() -> None:
    """Each entry of both lists is met by some example."""
    found: set[str] = set()
    for path in EXAMPLES:
        found |= {leaf.key for leaf in leaves(assess(read_plan(path)).to_dict())}
    seldom = {key for key in EXPLAINED if key.startswith(("power.reserve", "power.battery.reserve_conversions"))}
    assert set(EXPLAINED) - found <= seldom
    for reason, patterns in NOT_EXPLAINED.items():
        assert any(Leaf(key, {}, None).reason == reason for key in found), (reason, patterns)


def test_a_new_key_is_noticed() -> None:
    """The judge above can fail."""
    named, new = leaves({"circuits": [{"id": "pump", "glow_a": 3.0}]})
    assert named.reason is not None
    assert new.address is None
    assert new.reason is None

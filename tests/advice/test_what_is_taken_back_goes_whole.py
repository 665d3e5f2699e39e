"""What a proposal added and takes back goes with all that was set in it, so that nothing is changed in a part that is
not there."""

from __future__ import annotations

import pytest

from fuseplan.advice.draft import Draft
from fuseplan.advice.edit import changed
from fuseplan.advice.propose import propose
from fuseplan.advice.trials import Trials
from fuseplan.limits import limit_set
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan

COUPE = read_plan(shipped_folder("examples") / "coupe_turbo.toml")
BARE = sorted(name for name, feed in COUPE.feed.items() if feed.fuse is not None and feed.upstream is not None)


@pytest.mark.parametrize("added", [("feed", "coils_15", "fuse"), ("circuit", "horn", "fuse"), ("feed", "new_coils")])
def test_no_change_is_left_in_a_part_that_is_taken_back(added: tuple[str, ...]) -> None:
    draft, owner = Draft(Trials(COUPE, limit_set("road")), None), ("feed", "key_15")
    draft.put(added, None, {"kind": "blade"}, "fuse-exceeds-wire", "a fuse of its own", owner)
    draft.put((*added, "rating"), None, "5 A", "fuse-too-small", "carries the load")
    draft.put(("circuit", "horn", "fuse_of_another"), None, "5 A", "fuse-too-small", "stays")
    draft.withdraw(owner)
    assert list(draft.changes) == [("circuit", "horn", "fuse_of_another")]


def test_nothing_is_set_in_a_fuse_that_was_taken_back_meanwhile() -> None:
    """What still looks at the plan as it was with that fuse changes nothing."""
    bare = COUPE.model_copy(update={"feed": {**COUPE.feed, "coils_15": COUPE.feed["coils_15"].model_copy(
        update={"fuse": None})}})
    draft, owner, added = Draft(Trials(bare, limit_set("road")), None), ("feed", "key_15"), ("feed", "coils_15", "fuse")
    draft.put(added, None, {"kind": "blade", "distance": "100 mm"}, "fuse-exceeds-wire", "a fuse of its own", owner)
    draft.put((*added, "rating"), None, "5 A", "fuse-too-small", "carries the load")
    assert draft.assess().plan.feed["coils_15"].fuse is not None
    draft.withdraw(owner)
    for key, value in (("rating", "3 A"), ("kind", "mini"), ("holder", "mini_in_line")):
        draft.put((*added, key), None, value, "fuse-too-small", "carries the load")
    assert draft.changes == {}
    assert draft.assess().plan.feed["coils_15"].fuse is None


@pytest.mark.parametrize("name", [each if each == "coils_15" else pytest.param(each, marks=pytest.mark.rest)
                                  for each in BARE])
def test_a_feed_without_its_fuse_gets_a_proposal(name: str) -> None:
    """Beside it on the feed before it, a kept wire that allows no fuse large enough for the load: what was added for a
    larger one is taken back."""
    upstream = COUPE.feed[name].upstream
    bare = COUPE.model_copy(update={"feed": {**COUPE.feed, name: COUPE.feed[name].model_copy(update={"fuse": None})}})
    plan = changed(bare, {("circuit", "rear_fog", "feed"): upstream})
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert proposal.plan.circuit["rear_fog"].feed == upstream

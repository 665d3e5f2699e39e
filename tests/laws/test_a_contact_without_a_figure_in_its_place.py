"""A relay contact without a published current at the temperature of its place: circuit and feed alike are not
known, the first page says which contact to fit instead, and a proposal fits it."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.advice.relay_cures import NOT_ON_FILE
from fuseplan.checks import assess
from fuseplan.checks.headroom import feed_headroom
from fuseplan.limits import limit_set
from fuseplan.papers.paragraphs import unpainted
from fuseplan.papers.proposed_changes import reason_words
from fuseplan.papers.summary import LINES, unknown_lines
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from tests.library.test_a_new_plan_warns_of_nothing import with_its_examples

WHERE = [("circuit", "fuel_pump"), ("feed", "engine_bus")]


def in_the_engine_bay(kind: str, name: str, contact: str) -> Plan:
    plan = parse_plan(with_its_examples(starter_plan("new", ("starter_main", "fuel_pump_in_line"))))
    parts = getattr(plan, kind)
    relay = parts[name].relay.model_copy(update={"zone": "engine_bay", "contact": contact})
    return plan.model_copy(update={kind: {**parts, name: parts[name].model_copy(update={"relay": relay})}})


@pytest.mark.parametrize(("kind", "name"), WHERE)
def test_it_is_not_known_and_a_contact_on_file_is_named_and_proposed(kind: str, name: str) -> None:
    """The drawing of the mini_40 prints no current above 85 °C; the engine bay of a first plan has 90 °C."""
    plan = in_the_engine_bay(kind, name, "mini_40")
    found = assess(plan, "road")
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    fitted = dict(proposal.edits)[kind, name, "relay", "contact"]
    assert [reason_words(each) for each in proposal.changes if each.path[-1] == "contact"] == [NOT_ON_FILE]
    page = " ".join(" ".join(unknown_lines(found, 400, unpainted, LINES)).split())
    assert "relay contact at 90 °C" in page
    assert f"normally open ({fitted}), or move the relay to a cooler place" in page
    after = [(each.check, each.subject) for each in proposal.after.unjudged]
    assert (kind, name) in {(each.subject_kind, each.subject) for each in found.unjudged}
    assert not {("relay-overloaded", name), ("feed-overloaded", name)} & set(after)


def test_a_feed_shows_no_limit_that_is_printed_for_a_cooler_place() -> None:
    seen = {}
    for contact in ("mini_40", "maxi_70"):
        found = assess(in_the_engine_bay("feed", "engine_bus", contact), "road")
        view = next(each for each in found.feeds if each.id == "engine_bus")
        seen[contact] = [each.limit_a is not None for each in feed_headroom(found, view)]
    assert all(seen["maxi_70"])
    # A contact's rating is no limit of a condition that lasts seconds.
    assert sum(seen["mini_40"]) < len(seen["mini_40"]) / 2

"""The straps and cables of the earth side: without one an earth point counts as the battery's own post, or as joined to
it by a resistance alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fuseplan.checks.earth_question import joint_not_said
from fuseplan.checks.feed_question import MOST_COILS_A
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rules import no_engine_strap
from fuseplan.checks.subjects import most_a
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words

WITHOUT = "without a strap, or with a thin one, the current returns through control cables and fuel pipes"


def straps_asked(results: Results) -> Iterator[NotSaid]:
    """The strap from an earth point to the battery's post or between engine and body, and the battery's cable to the
    point the plan has at the battery's post, where that is on the engine or loads are bolted to it.

    Safety rests on it where more than what thin wires carry may return there; of loads bolted to the post it is only
    asked, as they may have earth wires of their own. Where other points lead there by a resistance alone, a post with
    something on it is one piece of metal with them, and what is missing is the battery's cable to it all.
    """
    plan = results.plan
    told = {each.subject for each in no_engine_strap.find(no_engine_strap.RULE, results)
            if each.subject_kind == "earth"}
    on_post = {name: ["the engine"] if earth.engine else _bolted_to(plan, name)
               for name, earth in plan.earth.items() if earth.upstream is None}
    one_piece = {earth.upstream for name, earth in plan.earth.items()
                 if earth.resistance is not None and not earth.wire and not _is_apart(plan, name, on_post)}
    for name, earth in plan.earth.items():
        if earth.wire or name in told:
            continue
        safety = not at_most(most_a(results, "earth", name), MOST_COILS_A)
        if earth.upstream is None:
            if on_post[name]:
                yield NotSaid(
                    "earth", name, "the battery's earth cable: the battery's post as an earth point of its own (to), "
                    "and the cable to it (wire)",
                    f"as entered this is the battery's own post, with {', '.join(on_post[name])} bolted to it: no "
                    f"cable is checked for what it carries; {WITHOUT}", "battery_earth", f"earth.{name}.to",
                    safety and (bool(earth.engine) or name in one_piece))
        elif earth.resistance is not None and _is_apart(plan, name, on_post):
            onto = in_words(plan, "earth", earth.upstream)
            yield NotSaid(
                "earth", name, f"the strap or cable from it to {onto}",
                f"as entered a resistance alone leads to {onto}: no strap is checked for what it carries; {WITHOUT}",
                "earth_strap", f"earth.{name}.wire", safety)


def _is_apart(plan: Plan, name: str, on_post: Mapping[str, list[str]]) -> bool:
    """Whether a point and the one it leads to are no one piece of metal: one is the battery's post, with nothing on it,
    or only one is on the engine, which stands on rubber."""
    earth = plan.earth[name]
    onto = plan.earth.get(earth.upstream or "")
    return onto is not None and (not on_post.get(earth.upstream or "", True)
                                 or bool(onto.engine) is not bool(earth.engine))


def _bolted_to(plan: Plan, point: str) -> list[str]:
    """The circuits in words whose loads are bolted to an earth point: no earth wire, and no joint stated instead."""
    return [in_words(plan, "circuit", name) for name, circuit in plan.circuit.items()
            if circuit.out_of_scope is None and any(
                (load.earth or circuit.earth) == point and joint_not_said(circuit, load) for load in circuit.load)]

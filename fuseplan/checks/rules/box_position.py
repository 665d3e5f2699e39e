"""A fuse must suit the way of the fuse box it sits in, and have it to itself.

Old fuse boxes have few ways, and each is made for one type of fuse up to one rating: the contacts and the strip behind
them heat before the fuse does. A few spare ways are wanted for what comes later.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.boxes import answers, boxes_at, free, ways, why_not
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan, network = results.plan, results.network
    if not plan.fuse_box:
        return
    for index, row in enumerate(network.fuses):
        boxes = [name for name, box in boxes_at(results, index) if box.position]
        if row.fuse.position is None or not boxes:
            continue
        path = (fuse_path(row, "position"),)
        way = next((way for name in boxes for way in ways(results, name) if way.position == row.fuse.position), None)
        if way is None:
            yield rule.finding(
                results, fuse_subject(row), f"there is no position {row.fuse.position} in {' or '.join(boxes)}",
                level="warning", remedy=_remedy(results, index), fields=path)
            continue
        reason = why_not(results, index, way)
        if reason is not None:
            yield rule.finding(
                results, fuse_subject(row), f"position {way.position} of {way.box}: {reason}",
                figure=float(results.fusing.rating_a[index]), limit=way.part.largest, unit="A",
                remedy=_remedy(results, index), fields=(*path, fuse_path(row, "rating")))
        others = [fuse_subject(network.fuses[device])[1] for device in way.devices if device != index]
        if others and way.devices[0] != index:
            yield rule.finding(
                results, fuse_subject(row), f"position {way.position} of {way.box} is taken by {others[0]}",
                level="warning", remedy=_remedy(results, index), fields=path)
    for name, box in plan.fuse_box.items():
        if box.spare and box.position and (left := free(results, name)) < box.spare:
            yield rule.finding(
                results, ("fuse_box", name), f"{left} of {len(box.position)} ways are free, {box.spare} are wanted",
                figure=float(left), figure_side="limit", limit=float(box.spare), unit="ways", level="advice",
                source="spare circuits in the harness: a fire-apparatus purchase specification",
                remedy="a second fuse box, or a larger one",
                fields=(f"fuse_box.{name}.position", f"fuse_box.{name}.spare"))


def _remedy(results: Results, index: int) -> str:
    fits = [answer.way for answer in answers(results, index) if answer.why_not is None]
    if fits:
        return f"move it to position {fits[0].position} of {fits[0].box}"
    return "no free way suits it: a fuse box of its own beside the old one, or a holder in line"


_PLAN = """
[fuse_box.old]
feed = "bus"
position.F1 = {{ largest = "{largest}", kind = "glass" }}
position.F2 = {{ largest = "25 A", kind = "glass" }}
[circuit.window]
feed = "bus"
fuse = {{ kind = "glass", rating = "20 A", position = "F1" }}
wire = [{{ size = "4 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }}]
earth = "body"
[[circuit.window.load]]
current = "10 A"
at = "13.5 V"
kind = "resistive"
when = ["demist"]
evidence = "measured"
"""

RULE = Rule(
    level="danger",
    title="Fuse box position",
    source="the box's own limits, as given in the plan",
    caution="The contacts of an overloaded fuse box melt around a fuse that stays whole.",
    remedy="another position",
    find=find,
    obeys=_PLAN.format(largest="20 A"),
    breaks=_PLAN.format(largest="15 A"),
)

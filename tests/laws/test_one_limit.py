"""A limit is stated once: what ranges, fixes, comparisons, headroom and samples call past it is what its check finds.

Samples are held against the findings in tests/advice/test_evidence.py.
"""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import fuseplan
from fuseplan.advice.edit import changed, segment_key
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.fixes import size_that_carries
from fuseplan.checks.headroom import earth_headroom, feed_headroom
from fuseplan.checks.limit import Limit, LimitRows
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.checks.rules.connection_overloaded import fuses_in_holders, through_holders, through_terminals
from fuseplan.checks.rules.feed_overloaded import parts_of_feeds
from fuseplan.checks.rules.fuse_too_small import load_of_fuses
from fuseplan.checks.rules.wrong_fuse_position import ratings_in_ways, through_ways
from fuseplan.checks.terminals_on_wires import terminals_on_wires
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.engine.stock import ladder, ratings_between
from fuseplan.limits import names
from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.results.fuse import FuseResult
from tests.advice.worlds import gappy_plan
from tests.checks.check_plans import failing
from tests.plans import plan_of, random_plan

ROOT = Path(fuseplan.__file__).parent


CONNECTED = """
fuseplan = 1
[battery]
cold_crank = "600 A"
[zone.cabin]
ambient = "30 degC"
[feed.post]
zone = "cabin"
[feed.held]
from = "post"
zone = "cabin"
fuse = { kind = "maxi", rating = "80 A", holder = "maxi_in_line" }
wire = [{ size = "25 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125" }]
[feed.crimped]
from = "post"
zone = "cabin"
fuse = { kind = "maxi", rating = "80 A" }
wire = [{ size = "25 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125", end = { terminal = "flat_6.3" } }]
[feed.boxed]
from = "post"
zone = "cabin"
fuse = { kind = "maxi", rating = "80 A", position = "1" }
wire = [{ size = "25 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125" }]
[fuse_box.main]
feed = "post"
position.1 = { kind = "maxi", largest = "80 A", rating = "40 A" }
[earth.negative]
""" + "".join(f"""
[circuit.heater_{feed}]
feed = "{feed}"
wire = [{{ size = "25 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "negative"
load = [{{ current = "48 A", at = "13.5 V", kind = "resistive", evidence = "measured" }}]
""" for feed in ("held", "crimped", "boxed"))
"""Feeds of which all that is at its limit is the holder of its fuse, a terminal, or the fuse's position."""


@cache
def plans() -> tuple[Plan, ...]:
    examples = [read_plan(path) for path in sorted(shipped_folder("examples").glob("*.toml"))]
    return (*examples, *(plan_of(random_plan(seed)) for seed in range(4)), gappy_plan(20, 0),
            parse_plan(CONNECTED), *(parse_plan(failing(check)) for check in (
                "feed-overloaded", "earth-strap-overloaded")))


@cache
def assessed(limit_set: str) -> tuple[Assessment, ...]:
    return tuple(assess(plan, limit_set) for plan in plans())


def certain(check: str, results: Results) -> set[tuple[str, str]]:
    """Subjects that a check finds for the currents as entered."""
    rule = all_rules()[check]
    return {(each.subject_kind, each.subject) for each in rule.find(rule, results)
            if isinstance(each, Finding) and not each.measure}


def behind_the_fuse_of_another(results: Results) -> set[tuple[str, str]]:
    """Circuits with wires, as those of a relay's coil, behind a fuse not their own that exceeds what they allow."""
    network = results.network
    return {network.segments.owner[segment] for segment, device in enumerate(network.segment_guard.tolist())
            if device >= 0 and network.segments.owner[segment] != network.fuses[device].owner
            and network.segments.owner[segment][0] == "circuit"
            and exceeds(float(results.fusing.rating_a[device]), float(results.largest_fuse_a[segment]))}


def assessment_range_is_open(assessment: Assessment, owner: tuple[str, str], low: float, high: float) -> bool:
    """Whether no upper end is shown of a device's range, but for one that is below what the load needs."""
    shown = FuseResult(assessment, assessment.fuse_of[owner]).range_a.high
    return shown is None if low <= high else shown == high


@pytest.mark.one_in(3)
@pytest.mark.parametrize("limit_set", names())
def test_the_range_holds_the_ratings_that_the_checks_pass(limit_set: str) -> None:
    """Every rating sold, in every device: inside the range where neither load nor wire nor equipment speaks against
    it."""
    inside = outside = 0
    for assessment in assessed(limit_set)[::3]:
        results = assessment.results
        kinds = results.network.fuse_kinds
        most = max((len(ladder(kind)) for kind in kinds), default=0)
        for place in range(most):
            rating = np.array([ladder(kind)[place] if place < len(ladder(kind)) else np.nan for kind in kinds])
            tried = replace(results, fusing=replace(results.fusing, rating_a=rating))
            small, large = certain("fuse-too-small", tried), certain("fuse-exceeds-wire", tried)
            behind_others = behind_the_fuse_of_another(tried)
            for device, row in enumerate(results.network.fuses):
                low, high = float(results.fusing.low_a[0, device]), float(results.fusing.wire_a[device])
                if np.isnan(rating[device]) or np.isnan(low):
                    continue
                if results.fusing.silent[device]:
                    # Of a wire behind it nothing is on file: its range has no upper end, and it may fail inside.
                    assert assessment_range_is_open(assessment, row.owner, low, high)
                    continue
                subject = (row.owner[0], row.owner[1] or row.owner[0])
                fits = rating[device] in ratings_between(kinds[device], low, high)
                if subject in behind_others:
                    assert subject in large
                    continue
                assert fits == (subject not in small and subject not in large), (subject, rating[device])
                inside, outside = inside + fits, outside + (not fits)
    assert inside > 50
    assert outside > 50


@pytest.mark.one_in(3)
@pytest.mark.parametrize("limit_set", names())
def test_a_size_named_for_a_fuse_allows_that_fuse(limit_set: str) -> None:
    """Half as much again as a wire allows: in the size that is named for it the wire allows that rating."""
    seen = 0
    for assessment in assessed(limit_set)[-6:-2]:
        allowed = assessment.results.largest_fuse_a
        for index in np.flatnonzero(np.isfinite(allowed))[3::11].tolist():
            needed = 1.5 * float(allowed[index])
            size = size_that_carries(assessment.results, index, needed, fuse=True)
            if size is None or seen == 6:
                continue
            plan = changed(assessment.plan, {(*segment_key(assessment.results, index), "size"): size})
            # A thicker wire changes the voltages, and with them by a little how many conductors count as loaded.
            assert compute(plan, assessment.limit_set).largest_fuse_a[index] >= needed * 0.999
            seen += 1
    assert seen == 6


FOR_ALL_OF_IT = ("feed-overloaded", "earth-strap-overloaded", "fuse-too-small", "connection-overloaded",
                 "wrong-fuse-position")
"""The checks with limits on what a feed or an earth point carries as a whole."""
ELSEWHERE = {
    "output-overloaded": "its relay's coil", "relay-cannot-pull-in": "its relay's coil",
    "switch-overloaded": "the kinds of load its switch makes and breaks; what it carries is in feed-overloaded",
}
"""The checks that find a limit at a feed or an earth point which is not for what it carries, and what it is for."""


RATINGS = (fuses_in_holders, ratings_in_ways)
"""Limits on the rating of a fuse, which no current uses up."""


def about_parts(results: Results, limit: Limit) -> tuple[LimitRows, np.ndarray]:
    """The rows of a limit, and which of them are not about a wire of a relay's coil."""
    rows, places = limit(results), results.network.segments.place
    if limit in (parts_of_feeds, load_of_fuses, through_holders, through_ways, *RATINGS):
        return rows, np.ones(len(rows.parts), dtype=bool)
    fitted = terminals_on_wires(results)
    wires = [fitted[part][0] for part in rows.parts.tolist()] if limit is through_terminals else rows.parts.tolist()
    return rows, np.array([not is_coil_wire(places[wire]) for wire in wires], dtype=bool)


@pytest.mark.one_in(3)
@pytest.mark.parametrize("limit_set", names())
def test_headroom_is_used_up_where_the_checks_find_it(limit_set: str) -> None:
    """For every feed and earth point: some condition has nothing left just where a check of its wires, its parts, its
    fuse, the fuse's holder or its terminals fails for the currents as entered, the wires of its relay's coil left
    out."""
    over = within = 0
    for assessment in assessed(limit_set):
        results = assessment.results
        failed = set()
        for check in FOR_ALL_OF_IT:
            for limit in all_rules()[check].limits:
                if limit not in RATINGS:
                    rows, own = about_parts(results, limit)
                    fails = rows.fails(rows.figure(results.at_bounds))[0] & own
                    failed |= {each for each, fails_here in zip(rows.subjects, fails, strict=True) if fails_here}
        found = {("feed", view.id): feed_headroom(assessment, view) for view in assessment.feeds} | {
            ("earth", view.id): earth_headroom(assessment, view) for view in assessment.earths}
        for subject, headrooms in found.items():
            spare = [each.spare_a for each in headrooms if each.spare_a is not None]
            if spare and abs(min(spare)) > 1e-6:
                assert (min(spare) < 0) == (subject in failed), subject
                over, within = over + (min(spare) < 0), within + (min(spare) > 0)
    assert over >= 5
    assert within > 30


def test_headroom_reads_every_limit_on_a_feed_or_an_earth_point() -> None:
    """A check that gains a limit there is either read by headroom, or said here not to be for what it carries."""
    seen = set()
    plans_of_coils = (parse_plan(failing(check)) for check in ("output-overloaded", "relay-cannot-pull-in"))
    for assessment in (*assessed("road"), *map(assess, plans_of_coils)):
        for name, rule in all_rules().items():
            for limit in rule.limits:
                if any(kind in ("feed", "earth") for kind, _ in limit(assessment.results).subjects):
                    seen.add(name)
    assert seen == {*FOR_ALL_OF_IT, *ELSEWHERE}


LARGEST = re.compile(r"(\d[\d.]*) A(?: at most)?, the rating of its thinnest wire")


@pytest.mark.parametrize("limit_set", names())
def test_a_fuse_named_where_there_is_none_suits_its_wire(limit_set: str) -> None:
    """With the largest fuse that the fix allows fitted, no wire of the part is too thin for it."""
    seen = 0
    for assessment in assessed(limit_set):
        for finding in assessment.findings:
            named = LARGEST.search(finding.fix) if finding.check == "no-fuse" else None
            if named is not None and seen < 5:
                owner = (finding.subject_kind, finding.subject)
                fuse: dict[str, Any] = {"kind": "maxi", "rating": f"{named[1]} A"}
                found = compute(changed(assessment.plan, {(*owner, "fuse"): fuse}), assessment.limit_set)
                own = [number for number, each in enumerate(found.network.segments.owner) if each == owner]
                assert float(named[1]) <= found.largest_fuse_a[own].min() * 1.001
                seen += 1
    assert seen >= 2


def test_only_one_module_says_how_close_to_its_limit_a_figure_passes() -> None:
    """No check, headroom, comparison or proposal multiplies a limit by a tolerance of its own."""
    read = 0
    for folder in ("checks", "advice", "looms"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            read += 1
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Compare):
                    for part in ast.walk(node):
                        assert not (isinstance(part, ast.Constant) and part.value == 1e-9), path
                        assert not (isinstance(part, ast.Name) and part.id == "ROUNDING"), path
    assert read > 100


LIMIT = re.compile(r"(^|_)(limit|capacity|rated|allowed|wanted|rating)(_[a-z0-9]+)?$"
                   r"|(^|_)(most|least|largest|smallest)(_(a|v|s|m|c|k|w|ohm|mm2))?$"
                   r"|^[A-Z][A-Z_]*_(A|V|S|M|C|K|W)$|^value$")
"""Names of what figures are held against."""
SORTS = {"STARTER_A", "POWER_A", "SMALLEST_A", "CLAMP_FROM_A", "BOLTED_A", "ASKED_C", "SHORT_PULSE_S", "LONGER_THAN_S",
         "LOW_VOLTAGE_PLUG_V", "LEAST_M", "LIFTED_V"}
"""What says of which kind something is, and is no limit."""
NOT_LIMITS = {
    "elsewhere >= lack.most_v", "segments.hottest_c < rated_c", "step < rating",
    "step > rating", "rating >= own[1]", "rating <= own[1]", "rating < now", "times <= most",
    "insulation_class_c(own) < entry.max_c <= SHELF_C", "rating <= _may_be_sold_to_a(row.fuse.kind)",
    "most >= before", "each >= rating",
}
"""Comparisons that sort or choose."""
TOLERANCES = {
    "power >= least * (1.0 - SLACK)", "total < limit * (1.0 - SAME)", "total > limit * (1.0 + SAME)",
    "over < float(limit) * (1.0 - SAME)", "over > float(limit) * (1.0 + SAME)",
}
"""Limits with a stated tolerance of their own: that of a bulb's power, of printed sizes that are rounded."""


def name_of(node: ast.expr) -> str:
    """The name behind an operand: that of ``results.most_a[0]`` is ``most_a``."""
    if isinstance(node, ast.Attribute):
        return node.attr
    if isinstance(node, ast.Subscript):
        return name_of(node.value)
    if isinstance(node, ast.BinOp):
        return name_of(node.left) or name_of(node.right)
    if isinstance(node, ast.Call) and node.args and ast.unparse(node.func) != "len":
        return name_of(node.args[0])
    return node.id if isinstance(node, ast.Name) else ""


def test_a_limit_is_compared_with_in_one_module_alone() -> None:
    """No check holds a figure against a limit by an operator of its own: at the limit they could differ."""
    seen = set()
    for path in sorted((ROOT / "checks").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Compare) or not isinstance(node.ops[0], ast.Lt | ast.LtE | ast.Gt | ast.GtE):
                continue
            sides = [node.left, *node.comparators]
            if any(isinstance(side, ast.Constant) and isinstance(side.value, int | float) for side in sides):
                continue
            names = {name_of(side) for side in sides}
            if not names & SORTS and any(map(LIMIT.search, names)):
                words = ast.unparse(node)
                assert words in NOT_LIMITS | TOLERANCES, f"{path.name}:{node.lineno}: {words}"
                seen.add(words)
    assert seen >= TOLERANCES

"""What a fix of a voltage drop names cures it, and is no more than that takes: with any one of its wires a size less,
something is wrong again, unless another check asks for that size in its place. Wires of two parts are given some to
spare, as their neighbours draw more then; and where no fuse fits yet, what is lost in the one to come is spared.

The plans are the examples, cars of circuits of the library with wires of other sizes, and plans drawn at random.
"""

from __future__ import annotations

import pytest

from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.fixes import copper_mm2
from fuseplan.checks.rule import MEASURE_WORDS, Finding
from fuseplan.checks.subjects import segment_path
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.quantities.wire_size import WireSize
from tests.checks.check_plans import BASE
from tests.laws.test_one_size_for_a_wire import drawn, thin_car
from tests.plans import cabin_wire, circuit_text, load, path_of

OF_DROPS = ("voltage-drop", "low-lamp-voltage")
Identity = tuple[str, ...]
WORST_CASE = MEASURE_WORDS.partition(",")[0]


def drops(assessment: Assessment) -> dict[Identity, Finding]:
    """The findings on drops, each side by itself."""
    return {(each.check, each.subject, each.fields[-1]): each for each in assessment.findings if each.check in OF_DROPS}


def fails(found: dict[Identity, Finding], key: Identity, finding: Finding) -> bool:
    """Whether a finding is there, at the bound of one that was."""
    return key in found and (is_worst_case(finding) or not is_worst_case(found[key]))


def is_worst_case(finding: Finding) -> bool:
    """Whether it is found at the worst-case current alone, whatever resistances it rests on."""
    return finding.message.startswith(WORST_CASE)


def a_size_less(assessment: Assessment, segment: int, size: str) -> str | None:
    """The size below one, None where that is no thicker than what is fitted."""
    ladder = [each.words for each in assessment.results.network.stock.sizes(WireSize.read(size).system)]
    place = ladder.index(size)
    less = ladder[place - 1] if place else None
    return less if less and copper_mm2(less) > 1.0001 * assessment.results.network.segments.area_mm2[segment] else None


def look(plan: Plan) -> int:
    """How many wires the fixes of drops name, for each of which the law holds."""
    assessment, count = assess(plan), 0
    results = assessment.results
    at = {segment_path(results, index, "size"): index for index in range(results.network.segments.count)}
    for key, finding in drops(assessment).items():
        values = {path_of(path): size for path, size in finding.values}
        if not values:
            continue
        mended = assess(changed(plan, values))
        assert not fails(drops(mended), key, finding), (key, finding.fix)
        for path, size in finding.values:
            count += 1
            unfused = ("no-fuse-fits", finding.subject) in {(each.check, each.subject) for each in mended.findings}
            others = (each for each in assessment.findings if each is not finding)
            if unfused or "; and " in finding.fix or any((at[path], size) in each.sizes for each in others):
                continue
            less = a_size_less(assessment, at[path], size)
            kept = {each: value for each, value in values.items() if each != path_of(path)}
            again = assess(changed(plan, kept | ({path_of(path): less} if less else {})))
            assert fails(drops(again), key, finding) or \
                {each.identity for each in again.findings} - {each.identity for each in mended.findings}, \
                (key, path, size, finding.fix)
    return count


def test_no_more_copper_than_a_drop_takes_in_the_example_with_faults() -> None:
    assert look(read_plan(shipped_folder("examples") / "coupe_turbo.toml"))


@pytest.mark.parametrize("seed", [0, *(pytest.param(each, marks=pytest.mark.rest) for each in (1, 2, 3, 5, 8))])
def test_no_more_copper_than_a_drop_takes(seed: int) -> None:
    """In the plans of some other seeds the margin asks for a size that is not needed by less than 1 %."""
    assert look(drawn(seed, False)) + look(drawn(seed, True)) + look(thin_car(seed))


def named(text: str) -> dict[str, str]:
    """What the fix of the only drop of a plan enters, by the last steps of its keys."""
    found = drops(assess(parse_plan(BASE + text)))
    (finding,) = found.values()
    return {path.partition(".wire.")[2] if ".load." not in path else "lead": size for path, size in finding.values}


def test_a_short_lead_is_not_thickened_with_the_long_wire_before_it() -> None:
    """12 A lose most in 6 m of 2.5 mm²: the lead of half a metre is as thick, and stays."""
    lamp = load("12 A", wire=cabin_wire("2.5 mm2", "0.5 m"))
    assert named(circuit_text("lamp", lamp, wire=cabin_wire("2.5 mm2", "6 m"))).keys() == {"0.size"}


def test_of_two_lengths_the_thinner_one_grows() -> None:
    """7 A over 4 m of 1 mm² and 4 m of 4 mm²."""
    wire = [*cabin_wire("4 mm2", "4 m"), *cabin_wire("1 mm2", "4 m")]
    assert named(circuit_text("pump", load("7 A"), wire=wire)).keys() == {"1.size"}


def test_no_length_is_thicker_than_all_of_them_alike_would_be() -> None:
    """Copper in the shortest length costs least, but nobody fits it four sizes thicker than the rest of its circuit:
    the pump of the example asks for half as much copper again by the limits for aircraft, and got 35 mm² in one of
    its three lengths."""
    plan = read_plan(shipped_folder("examples") / "coupe_turbo.toml")
    finding, = (each for each in drops(assess(plan, "aircraft")).values() if each.subject == "fuel_pump")
    own = [copper_mm2(size) for path, size in finding.values if path.startswith("circuit.fuel_pump.")]
    assert own
    assert max(own) <= 10.0

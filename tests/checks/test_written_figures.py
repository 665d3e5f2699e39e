"""What a finding says of its figure and its limit errs to the side of the figures themselves, wherever it says it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from fuseplan.checks import assess
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.papers.findings import figure_words
from fuseplan.planfile.read import read_plan
from fuseplan.quantities import writing
from fuseplan.quantities.decimals import unit_words
from tests.checks.check_plans import failed

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
SCALES = {"mA": ("A", 1e3), "mΩ": ("Ω", 1e3), "mV": ("V", 1e3), "mm": ("m", 1e3), "%": ("share", 1e2)}
NEAR = 0.01
"""A number this close to a figure, relatively, and in its unit, is taken to be that figure."""
NUMBER = re.compile(r"(?<![\w.])(−?\d+(?:\.\d+)?) ?(mA|mΩ|mV|mm²|mm|A²s|Ah|A|Ω|V|°C|r/min|min|m|s|%|days)(?![\w²/])")
ANOTHER_RATING = re.compile(r", or [\d.]+ A for \w+s\b")
"""The rating of a switch for one kind of load, beside that for a resistive one, which is the figure."""


def numbers(text: str) -> Iterator[tuple[float, str]]:
    """Every figure of a text with its unit, milli units taken out."""
    for number, unit in NUMBER.findall(text):
        base, scale = SCALES.get(unit, (unit, 1.0))
        yield float(number.replace("−", "-")) / scale, base


def sides(finding: Finding) -> dict[str, tuple[float | None, str]]:
    """Figure and limit with the side each has to be written to."""
    other = "burden" if finding.figure_side == "limit" else "limit"
    return {"figure": (finding.figure, finding.figure_side), "limit": (finding.limit, other)}


def pair(finding: Finding) -> tuple[str, str]:
    """Figure and limit as the figure line writes them."""
    assert finding.figure is not None
    assert finding.limit is not None
    return writing.judged(finding.figure, finding.limit, finding.unit, finding.figure_side)


def wrong(finding: Finding, text: str) -> list[str]:
    """What a text says of figure or limit that is kinder than they are."""
    unit, found = unit_words(finding.unit), []
    for name, (value, side) in sides(finding).items():
        if value is None or not math.isfinite(value) or value == 0.0:
            continue
        others = [other for other, _ in sides(finding).values() if other is not None and other != value]
        for number, its_unit in numbers(ANOTHER_RATING.sub("", text)):
            if its_unit != {"d": "days"}.get(unit, unit) or not math.isclose(number, value, rel_tol=NEAR):
                continue
            if any(math.isclose(number, other, rel_tol=NEAR) for other in others):
                continue  # Figure and limit are so close that the number may be either: judged by the pair instead.
            slack = abs(value) * 1e-8
            if (side == "burden" and number < value - slack) or (side == "limit" and number > value + slack):
                found.append(f"{finding.check}: {name} {value!r} is a {side}, {number:g} {its_unit} stands in: {text}")
    return found


def findings() -> list[Finding]:
    looked_at = [*(assess(read_plan(path)) for path in EXAMPLES), *map(failed, all_rules())]
    return [finding for assessment in looked_at for finding in assessment.findings]


@pytest.fixture(scope="module")
def found() -> list[Finding]:
    return findings()


def test_no_message_and_no_figure_line_is_kinder_than_the_figures(found: list[Finding]) -> None:
    judged = [finding for finding in found if finding.figure is not None]
    assert len(judged) > 100
    assert {finding.check for finding in found} == set(all_rules())
    assert [each for finding in judged for each in wrong(finding, finding.message)] == []
    assert [each for finding in judged for each in wrong(finding, figure_words(finding))] == []


def test_the_message_writes_its_figure_as_the_figure_line_does(found: list[Finding]) -> None:
    seen = 0
    for finding in found:
        if finding.figure is None or finding.limit is None:
            continue
        written = pair(finding)
        for text, other, value in zip(written, written[::-1], (finding.figure, finding.limit), strict=True):
            said = {number for number, unit in numbers(finding.message) if unit == unit_words(finding.unit)
                    and math.isclose(number, value, rel_tol=1e-3)} - {number for number, _ in numbers(other)}
            if said:
                seen += 1
                assert next(numbers(text))[0] in said, f"{finding.check}: {text} / {finding.message}"
    assert seen > 100


def test_the_side_of_a_figure_is_the_one_on_which_it_fails(found: list[Finding]) -> None:
    """More than its limit where more is worse, less where less is; what is too weak to matter is held against none."""
    wrong_side = [finding for finding in found if finding.figure is not None and finding.limit is not None
                  and finding.figure != finding.limit
                  and (finding.figure > finding.limit) != (finding.figure_side == "burden")]
    assert [(finding.check, finding.message) for finding in wrong_side] == []


def test_figure_and_limit_of_a_finding_never_read_the_same(found: list[Finding]) -> None:
    pairs = [(finding, *pair(finding)) for finding in found
             if finding.figure is not None and finding.limit is not None and finding.figure != finding.limit]
    assert len(pairs) > 100
    assert [(finding.check, figure) for finding, figure, limit in pairs if figure == limit] == []


def test_no_text_carries_more_decimals_than_a_reader_wants(found: list[Finding]) -> None:
    assert [text for finding in found for text in (finding.message, finding.fix)
            if re.search(r"\d\.\d{5,}|\d[eE][+-]?\d|\bnan\b|\binf\b", text)] == []

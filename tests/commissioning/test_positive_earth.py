"""A car whose positive post is earthed: papers and test sheet say which post is which, and the probes change places, so
that a reading keeps its sign."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from fuseplan.bench.expected import expected
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import assess
from fuseplan.papers.paper_set import paper_set, texts_of
from fuseplan.results.search import matching
from tests.plans import plan_of

TOURER = Path(__file__).parents[2] / "examples" / "six_volt_tourer.toml"
POST = {"negative": "positive", "positive": "negative"}


def tourer(earthed: str) -> dict[str, object]:
    """The tourer without a word of its own about its posts."""
    text = re.sub(r", the (positive|negative) one", "", TOURER.read_text(encoding="utf-8"))
    return tomllib.loads(text.replace('earthed = "positive"', f'earthed = "{earthed}"'))


def found(earthed: str) -> dict[str, Point]:
    return dict(points(assess(plan_of(tourer(earthed)))))


def test_the_probes_change_places_and_the_posts_their_names() -> None:
    """Turning a battery round turns every voltage round: with the probes changed over, it reads as before."""
    one, other = found("negative"), found("positive")
    assert one.keys() == other.keys()
    turned = 0
    for address, point in one.items():
        theirs = other[address]
        here = [re.sub(r"\b(negative|positive)(?= (?:post|cable))", lambda match: POST[match[1]], each)
                for each in (point.probe, point.to)]
        if point.to and point.unit != "K":
            here.reverse()
            turned += 1
        assert [theirs.probe, theirs.to] == here, address
    assert turned > 100
    assert (other["battery.volts"].probe, other["battery.volts"].to) == ("battery positive post",
                                                                       "battery negative post")
    assert other["earth.front.drop_mv"].probe == "battery positive post"


@pytest.mark.parametrize("earthed", ["negative", "positive"])
def test_no_paper_names_the_wrong_post_as_earth(earthed: str) -> None:
    papers = paper_set(assess(plan_of(tourer(earthed)))).papers
    texts = [text for paper in papers for text in texts_of(paper.blocks)]
    wrong = POST[earthed]
    assert f"6 V, {earthed} earth" in texts
    assert [text for text in texts if re.search(rf"{wrong} earth|against battery {wrong}|to battery {wrong}\b|"
                                                rf"cable of the {wrong}|{wrong} cable", text)] == []
    assert sum(f"battery {earthed} post" in text for text in texts) > 5


def test_no_figure_names_the_negative_post_where_the_positive_one_is_earthed() -> None:
    """A figure's words are those of every plan, so they say which post is earthed, not which pole that is."""
    whole = assess(plan_of(tourer("positive"))).whole
    found = {each.words for each in matching(whole, "battery negative")}
    assert found == {"current into the battery; negative is discharge"}
    assert any("battery's earthed post" in each.words for each in matching(whole, "earthed post"))


def test_the_drop_of_the_alternators_earth_is_read_towards_its_case() -> None:
    """Its current comes back into the case, which is the more negative end of its earth: red on the battery reads the
    drop as it is expected, above zero."""
    coupe = tomllib.loads((TOURER.parent / "coupe_turbo.toml").read_text(encoding="utf-8"))
    assessment = assess(plan_of(coupe))
    point = dict(points(assessment))["alternator.case_mv"]
    assert (point.probe, point.to) == ("battery negative post", "its case")
    shown = expected(assessment, point, "idle_hot_day").value
    assert shown is not None
    assert shown > 0


@pytest.mark.parametrize(("earthed", "pin", "is_found"), [
    ("negative", None, False), ("negative", "85", True), ("positive", None, True), ("positive", "85", False)])
def test_a_coil_with_a_diode_has_its_plus_on_86(earthed: str, pin: str | None, is_found: bool) -> None:
    """The supply of a coil is minus where the positive post is earthed."""
    data = tourer(earthed)
    name, circuit = next((name, each) for name, each in data["circuit"].items() if "relay" in each)
    circuit["relay"] |= {"suppression": "diode", "wire_86": [
        {"size": "1 mm2", "length": "0.5 m", "zone": "cabin", "insulation": "pvc105",
         **({"end": {"connector": "socket", "pin": pin}} if pin else {})}]}
    circuit["relay"].pop("wire_85", None)
    diodes = [each for each in assess(plan_of(data)).findings
              if each.check == "no-suppression" and each.subject == name and "diode then shorts" in each.message]
    assert bool(diodes) is is_found

"""The first page: one screen, the worst first, and nothing passed over in silence."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.causes import remedied_at
from fuseplan.checks.rule import Finding
from fuseplan.papers.action import action
from fuseplan.papers.circuit_text import circuit_report
from fuseplan.papers.findings import source_numbers
from fuseplan.papers.harmless import width
from fuseplan.papers.summary import LINES, first_page, verdict
from fuseplan.papers.text import report
from fuseplan.plan.words import OUT_OF_SCOPE
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.workspace.session import Session
from fuseplan.workspace.summary import summary_rows
from tests.checks.check_plans import BASE, failed, failing
from tests.papers.first_page_read import questions_told
from tests.plans import cabin_wire, circuit_text, fuse, load

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
SMALL = Path(__file__).parent.parent / "cli" / "plans" / "small.toml"
WEAK = """
[circuit.w{0}]
feed = "battery_post"
fuse = {{ kind = "blade", rating = "30 A" }}
wire = [{{ size = "0.5 mm2", length = "8 m", zone = "cabin" }}]
earth = "battery_negative"
[[circuit.w{0}.load]]
current = "20 A"
kind = "motor"
use = "continuous"
when = ["always"]
evidence = "measured"
"""
MANY = ("fuseplan = 1\n[battery]\ncapacity = \"60 Ah\"\n[zone.cabin]\nambient = \"45 degC\"\n[feed.battery_post]\n"
        "[earth.battery_negative]\n" + "".join(WEAK.format(number) for number in range(60)))


@cache
def assessed(path: Path) -> Assessment:
    return assess(read_plan(path))


@pytest.mark.parametrize("path", [SMALL, *EXAMPLES], ids=lambda path: path.stem)
def test_one_screen_is_enough(path: Path) -> None:
    page = first_page(assessed(path), 100, name=path.name).splitlines()
    assert len(page) <= LINES
    assert max(map(width, page)) <= 100


def test_one_screen_is_enough_whatever_is_wrong() -> None:
    found = assess(parse_plan(MANY))
    assert found.count("danger") > 60
    page = first_page(found, 100).splitlines()
    assert len(page) <= LINES
    assert page[1].startswith(f"DO NOT POWER UP: {found.count('danger')} dangers")


@pytest.mark.parametrize("path", [SMALL, *EXAMPLES], ids=lambda path: path.stem)
def test_a_sign_is_explained_where_it_stands(path: Path) -> None:
    page = first_page(assessed(path), 100).splitlines()
    explained = [line for line in page if line.startswith("(+1): ")]
    signs = [line for line in page if line not in explained and re.search(r"\(\+\d+\)", line)]
    assert len(explained) == bool(signs)


@pytest.mark.parametrize("path", [SMALL, *EXAMPLES], ids=lambda path: path.stem)
def test_every_finding_above_advice_stands_there_or_is_counted(path: Path) -> None:
    found = assessed(path)
    page = first_page(found, 100)
    for role, heading in (("danger", "Dangers"), ("warning", "Will not work"), ("measure", "Measure first")):
        leading = [each for each in found.findings if each.cause is None and
                   ("measure" if each.measure else each.level) == role]
        stated = re.search(rf"^{heading}[^(]*\((\d+)\)(?:$|:)", page, re.MULTILINE)
        assert (0 if stated is None else int(stated[1])) == len(leading)


@pytest.mark.parametrize("path", [SMALL, *EXAMPLES], ids=lambda path: path.stem)
def test_a_follower_is_no_worse_than_what_it_follows_from_and_is_removed_by_the_same_change(path: Path) -> None:
    found = assessed(path).findings
    rank = {"danger": 0, "warning": 1, "advice": 2}
    for number, finding in enumerate(found):
        assert all(found[each].cause == number for each in finding.follows)
        if finding.cause is None:
            continue
        leader = found[finding.cause]
        assert leader.cause is None
        assert number in leader.follows
        assert remedied_at(leader) == remedied_at(finding) != ""
        assert (leader.measure, rank[leader.level]) <= (finding.measure, rank[finding.level])


@pytest.mark.parametrize("check", ["mating-pins-differ", "wire-ends-disagree"])
def test_a_plan_of_looms_alone_with_a_fault_is_not_one_with_nothing_to_check(check: str) -> None:
    plan = parse_plan(failing(check))
    found = assess(plan.model_copy(update={"circuit": {}}))
    assert check in {each.check for each in found.findings}
    assert found.plan.circuit == {}
    role, words = verdict(found)
    assert role == ("danger" if found.count("danger") else "warning")
    assert "Nothing to check" not in words


def test_a_plan_without_circuits_is_not_ready_while_safety_rests_on_an_answer() -> None:
    alternator = 'fuseplan = 1\n[battery]\ncold_crank = "400 A"\n[alternator]\nrated = "60 A"\nearth = "engine"\n' \
                 '[feed.post]\n[earth.negative]\n[earth.engine]\nengine = true\nto = "negative"\n' \
                 'wire = [{ size = "35 mm2", length = "1 m" }]\n'
    found = assess(parse_plan(alternator))
    assert not found.plan.circuit
    assert any(each.safety for each in found.not_said)
    assert found.count("danger") == 0
    assert verdict(found)[1].startswith("NOT READY: no circuits yet, and ")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_whole_report_and_that_of_a_circuit_say_what_the_first_page_says_of_power(path: Path) -> None:
    found = assessed(path)
    _, words = verdict(found)
    assert first_page(found, 2000).splitlines()[1] == words
    assert words in report(found, 2000).splitlines()[:4]
    for name in list(found.plan.circuit)[:3]:
        assert f"The whole car: {words}" in circuit_report(found, name, 2000).splitlines()[:4]


def test_a_plan_that_says_nothing_is_not_ready() -> None:
    role, words = verdict(assess(parse_plan("fuseplan = 1")))
    assert role != "ok"
    assert words.startswith("Nothing to check")
    bare = assess(parse_plan('fuseplan = 1\n[feed.battery_post]\n[circuit.lamp]\nfeed = "battery_post"\n'))
    assert verdict(bare)[0] in ("danger", "warning")
    page = first_page(bare)
    assert "Not known (1): lamp" in page
    assert re.search("Starts +not known", page)
    assert re.search("Charges +no alternator", page)
    assert re.search("Stands +not known", page)


@pytest.mark.parametrize("path", [SMALL, *EXAMPLES], ids=lambda path: path.stem)
def test_source_numbers_are_those_of_the_whole_report(path: Path) -> None:
    found = assessed(path)
    numbers = source_numbers(found)
    assert sorted(numbers.values()) == list(range(1, len(numbers) + 1))
    whole = report(found, 100)
    assert {int(number) for number in re.findall(r"\[(\d+)\]", first_page(found, 100))} <= set(numbers.values())
    assert {int(number) for number in re.findall(r"Source +\[(\d+)\]", whole)} == set(numbers.values())
    for finding in found.findings:
        assert " ".join(whole.split()).count(finding.caution) >= 1, "no caution is lost"


LAMPS = """
fuseplan = 1
[zone.cabin]
ambient = "30 degC"
[zone.boot]
ambient = "30 degC"
[feed.battery_post]
zone = "cabin"
[earth.battery_negative]
zone = "cabin"
[circuit.lamps]
feed = "battery_post"
role = "comfort"
switch = { rating = "30 A" }
fuse = { kind = "blade", rating = "15 A", distance = "80 mm" }
wire = [{ size = "2.5 mm2", length = "2 m", zone = "boot" }]
earth = "battery_negative"
"""


@pytest.mark.parametrize("names", [("Lamp", "Lamp"), ("Lamp", "Other lamp")])
def test_a_question_that_reads_alike_of_two_loads_says_how_many_times(names: tuple[str, str]) -> None:
    found = assess(parse_plan(LAMPS + "".join(
        f'[[circuit.lamps.load]]\nname = "{name}"\ncurrent = "2 A"\nkind = "resistive"\n' for name in names)))
    assert sum(each.kind == "earth_wire" and each.safety for each in found.not_said) == 2
    page = first_page(found, 400)
    told, counted = questions_told(page)
    assert told == counted == sum(each.safety for each in found.not_said)
    lines = [line for line in page.splitlines() if "the earth wire of 'Lamp'" in line]
    assert [line.endswith(" (2 times)") for line in lines] == [names[0] == names[1]]


def finding_to(fix: str, measure: bool = False) -> Finding:
    found = failed("fuse-too-small").findings[0]
    return replace(found, fix=fix, measure=measure)


def test_an_action_is_one_way_to_remove_the_fault_with_all_that_way_needs() -> None:
    """An alternative and a reason are cut off; what is needed as well is not."""
    assert action(finding_to("fit 5 A, which blows in time; or a thicker wire")) == "fit 5 A"
    assert action(finding_to("fit xlpe, or a cooler place: 90 °C; then fit 6 mm2, or two wires")) == \
        "fit xlpe; then fit 6 mm2"
    assert action(finding_to("fit 5 A at a: then selective; and fit 3 A at b: then selective")) == \
        "fit 5 A at a: then selective; and fit 3 A at b: then selective"
    assert action(finding_to("fit 5 A, or 7.5 A", measure=True)) == "measure, or fit 5 A"
    assert action(finding_to("measure the current; fit 5 A", measure=True)) == "measure the current"


HOT_WIRE = """
[circuit.w]
feed = "battery_post"
fuse = {{ kind = "blade"{rating} }}
wire = [{{ size = "2.5 mm2", length = "2 m", zone = "hot", insulation = "pvc105" }}]
earth = "battery_negative"
[[circuit.w.load]]
current = "{current}"
kind = "motor"
use = "continuous"
when = ["always"]
evidence = "measured"
"""
HEAD = ("fuseplan = 1\n[battery]\ncapacity = \"60 Ah\"\n[zone.hot]\nambient = \"{ambient} degC\"\n[feed.battery_post]\n"
        "[earth.battery_negative]\n")


@pytest.mark.parametrize("ambient", [100, 105, 120])
@pytest.mark.parametrize("current", ["15 A", "35 A"])
@pytest.mark.parametrize("rating", ["", ', rating = "10 A"', ', rating = "40 A"'])
def test_an_action_names_the_insulation_where_nothing_else_protects_the_wire(ambient: int, current: str, rating: str
                                                                             ) -> None:
    """Never a rating or a size alone: at this place the insulation is what has to change first."""
    found = assess(parse_plan((HEAD + HOT_WIRE).format(ambient=ambient, current=current, rating=rating)))
    on_wire = {"fuse-exceeds-wire", "wire-overloaded", "no-fuse-fits", *(["fuse-too-small"] if ambient >= 105 else [])}
    judged = [each for each in found.findings if each.check in on_wire and not each.measure]
    assert judged
    for each in judged:
        assert action(each).startswith("fit another insulation, such as "), each
        assert ("; then " in action(each)) == ("; then " in each.fix)


@pytest.mark.parametrize("word", OUT_OF_SCOPE)
def test_a_circuit_left_to_its_maker_does_not_keep_a_plan_from_being_ready(word: str) -> None:
    """Nothing could ever be entered for it: the verdict is that of the rest, and says that it is left out."""
    rest = BASE + circuit_text("seat", load("2 A"), feed="bus", earth="body", role="comfort", drop_class="control",
                               fuse={"kind": "blade", "rating": "5 A", "distance": "80 mm"},
                               wire=cabin_wire("2.5 mm2", "1 m", "pvc105"))
    plan, listed = parse_plan(rest), parse_plan(f'{rest}\n[circuit.left]\nout_of_scope = "{word}"\n')
    page = first_page(assess(listed), 200).splitlines()
    assert "; 1 out of scope" in page[1]
    assert page[1].partition(";")[0] == first_page(assess(plan), 200).splitlines()[1].partition(";")[0]
    assert any(line.startswith("Not known (1): ") for line in page)


def test_where_nothing_is_worse_what_is_not_known_stands_before_what_to_measure() -> None:
    """A wire without a size leaves a circuit unknown: nothing to measure comes before it."""
    doubtful = circuit_text("fan", load("6 A", use="continuous", when=["engine"], evidence="guess"),
                            wire=cabin_wire("1.5 mm2", "2 m", "pvc105"), fuse=fuse("10 A"), role="cooling_fan")
    lost = circuit_text("lamp", load("1 A", when=["engine"], evidence="measured"),
                        wire=cabin_wire(None, "2 m", "pvc105"), fuse=fuse("5 A"), role="interior_lamps")
    left = '\n[circuit.left]\nout_of_scope = "airbag"\n'
    texts = [f"{BASE}\n{text}" for text in (doubtful, doubtful + lost, doubtful + left)]
    before, after, apart = (first_page(assess(parse_plan(text)), 100) for text in texts)
    assert "Measure first" in before
    assert apart.index("Measure first") < apart.index("Not known (1): left"), "nothing of it is ever entered"
    assert "Not known (1): lamp" in after
    assert after.index("Not known (") < after.index("Measure first")
    # So does the screen.
    heads = [row.words.partition(" (")[0].partition(":")[0] for row in summary_rows(Session.of_text(texts[1]))
             if row.role == "heading"]
    assert heads[:2] == ["Not known", "Measure first"]
    assert heads.count("Not known") == 1

"""What follows from a fault decides its level, and nothing else does: danger can burn, injure, or leave a pump or the
engine running; a warning stops the car, leaves something dead or damages a part; advice is the rest."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from fuseplan.checks import LEVELS, assess
from fuseplan.checks.rule import CONSEQUENCES, all_rules
from fuseplan.cli.exit_status import EXIT_STATUS
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import one
from tests.checks.check_plans import failed, failing

LEADS_TO = {
    "alternator-cable-unfused": "burns",
    "alternator-not-isolated": "keeps_running",
    "alternator-overspeed": "injures",  # the rotor comes apart
    "alternator-peak-overload": "good_practice",  # the battery carries the peak
    "alternator-too-small": "stops_the_car",  # with a flat battery
    "automatic-reset-breaker": "good_practice",
    "back-feed": "keeps_running",  # or what else should go off stays on
    "battery-reserve-too-short": "good_practice",
    "blows-at-switch-on": "fails_in_use",
    "breaking-capacity": "damages_a_part",
    "bus-stub-too-long": "fails_in_use",
    "charging-voltage-drop": "stops_the_car",
    "condition-word-unused": "hides_a_fault",
    "connection-overloaded": "burns",
    "contact-overloaded": "burns",
    "crowded-splice": "fails_in_use",
    "dead-when-needed": "stops_the_car",
    "discharge-while-running": "stops_the_car",
    "duplicate-label": "good_practice",
    "earth-strap-overloaded": "burns",
    "exciter-current-too-low": "good_practice",  # charges after a burst of revs
    "extension-thinner": "burns",  # the fuse lets the thinner wire burn
    "fan-feeds-back": "keeps_running",
    "feed-overloaded": "burns",
    "figures-missing": "not_judged",
    "fuse-exceeds-equipment": "burns",  # the equipment does, from inside
    "fuse-exceeds-strap": "burns",
    "fuse-exceeds-wire": "burns",
    "fuse-far-from-battery": "burns",
    "fuse-too-small": "fails_in_use",  # a nuisance blow is no danger
    "fuse-voltage-too-low": "burns",  # it keeps arcing
    "guessed-current": "not_judged",
    "headlamps-share-fuse": "good_practice",
    "improbable-figure": "hides_a_fault",
    "insufficient-supply": "burns",  # nothing that cannot be calculated counts as safe
    "insulation-too-weak": "burns",
    "isolator-bypassed": "keeps_running",  # or what it should cut stays on
    "joints-side-by-side": "good_practice",
    "live-when-off": "keeps_running",
    "load-without-supply": "fails_in_use",
    "low-cranking-voltage": "stops_the_car",
    "low-lamp-voltage": "fails_in_use",
    "mating-pins-differ": "burns",  # supply into an earth
    "no-earth": "burns",  # the current returns through control cables
    "no-engine-strap": "burns",  # the starter's current does so
    "no-fuel-cut-off": "keeps_running",
    "no-fuse": "burns",
    "no-fuse-fits": "burns",  # whatever is fitted does not protect the wire, or blows
    "no-published-limit": "not_judged",
    "no-such-fuse-rating": "fails_in_use",
    "no-start-interlock": "good_practice",  # many old cars never had one
    "no-suppression": "damages_a_part",
    "no-trip-far-end": "burns",
    "normally-closed-contact": "keeps_running",
    "not-selective": "stops_the_car",  # the main fuse blows too
    "out-of-scope": "not_judged",  # honestly listed, it is no fault
    "output-overloaded": "damages_a_part",
    "pair-parted": "fails_in_use",
    "pair-untwisted": "fails_in_use",
    "relay-cannot-pull-in": "stops_the_car",
    "relay-inrush-too-high": "keeps_running",  # a pump whose contact has welded; other loads damage the contact
    "relay-overloaded": "burns",  # its socket melts
    "sensor-return-to-earth": "fails_in_use",
    "shield-earthed-twice": "fails_in_use",
    "second-battery-cranks": "damages_a_part",
    "second-battery-unprotected": "burns",
    "sense-lead-dead": "damages_a_part",  # the battery is overcharged
    "sensor-earth-shared": "fails_in_use",
    "standing-drain": "stops_the_car",
    "switch-overloaded": "burns",  # above its rating; within it for the wrong kind of load it only wears
    "thinner-wire-unprotected": "burns",
    "too-many-wires-on-stud": "good_practice",
    "two-wires-in-pin": "burns",  # where together they carry more than their terminal is rated for
    "unknown-pin-on-live-plug": "burns",  # nothing that is not known counts as safe
    "unlike-contact-platings": "fails_in_use",
    "unsuitable-fusible-link": "burns",  # thicker than its wire, or sparks in the cabin
    "voltage-drop": "fails_in_use",
    "wire-below-minimum-size": "good_practice",
    "wire-colour-conflict": "damages_a_part",  # somebody joins the two
    "wire-damaged-by-short": "burns",
    "wire-ends-disagree": "hides_a_fault",
    "wire-overloaded": "burns",
    "wire-unfit-for-contact": "fails_in_use",
    "wrong-fuse-position": "burns",  # a fuse too large for its contacts
    "zone-not-stated": "hides_a_fault",
    "flasher-load-too-low": "fails_in_use",
    "wrong-earth-polarity": "damages_a_part",
    "wrong-system-voltage": "burns",
}
"""The worst that each check may report. Common practice, no source; a change here is one of meaning."""


def test_every_check_says_what_it_leads_to() -> None:
    assert {name: rule.consequence for name, rule in all_rules().items()} == LEADS_TO


@pytest.mark.parametrize("name", sorted(LEADS_TO))
def test_the_consequence_decides_the_level(name: str) -> None:
    rule = all_rules()[name]
    assert rule.level == CONSEQUENCES[rule.consequence][0]
    found = [each for each in failed(name).findings if each.check == name]
    assert found
    for finding in found:
        assert LEVELS.index(finding.level) >= LEVELS.index(rule.level), "a finding is no worse than its check"


def test_no_check_sets_a_level_by_hand() -> None:
    package = Path(__import__("fuseplan.checks.rules", fromlist=["x"]).__file__).parent
    tried = 0
    for path in package.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            tried += isinstance(node, ast.Call)
            assert not (isinstance(node, ast.Call) and any(each.arg == "level" for each in node.keywords)), path.name
    assert tried > 500


def test_the_levels_are_those_of_the_consequences() -> None:
    by_level = {level: {name for name, (own, _) in CONSEQUENCES.items() if own == level} for level in LEVELS}
    assert by_level["danger"] == {"burns", "injures", "keeps_running"}
    assert by_level["warning"] == {"stops_the_car", "fails_in_use", "damages_a_part", "hides_a_fault"}
    assert by_level["advice"] == {"not_judged", "good_practice"}


def test_an_airbag_honestly_listed_is_no_fault_and_has_no_verdict() -> None:
    text = failing("out-of-scope")
    assessment = assess(parse_plan(text))
    [finding] = [each for each in assessment.findings if each.check == "out-of-scope"]
    assert finding.level == "advice"
    assert assessment.verdict(finding.subject) == "unknown"
    assert assessment.exit_status == 0


def test_what_is_only_to_be_measured_first_ends_with_0_as_the_help_says() -> None:
    fuse = 'fuse = { kind = "blade", rating = "15 A" }'
    assessment = assess(one('size = "1.5 mm2"', fuse, "9 A", evidence="typical"))
    assert assessment.measures
    assert assessment.count("danger") == assessment.count("warning") == 0
    assert assessment.exit_status == 0
    assert "1 one at least; what is only to be measured first is neither" in EXIT_STATUS

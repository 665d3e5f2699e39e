"""No text a user reads uses a phrase that trade English has a plain term for."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from fuseplan.checks.rule import all_rules
from fuseplan.cli.commands.schema import plan_schema
from fuseplan.cli.parser import parser
from fuseplan.papers.cautions import cautions, notice, stop
from fuseplan.planfile.starter import starter_plan
from fuseplan.tui.actions import ACTIONS
from tests.checks.check_plans import failed

GOLDEN = Path(__file__).parents[1] / "golden"

NOT_THIS = {
    r"\bbears?\b": "is rated for; ampacity",
    r"\bguard(s|ed)?\b": "protects",
    r"\b(fuse )?window empty\b|\bfuse window\b": "fuse range; no fuse fits",
    r"\bdesign current\b|\bDesign\b": "load current",
    r"\brides (it|the inrush)\b": "withstands the inrush current",
    r"\bmade to break\b": "breaking capacity",
    r"\bsurely opens\b|\bopens within\b": "maximum clearing time",
    r"\bNOT assured\b|\b(fuses|is|are) in order\b|  in order\b": "selective",
    r"\bquench": "coil suppression",
    r"\bgoverns?\b": "is the limit",
    r"\bon the way (out|back)\b|\bway back\b": "supply-side, earth-side voltage drop",
    r"\blifted up to\b": "earth drop up to",
    r"\bstretch(es)? of wire\b": "length of wire, segment",
    r"\bin step\b": "alike",
    r"\bfeed nearer\b(?! the battery)": "move the supply point closer",
    r"\bhangs? on\b": "share, is fed from",
    r"\bfor long\b": "continuous",
    r"\bgravest\b": "worst first",
    r"\bstands? against\b|\bnothing found\b": "no faults found",
    r"\bcure[sd]?\b": "fix",
    r"\bupper bound\b": "worst case",
    r"\bguidances?\b": "limits",
    r"\bdone again\b": "redone",
    r"\bstill lacks\b": "missing",
    r"\bcollide?s?\b": "cannot all be met",
    r"\bplace it begins\b": "starts at",
    r"\bwhat is going on\b": "on when",
    r"\bcharge (lead|wire)\b": "alternator cable",
    r"\bset ?point\b": "regulator voltage",
    r"\bregular (blade|fuse|in-line)": "standard blade",
    r"\bafter[-_ ]run\b": "run-on",
    r"\bbroken down\b": "parked, hazards flashing",
}
"""Phrases, and what is said instead."""


def texts() -> Iterator[tuple[str, str]]:
    """Where a text stands, and the text."""
    for path in sorted(GOLDEN.glob("*.txt")):
        yield path.name, path.read_text(encoding="utf-8")
    top = parser()
    yield "help", top.format_help()
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, each in action.choices.items():
                yield f"help of {name}", each.format_help()
    for name, rule in all_rules().items():
        yield name, "\n".join((rule.title, rule.words, rule.fix, rule.caution, rule.example))
        for finding in failed(name).findings:
            yield f"findings of {name}", f"{finding.message}\n{finding.fix}\n{finding.caution}"
    for each in ACTIONS:
        yield f"action {each.name}", f"{each.words}\n{each.label}"
    for caution in cautions():
        yield f"caution {caution.topic}", f"{caution.title}\n{caution.text}"
    yield "notice", f"{notice()}\n{stop()}"
    yield "first plan", starter_plan("a car")
    yield from _descriptions(plan_schema(), "plan")


def _descriptions(schema: object, where: str) -> Iterator[tuple[str, str]]:
    if isinstance(schema, dict):
        if isinstance(schema.get("description"), str):
            yield f"schema {where}", schema["description"]
        for key, value in schema.items():
            yield from _descriptions(value, f"{where}.{key}")
    elif isinstance(schema, list):
        for value in schema:
            yield from _descriptions(value, where)


@pytest.fixture(scope="module")
def read() -> list[tuple[str, str]]:
    found = list(texts())
    assert len(found) > 400
    return found


@pytest.mark.parametrize("phrase", NOT_THIS)
def test_no_text_uses_it(phrase: str, read: list[tuple[str, str]]) -> None:
    pattern = re.compile(phrase, 0 if "Design" in phrase or "NOT" in phrase else re.IGNORECASE)
    found = [f"{where}: …{text[max(0, hit.start() - 50):hit.end() + 30]}…".replace("\n", " ")
             for where, text in read for hit in pattern.finditer(text)]
    assert not found, f"say: {NOT_THIS[phrase]}\n" + "\n".join(dict.fromkeys(found))

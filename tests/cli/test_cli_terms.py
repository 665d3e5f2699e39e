"""``fuseplan terms``: every word has a meaning and a source, and is found by its American name too."""

from __future__ import annotations

import re

import pytest

from fuseplan.cli.main import main
from fuseplan.papers.supply_columns import EARTH_COLUMNS
from fuseplan.papers.terms import find_terms, terms, terms_text


def test_every_word_has_meaning_and_source_and_one_entry() -> None:
    names = [name.casefold() for each in terms() for name in (each.word, *each.also)]
    assert len(names) == len(set(names))
    for each in terms():
        assert each.meaning
        assert each.source
    assert max(map(len, terms_text(list(terms()), 80).splitlines())) <= 80


@pytest.mark.parametrize(("asked", "word"), [
    ("earth", "earth"), ("ground", "earth"), ("Harness", "loom"), ("low beam", "dip beam"), ("high beam", "main beam"),
    ("50", "terminal 50"), ("exciter", "exciter"), ("charge lead", "alternator cable"), ("guess", "evidence"),
    ("sense", "sense lead"), ("neutral safety switch", "interlock"),
    ("discrimination", "selectivity"), ("interrupting rating", "breaking capacity")])
def test_a_word_is_found_by_any_of_its_names(asked: str, word: str) -> None:
    assert [each.word for each in find_terms(asked)] == [word]


def test_the_command_prints_one_or_all_and_refuses_the_rest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["terms", "prospective", "short-circuit", "current"]) == 0
    assert "441-17-01" in capsys.readouterr().out
    assert main(["terms"]) == 0
    out = capsys.readouterr().out
    assert all(f"\n{each.word}" in f"\n{out}" for each in terms())
    assert main(["terms", "flux capacitor"]) == 2
    assert "is not explained" in capsys.readouterr().err


def test_no_word_takes_the_negative_post_for_the_earthed_one() -> None:
    """Cars with positive earth have plans, too."""
    said = [each.meaning for each in terms()] + [column.heading for column in EARTH_COLUMNS]
    pole = re.compile(r"(positive|negative) (post|earth)|battery (positive|negative)|above battery", re.IGNORECASE)
    assert [each for each in said if pole.search(each)] == []

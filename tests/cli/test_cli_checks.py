"""``fuseplan checks``: every check is listed with its level, and explained in full."""

from __future__ import annotations

import pytest

from fuseplan.checks.rule import LEVELS, all_rules
from fuseplan.cli.main import main
from fuseplan.papers.checks_text import check_list, check_text, meaning


def test_all_are_listed_under_their_level(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["checks"]) == 0
    out = capsys.readouterr().out
    parts = dict(zip(LEVELS, out.split("\n\n"), strict=False))
    for name, rule in all_rules().items():
        assert f"  {name} " in parts[rule.level]
    assert max(map(len, check_list(all_rules(), 80).splitlines())) <= 80


@pytest.mark.parametrize("name", all_rules())
def test_one_is_explained_in_full(name: str) -> None:
    rule = all_rules()[name]
    text = " ".join(check_text(rule, 80).split())
    assert text.startswith(f"{rule.level.upper()} {name} ")
    for part in (*meaning(rule), rule.fix, rule.source, rule.caution, rule.example.partition("; passes: ")[2]):
        assert " ".join(part.split()) in text


def test_an_unknown_name_is_refused_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["checks", "fuse-exceed-wire"]) == 2
    assert "'fuse-exceeds-wire'" in capsys.readouterr().err

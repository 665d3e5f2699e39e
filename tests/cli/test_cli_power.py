"""The command that prints the power report."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from cli_processes import Run

ROOT = Path(__file__).parents[2]
DEFICIT = ROOT / "tests" / "power" / "deficit.toml"


def test_command_text_json_and_svg(fuseplan: Run, tmp_path: Path) -> None:
    plain = fuseplan("power", DEFICIT, "--trip", "commuter", "--svg", "curves.svg", NO_COLOR="1")
    assert plain.status == 1
    assert "Balance, by condition" in plain.out
    assert ElementTree.parse(tmp_path / "curves.svg").getroot().tag.endswith("svg")
    document = fuseplan("power", DEFICIT, "--json", "--trip", "commuter")
    assert json.loads(document.out)["trips"]["commuter"]["legs"]


def test_command_refuses_what_it_does_not_know(fuseplan: Run) -> None:
    for arguments, words in ((("--trip", "comuter"), "the nearest known is 'commuter'"),
                             (("--condition", "idle"), "idle_hot_day")):
        wrong = fuseplan("power", DEFICIT, *arguments)
        assert wrong.status == 2
        assert words in wrong.err
        assert "Traceback" not in wrong.err


def test_command_ends_well_where_nothing_is_wrong(fuseplan: Run) -> None:
    assert fuseplan("power", ROOT / "examples" / "track_car.toml").status == 0

"""Every kind of file that is no plan ends with status 2, a line that says where, and no traceback."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

HEAD = "fuseplan = 1\n"
TREES = '[zone.cabin]\nambient = "45 degC"\n[feed.post]\nzone = "cabin"\n[earth.minus]\n'
BAD = {
    "empty": b"",
    "binary": b"fuseplan = 1\n\0\x01\x02",
    "latin_1": "fuseplan = 1\n[vehicle]\nname = 'Lüfter'\n".encode("latin-1"),
    "utf_16": HEAD.encode("utf-16"),
    "no_toml": b"fuseplan = 1\nthis is prose\n",
    "no_version": b'[vehicle]\nname = "x"\n',
    "newer": b"fuseplan = 99\n",
    "version_as_text": b'fuseplan = "1"\n',
    "unknown_key": f'{HEAD}[vehicle]\nnmae = "x"\n'.encode(),
    "wrong_type": f"{HEAD}[vehicle]\nname = 5\n".encode(),
    "wrong_unit": f'{HEAD}[battery]\ncapacity = "60 kg"\n'.encode(),
    "no_unit": f'{HEAD}[battery]\ncold_crank = "540"\n'.encode(),
    "negative": f'{HEAD}[battery]\ncold_crank = "-5 A"\n'.encode(),
    "feed_nowhere": f'{HEAD}{TREES}[circuit.a]\nfeed = "bus"\nearth = "minus"\n'.encode(),
    "two_roots": f"{HEAD}{TREES}[feed.other]\n".encode(),
    "loop": f'{HEAD}[feed.a]\nfrom = "b"\n[feed.b]\nfrom = "a"\n'.encode(),
    "no_such_limits": f'{HEAD}[vehicle]\nlimits = "lunar"\n'.encode(),
    "array_for_table": f"{HEAD}circuit = [1, 2]\n".encode(),
    "deep": f"{HEAD}x = {'[' * 5000}{']' * 5000}\n".encode(),
    "twice": f'{HEAD}[vehicle]\nname = "a"\n[vehicle]\nname = "b"\n'.encode(),
    "escapes": f'{HEAD}[circuit."\\u001b[31m"]\nfeed = "\\u001b]0;x\\u0007"\n'.encode(),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_file(name, fuseplan, tmp_path: Path):
    (tmp_path / "plan.toml").write_bytes(BAD[name])
    ran = fuseplan("check", "plan.toml")
    assert ran.status == 2
    assert ran.out == ""
    assert "Traceback" not in ran.err
    lines = ran.err.splitlines()
    assert lines
    for line in lines:
        # The set of limits is looked up after reading, so its message names no line.
        assert re.match(r"plan\.toml(:\d+)?: .{10}", line) or name == "no_such_limits", line
        assert line.isprintable()


def test_all_problems_come_together_each_with_its_line(fuseplan, tmp_path: Path):
    (tmp_path / "plan.toml").write_text(
        'fuseplan = 1\n[vehicle]\nnmae = "x"\n[battery]\ncapacity = "60 kg"\n', encoding="utf-8")
    lines = fuseplan("check", "plan.toml").err.splitlines()
    assert [line.split(": ")[0] for line in lines] == ["plan.toml:3", "plan.toml:5"]
    assert "'name'" in lines[0]
    assert "60 Ah" in lines[1]


@pytest.mark.parametrize("path", ["missing.toml", ".", "/dev/null", "no/such/folder/plan.toml", "a\x1b[2Jb.toml"])
def test_a_path_that_is_no_plan(path, fuseplan):
    ran = fuseplan("check", path)
    assert (ran.status, ran.out) == (2, "")
    assert "Traceback" not in ran.err
    assert ran.err.strip().isprintable()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_one_may_not_read(fuseplan, tmp_path: Path):
    (tmp_path / "plan.toml").write_text(HEAD, encoding="utf-8")
    (tmp_path / "plan.toml").chmod(0)
    assert fuseplan("check", "plan.toml").status == 2


@pytest.mark.parametrize("arguments", [
    ["check"], ["check", "a", "b"], ["check", "--nonsense", "x"], ["schema"], ["schema", "car"], ["--nonsense"],
    ["chek"], ["nothing-like-it"], ["missing.toml"], ["new"], ["circuits", "no_such_definition"],
    ["circuits", "--group", "nope"], ["cautions", "nope"], ["check", "\x1b[31m", "\x1b[0m"],
])
def test_wrong_arguments(arguments, fuseplan):
    ran = fuseplan(*arguments)
    assert (ran.status, ran.out) == (2, "")
    assert "Traceback" not in ran.err
    assert ran.err
    assert all(line.isprintable() for line in ran.err.splitlines())


def test_an_unknown_word_names_the_nearest_command(fuseplan):
    assert "'check'" in fuseplan("chek").err
    assert "fuseplan new missing.toml" in fuseplan("missing.toml").err

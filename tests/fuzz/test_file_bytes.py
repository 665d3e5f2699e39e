"""Files with bytes changed at random: each is refused in sentences or judged, and what is opened goes back as it was.

``pytest tests/fuzz/test_file_bytes.py --long --count 20000`` goes through more of them.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from fuseplan.cli import main as program
from fuseplan.errors import EditError, PlanError
from fuseplan.planfile.document import PlanDocument

TESTS = Path(__file__).parents[1]
SEEDS = [(TESTS / name).read_bytes() for name in ("cli/plans/small.toml", "cli/plans/quiet.toml",
                                                  "cli/plans/hostile.toml", "tui/car.toml")]
PIECES = (b"\0", b"\x1b[2J", b"\xff", b"\xc3", b"\xef\xbb\xbf", b"\r", b"\r\n", b"\t", b'"', b"'", b'"""', b"'''", b"[",
          b"]", b"[[", b"]]", b"{", b"}", b"=", b"#", b".", b",", b"\\", b"\\u202e", b"\xe2\x80\xae", b"\xef\xbc\x9d",
          b"nan", b"inf", b"1e999", b"0x10", b"1979-05-27", b"true", b"[a.b]\n", b"a.b.c = 1\n", b"fuseplan = 1\n",
          b"\n", b"-", b"9" * 400)
ORDINARY = 75


def spoiled(chance: random.Random) -> bytes:
    """A plan with one to six changes to its bytes."""
    raw = chance.choice(SEEDS)
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        at, end = sorted(chance.randrange(len(raw) + 1) for _ in range(2))
        short = min(end, at + chance.choice((1, 1, 2, 8, 60)))
        raw = chance.choice((cut, put, flip, swap, twice, end_here, lines_apart, of_another))(chance, raw, at, short)
        if not raw:
            break
    return raw


Change = Callable[[random.Random, bytes, int, int], bytes]


def cut(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    return raw[:at] + raw[end:]


def put(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    return raw[:at] + chance.choice(PIECES) + raw[at:]


def flip(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    return raw[:at] + bytes([raw[at] ^ 1 << chance.randrange(8)]) + raw[at + 1:] if at < len(raw) else raw


def swap(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    return raw[:at] + raw[at:end][::-1] + raw[end:]


def twice(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    return raw[:end] + raw[at:]


def end_here(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    return raw[:at]


def lines_apart(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    return raw[:at].replace(b"\n", b"\r\n") + raw[at:]


def of_another(chance: random.Random, raw: bytes, at: int, end: int) -> bytes:
    other = chance.choice(SEEDS)
    return raw[:at] + other[at:]


def hold(seed: int, file: Path, capsys: pytest.CaptureFixture[str]) -> int:
    """Put one file through; its exit status."""
    raw = spoiled(random.Random(seed))
    file.write_bytes(raw)
    status = program.main(["check", str(file), "--json"])
    out, err = capsys.readouterr()
    assert status in (0, 1, 2), (seed, err)
    assert all(line.isprintable() for line in (out + err).split("\n")), seed
    document = opened(file)
    if isinstance(document, PlanError):
        assert (status, out) == (2, ""), seed
        assert err.splitlines() == [str(problem) for problem in document.problems], seed
        return status
    before = document.text
    if is_renamed(document, "one name"):
        document.save()
        first = file.read_bytes()
        assert PlanDocument.open(file).text == document.text, seed
        assert is_renamed(document, "another name"), seed
        document.save()
        assert file.read_bytes() == first.replace(b"one name", b"another name", 1), seed
    else:
        assert document.text == before, seed
        assert file.read_bytes() == raw, seed
    return status


def opened(file: Path) -> PlanDocument | PlanError:
    try:
        return PlanDocument.open(file)
    except PlanError as error:
        return error


def is_renamed(document: PlanDocument, name: str) -> bool:
    """Give the plan another name; False where the file's lay-out does not let that be done."""
    try:
        document.set(("vehicle", "name"), name)
    except EditError:
        return False
    return True


def test_spoiled_files_are_refused_or_judged(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    seen = {hold(seed, tmp_path / "plan.toml", capsys) for seed in range(ORDINARY)}
    assert seen >= {1, 2}, "some were refused and some judged"


@pytest.mark.long
def test_very_many_spoiled_files_are_refused_or_judged(request: pytest.FixtureRequest, tmp_path: Path,
                                                       capsys: pytest.CaptureFixture[str]) -> None:
    for seed in range(ORDINARY, ORDINARY + int(request.config.getoption("--count"))):
        hold(seed, tmp_path / "plan.toml", capsys)

"""What is read again after an edit is all that can differ: layout and references equal those of the whole text."""

from __future__ import annotations

import random
import tomllib
from pathlib import Path

import pytest

from fuseplan.errors import EditError
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.references import names_in
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.locate import Layout
from fuseplan.planfile.plain import get
from fuseplan.planfile.read import name_problems

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
PIECES = ["", "\n", "#", " ", "a", "a = 1\n", "# new\n", "[x]\n", "[[circuit.fan.load]]\n", '"""', "'", '"', "[", "]",
          "{", "}", "=", "\n\n# alone\n\n", "note = '''\n[no.header]\n'''\n", "x = [\n  1,\n]\n", "x = 1"]


def is_toml(text: str) -> bool:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    return True


def same_layout(one: Layout, other: Layout) -> bool:
    return one.sections == other.sections and one.headers.names == other.headers.names


@pytest.mark.one_in(3)
@pytest.mark.share
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_layout_after_any_change_of_the_text_is_that_of_the_new_text(path: Path, in_full: bool) -> None:
    chance, text = random.Random(path.stem), path.read_text(encoding="utf-8")
    layout, kept, valid = Layout(text), 0, 0
    for _ in range((4_000_000 if in_full else 1_500_000) // len(text)):
        at = chance.randrange(len(text) + 1)
        if chance.random() < 0.4:
            at = text.find("\n", at) + 1
        until = min(len(text), at + chance.choice([0, 0, 1, 2, 5, 40]))
        changed = text[:at] + chance.choice(PIECES) + text[until:]
        if not is_toml(changed):
            continue
        valid += 1
        again = layout.edited(changed)
        if again is not None:
            kept += 1
            assert same_layout(again, Layout(changed)), (at, until)
        if chance.random() < 0.2:
            text, layout = changed, again or Layout(changed)
        if chance.random() < 0.03:
            text = path.read_text(encoding="utf-8")
            layout = Layout(text)
    assert 2 * kept > valid > 0, "most changes lie in one section"


def test_a_header_that_an_edit_puts_into_a_text_is_none() -> None:
    """One header more and one in a text of many lines: there are as many as before, but not the same."""
    before = "[a]\nk = 1\n[b] # \"\"\"\nj = 2\n[c]\n"
    after = before.replace("k = 1", '[x]\nk = """')
    assert is_toml(before)
    assert is_toml(after)
    again = Layout(before).edited(after)
    assert again is None or same_layout(again, Layout(after))


def problems(document: PlanDocument) -> list[tuple[object, str]]:
    data = document.snapshot().data
    return [*reference_problems(data), *name_problems(data)]


@pytest.mark.one_in(3)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_edit_that_is_taken_leaves_nothing_apart(path: Path) -> None:
    """Names replaced by others, parts removed and added: what is taken holds together as a whole, and what would not
    is refused."""
    chance, document = random.Random(path.stem), PlanDocument.open(path)
    spots = [(spot, name) for spot, name, _ in names_in(document.snapshot().data)]
    parts = [(kind, name) for kind in ("zone", "run", "feed", "earth", "circuit", "condition", "fuse_box", "trip")
             for name in document.snapshot().data.get(kind, {})]
    taken = refused = 0
    for _ in range(80):
        before = document.snapshot()
        spot, old = chance.choice(spots)
        try:
            if chance.random() < 0.5:
                document.set(spot, chance.choice([old, "nowhere", chance.choice(spots)[1]]))
            elif chance.random() < 0.7:
                document.remove(chance.choice(parts))
            else:
                path_, other = chance.choice(parts), chance.choice(parts)
                document.set((path_[0], f"{path_[1]}_2"), get(before.data, other if other[0] == path_[0] else path_))
        except EditError:
            refused += 1
            assert document.snapshot() is before
        else:
            taken += 1
            assert not problems(document)
        if chance.random() < 0.1:
            document.restore(PlanDocument.open(path).snapshot())
    assert taken > 5
    assert refused > 5

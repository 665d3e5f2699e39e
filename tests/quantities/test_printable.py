"""No text of a file acts on a terminal, and what is spelled out reads the same wherever it is shown."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fuseplan.planfile.files import clean_path
from fuseplan.quantities.amounts import clean
from fuseplan.quantities.printable import shown


@given(st.text(max_size=20))
def test_what_is_shown_acts_nowhere_and_is_spelled_once(text: str) -> None:
    assert shown(text).isprintable()
    assert shown(shown(text)) == shown(text)
    assert (shown(text) == text) == text.isprintable()


def test_a_sign_beyond_one_byte_is_spelled_by_its_whole_code_in_every_message() -> None:
    text = "a\x1b\u202e\U000e0001b"
    assert shown(text) == clean(text) == clean_path(text) == r"a\x1b\u202e\U000e0001b"

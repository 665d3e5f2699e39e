"""A number is written behind the article with which it is spoken."""

import pytest

from fuseplan.quantities import writing


@pytest.mark.parametrize(("words", "written"), [
    ("20 A", "a 20 A"), ("80 A", "an 80 A"), ("8 A", "an 8 A"), ("11 A", "an 11 A"), ("18 A", "an 18 A"),
    ("180 A", "a 180 A"), ("110 A", "a 110 A"), ("1.8 A", "a 1.8 A"), ("11.5 A", "an 11.5 A"), ("800 A", "an 800 A")])
def test_the_article_of_a_rating(words: str, written: str) -> None:
    assert writing.an(words) == written

"""Lines of a page are shared out so that no turn takes away what an earlier one gave, and the page is filled."""

from __future__ import annotations

import random

from fuseplan.papers.page_room import Within, shared_out


def block(name: str, fewest: int, whole: int) -> Within:
    return lambda most: [name] * max(fewest, min(whole, most))


def test_a_later_turn_takes_no_lines_away() -> None:
    rng, cut = random.Random(1), 0
    for _ in range(500):
        whole = {name: rng.randint(1, 20) for name in "abcd"}
        fewest = {name: rng.randint(1, most) for name, most in whole.items()}
        blocks = {name: block(name, fewest[name], whole[name]) for name in whole}
        turns = [(rng.choice("abcd"), rng.randint(0, 15)) for _ in range(8)]
        had = dict.fromkeys(blocks, 0)
        for number in range(len(turns) + 1):
            page = shared_out(blocks, turns[:number], 30)
            has = {name: page.count(name) for name in blocks}
            assert all(had[name] <= has[name] for name in blocks), (turns[:number], had, has)
            assert len(page) <= max(30, sum(fewest.values()))
            had = has
        cut += sum(had.values()) < sum(whole.values())
    assert cut > 100

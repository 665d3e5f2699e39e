"""In which conditions something is wanted or live, as masks over the conditions; alike masks are kept once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from fuseplan.array_types import Flags
from fuseplan.engine.states import ALWAYS, STATE_INDEX, relay_fed, rests_closed
from fuseplan.plan.model import Condition
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import WHEN_ALWAYS


class Kept:
    """Masks by number."""

    def __init__(self, width: int) -> None:
        self.width = width
        self.masks: list[Flags] = []
        self._numbers: dict[bytes, int] = {}

    def number(self, mask: Flags) -> int:
        """Number of a mask."""
        found = self._numbers.setdefault(mask.tobytes(), len(self.masks))
        if found == len(self.masks):
            self.masks.append(mask)
        return found

    def rows(self, numbers: Sequence[int]) -> Flags:
        """The masks of many numbers, one a row."""
        return np.array(self.masks, dtype=bool).reshape(-1, self.width)[np.array(numbers, dtype=np.int64)]


class Masks:
    """What is wanted and live in the conditions of one plan, by numbers of masks; every question is worked out once."""

    def __init__(self, conditions: Sequence[Condition], feed_live: Mapping[str, Flags]) -> None:
        self._conditions, self._feed_live = conditions, feed_live
        self._state = np.array([STATE_INDEX[condition.state] for condition in conditions], dtype=np.int64)
        self.states, self.conditions = Kept(len(STATE_INDEX)), Kept(len(conditions))
        self._words: dict[tuple[str, ...], int] = {}
        self._fed: dict[tuple[str | None, tuple[str, bool] | None], tuple[int, int]] = {}
        self._joined: dict[tuple[str, int, int], int] = {}

    def words(self, when: tuple[str, ...]) -> int:
        """Conditions that list one of the words."""
        found = self._words.get(when)
        if found is None:
            asked = set(when)
            found = self._words[when] = self.conditions.number(np.array(
                [WHEN_ALWAYS in asked or not asked.isdisjoint(condition.when) for condition in self._conditions],
                dtype=bool))
        return found

    def fed(self, feed: str | None, relay: Relay | None = None) -> tuple[int, int]:
        """States, and conditions, in which a feed is live and a relay behind it can be closed; either may be left out,
        and a feed that does not exist is taken as live."""
        at_rest = relay is None or rests_closed(relay)
        key = (feed, None if relay is None or at_rest else (relay.coil_feed, relay.driver == "voltage_sensing"))
        found = self._fed.get(key)
        if found is None:
            mask = self._feed_live.get(feed or "", ALWAYS) & relay_fed(relay, self._feed_live)
            found = self._fed[key] = (self.states.number(mask), self.conditions.number(mask[self._state]))
        return found

    def both(self, one: int, other: int) -> int:
        """Conditions in both masks."""
        return self._join("both", one, other)

    def any_of(self, numbers: Sequence[int]) -> int:
        """Conditions in any of some masks."""
        found = numbers[0] if numbers else self.conditions.number(np.zeros(self.conditions.width, dtype=bool))
        for number in numbers[1:]:
            found = self._join("either", found, number)
        return found

    def not_both(self, one: int, other: int) -> int:
        """Conditions that are not in both."""
        return self._join("not both", one, other)

    def _join(self, how: str, one: int, other: int) -> int:
        key = (how, one, other)
        found = self._joined.get(key)
        if found is None:
            first, second = self.conditions.masks[one], self.conditions.masks[other]
            mask = first | second if how == "either" else first & second
            found = self._joined[key] = self.conditions.number(~mask if how == "not both" else mask)
        return found

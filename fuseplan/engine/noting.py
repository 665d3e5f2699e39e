"""What checks read of circuits, devices and the rest from the plan alone: worked out once, and after an edit only again
of what it touched."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import wraps
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from fuseplan.engine.network import Network
    from fuseplan.engine.results import Results

T = TypeVar("T")
Answer = TypeVar("Answer", bound=Callable[..., Any])
Note = Callable[["Network", int], T | None]
"""What is noted of the circuit, or protective device, of a number; None for nothing. It reads that circuit's own
entries (the owner's of the device) and what is no circuit: never another circuit, another note, a current, or what
depends on it."""
Notes = dict[tuple[str, Callable[..., Any]], dict[int, Any]]
"""What was noted so far: by whether it is of circuits, fuses or the rest, which has the number 0, and what notes it."""


def of_circuits(network: Network, note: Note[T], marked: str | None = None) -> Mapping[int, T]:
    """What is noted of the circuits, by number upwards; those of which it is nothing are left out. It is asked of those
    alone that have what is `marked` (`marking`), where it can be noted of no other."""
    return _noted(network, "circuits", note, len(network.circuits), marked)


def of_fuses(network: Network, note: Note[T], marked: str | None = None) -> Mapping[int, T]:
    """The same of the protective devices."""
    return _noted(network, "fuses", note, len(network.fuses), marked)


def of_the_rest(network: Network, note: Callable[[Network], T]) -> T:
    """What is noted of all that is no circuit: it stands as long as circuits alone are edited."""
    found = network.notes.get(("rest", note))
    if found is None:
        found = network.notes["rest", note] = {0: note(network)}
    each: T = found[0]
    return each


def _noted(network: Network, what: str, note: Note[T], count: int, marked: str | None) -> dict[int, T]:
    found = network.notes.get((what, note))
    if found is None:
        numbers = range(count) if marked is None else network.marked.get(marked, ())
        found = network.notes[what, note] = _of(network, numbers, note)
    return found


def _of(network: Network, numbers: Iterable[int], note: Note[T]) -> dict[int, T]:
    return {number: each for number in numbers if (each := note(network, number)) is not None}


def carried_over(before: Notes, network: Network, touched: Mapping[str, Iterable[int]]) -> Notes:
    """The notes on a network from those on the one before an edit, which touched the circuits and fuses of these
    numbers."""
    return {(what, note): found if what == "rest" else _renewed(found, touched[what], network, note)
            for (what, note), found in before.items()}


def _renewed(found: dict[int, Any], touched: Iterable[int], network: Network, note: Note[Any]) -> dict[int, Any]:
    now = _of(network, touched, note)
    if now.keys() == found.keys() & set(touched):
        return {**found, **now} if now else found
    return dict(sorted({**{number: each for number, each in found.items() if number not in touched}, **now}.items()))

def once(answer: Answer) -> Answer:
    """A function of results, and of what can be a key, that many fixes ask the same: answered once for each. It does
    not look at `asked_sizes`, and what it gives does not hold the results."""

    @wraps(answer)
    def known(results: Results, *asked: Any) -> Any:
        key = (answer, *asked)
        if key not in results.answers:
            results.answers[key] = answer(results, *asked)
        return results.answers[key]

    return known  # type: ignore[return-value]

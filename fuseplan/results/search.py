"""Finding a figure or a part of the result by what a person types: an address, an id, a word."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.errors import FigureError
from fuseplan.plan.references import accepted
from fuseplan.results.address import FigureSpot, Group, Spot, figures, find, inside, own, parts, split
from fuseplan.results.part import Figure, Nested, Part

_SHORT = ("circuits", "feeds", "earths", "conditions", "power")
"""Keys of the result that an address may leave out."""


def listing(spot: Spot) -> Iterator[FigureSpot | Group]:
    """The figures of a part and of the single parts inside it; several parts of a kind as a group."""
    yield from own(spot)
    singles = list(inside(spot))
    for declaration in spot.part.declared:
        if not isinstance(declaration, Nested):
            continue
        key = (*spot.steps, declaration.key)
        if isinstance(declaration.fget(spot.part), Part):
            yield from listing(next(each for each in singles if each.steps == key))
        elif members := tuple(each for each in singles if each.steps[:-1] == key):
            yield Group(key, spot.part, spot.names, declaration.words, members)


def resolve(spot: Spot, typed: str) -> tuple[Spot, ...]:
    """What an address, or one without its first step, stands for: nothing, one place, or several of one id."""
    exact = find(spot, typed)
    if exact is not None:
        return (exact,)
    return tuple(found for key in _SHORT if (found := find(spot, f"{key}.{typed}")) is not None)


def figure_at(spot: Spot, typed: str) -> FigureSpot:
    """The one figure at an address.

    Raises:
        FigureError: There is none, or more than one by that address without its first step.
    """
    found = [each for each in resolve(spot, typed) if isinstance(each, FigureSpot)]
    if len(found) > 1:
        raise FigureError(f"'{typed}' may be {' or '.join(each.address for each in found)}")
    if not found:
        raise missed(spot, typed)
    return found[0]


def matching(spot: Spot, typed: str) -> list[Spot]:
    """Parts and figures in whose address or words all words typed occur; what is inside a part that is listed is not
    listed again."""
    words = typed.casefold().split()

    def fits(address: str, text: str) -> bool:
        return all(word in f"{address} {text}".casefold() for word in words)

    found: list[Spot] = [each for each in parts(spot) if fits(each.steps[-1], each.names[-1] if each.names else "")]
    listed = {each.steps for each in found}
    found = [each for each in found if not _within(each, listed - {each.steps})]
    return found + [each for each in figures(spot)
                    if not _within(each, listed) and fits(each.address, each.whole_words)]


def _within(spot: Spot, listed: set[tuple[str, ...]]) -> bool:
    return any(spot.steps[:count] in listed for count in range(1, len(spot.steps)))


def missed(spot: Spot, typed: str) -> FigureError:
    """That there is no such figure: where the address leaves the result, and what is accepted there."""
    here = next(iter(resolve(spot, typed)), None)
    if here is not None:
        return FigureError(f"{here.address or 'the whole'} is no figure; {accepted('', _keys(here))}")
    steps = split(typed)
    for count in range(len(steps) - 1, 0, -1):
        found = resolve(spot, ".".join(steps[:count]))
        if found:
            step, place = steps[count], found[0]
            return FigureError(f"{place.address} has no '{step}'; {accepted(step, _keys(place))}")
    names = [*(each.steps[-1] for each in inside(spot)), *_keys(spot)]
    return FigureError(f"there is no figure or part '{typed}'; {accepted(typed, list(dict.fromkeys(names)))}")


def _keys(spot: Spot) -> list[str]:
    if isinstance(spot, Group):
        return [each.steps[-1] for each in spot.members]
    if isinstance(spot, FigureSpot):
        return [each.steps[-1] for each in own(spot) if each.steps[:-1] == spot.steps]
    return [each.key for each in spot.part.declared if isinstance(each, (Figure, Nested))]

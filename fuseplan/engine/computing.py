"""From a plan to its results: the chain of compiling, solving, demands, fuse ranges and proposed ratings."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.engine.assumed import fuse_words
from fuseplan.engine.compiling import compile_plan
from fuseplan.engine.demand import demands_of, drawn_of
from fuseplan.engine.devices import devices_of
from fuseplan.engine.drops import drops_of
from fuseplan.engine.fault import far_ends_of
from fuseplan.engine.first_guess import likely_ratings, plain_ratings, ranges_of
from fuseplan.engine.network import Network
from fuseplan.engine.power import average_share, balance_of
from fuseplan.engine.proposed_ratings import Barred, ChosenBy, given_up, with_proposals
from fuseplan.engine.relays import switching_of
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution, solve, solve_choices
from fuseplan.engine.source import source_of
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.trace import bare, decided


@contextmanager
def collector_paused() -> Iterator[None]:
    """Hold the garbage collector: a large plan makes a million small objects that all stay, and looking through them
    again and again costs more than making them."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


def compute(plan: Plan, limit_set: LimitSet, after: Network | None = None) -> Results:
    """Compile and solve a plan; `after` is the network of a plan of which it is an edit, which makes it quicker.

    Ratings the plan leaves out are guessed for a first solution; where the proposals that follow from it have another
    resistance, the network is solved again with them, until it was solved with those that follow from it.
    """
    with collector_paused():
        return _compute(compile_plan(plan, limit_set, after))


def _compute(network: Network) -> Results:
    source = source_of(network.plan, network.conditions, network.system_v)
    consumers = network.consumers
    mean = average_share(network)
    shares: tuple[Floats | NDArray[np.bool_], ...] = consumers.instead if mean is None else (*consumers.instead, mean)

    ohm = _cold_ohm(network, plain_ratings(network))
    usual = solve(network, source, ohm)
    limit_a = usual.wires.limit_a
    drawn = drawn_of(network, network.bounds, source)
    rating, before = likely_ratings(network, source, usual, drawn)
    wanted = _cold_ohm(network, rating)
    barred: Barred = {}
    solved: list[Solution] | None = None
    regulated: Solution | None = None
    # It ends: every time round that does not lower ratings takes some off the ladders.
    for round_number in count():
        if not np.array_equal(ohm, wanted):
            ohm = wanted
            usual = solve(network, source, ohm, start=usual)
        solved = solve_choices(network, source, ohm, shares, usual, solved)
        choices, average = [usual, *solved[:len(consumers.instead)]], usual if mean is None else solved[-1]
        if source.running.any() and not source.alternator_known:
            regulated = solve(network, source.strong, ohm, start=usual)
        demands = demands_of(network, drawn, choices, source, regulated)
        far = far_ends_of(network, source, usual, ohm)
        before = ranges = ranges_of(network, limit_a, demands, before)
        chosen_by = ChosenBy(ranges, far, ohm, float(source.open_circuit_v[0]), barred)
        fusing = with_proposals(*chosen_by)
        wanted = ohm if fusing.rating_a is rating else _cold_ohm(network, fusing.rating_a)
        if np.array_equal(ohm, wanted):
            break
        # The first ratings are guesses, solved beside guesses: what they lead to says nothing against them.
        if round_number:
            barred = given_up(network, rating, fusing, barred)
        rating = fusing.rating_a
    return Results(network=network, source=source, solution=choices[0], choices=tuple(choices), regulated=regulated,
                   demands=demands, surges=ranges.surges, fusing=fusing,
                   drops=drops_of(network, choices, [consumers.on, *consumers.instead]),
                   balance=balance_of(network, choices[0], average, source),
                   switching=switching_of(network, demands), fuse_ohm=ohm, far_ends=far,
                   chosen_by=chosen_by)


def _cold_ohm(network: Network, rating_a: Floats) -> Floats:
    """Cold resistance of each device in ohm at a rating (J,)."""
    kinds, plain = network.fuse_kinds, bare(rating_a)
    return decided(devices_of(network.fuses_by_kind, plain).cold_ohm(), "R", "ohm",
                   lambda device: fuse_words(kinds[device], float(plain[device]))[0],
                   lambda device: fuse_words(kinds[device], float(plain[device]))[1])

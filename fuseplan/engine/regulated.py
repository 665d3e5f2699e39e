"""Which solution counts where alternator, battery and loads allow more than one.

Loads of constant power draw more the lower the voltage is. Close to the alternator's limit that leaves two states in
which all currents balance: the alternator holds its regulator voltage, or the voltage has fallen, the loads draw more
than it gives and the battery discharges. The rule, whatever a solution was begun from:

1. the alternator that can hold its regulator voltage holds it; where that leaves the battery's post below the
   battery's rested voltage, as too much is lost on the way, the battery gives the rest and the post follows it;
2. else, at its limit, the state of the highest voltage counts: it carries the loads alone, below its regulator
   voltage, before the battery gives the rest.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.laws import LEAST_V

FREE, REGULATED, LIMITED = range(3)
"""How the alternator works: as the demand of the last pass asks, holding its voltage whatever that takes, or at its
limit."""
EXACT_V = 1e-8
"""Rows solved by the rule pass until no voltage moves by more than this: the two states may lie that close."""
JUST = 1e-9
"""A demand this close to the output, relatively, is the output."""
CLOSE_SHARE = 1e-4
"""Within this of its limit, relatively, an alternator found to hold its voltage is solved again to be sure of it."""
MOST_PASSES, MOST_EXACT = 80, 300
"""Passes allowed, and for the few rows solved by the rule."""
RISE_SHARE, BEND_SHARE = 0.9, 1e-3
"""Drops in the wires let a demand rise less with the voltage than its loads alone would, and bend its course."""
WHOLE_PASSES, FEW_PASSES, FAR_V = 12, 3, 0.2
"""So many passes make their moves as they come, the few where they still move as far as this and by more than half of
the pass before; what has not settled by then swings or creeps."""
LEAST_SHARE, MOST_SHARE = 0.02, 4.0
LEAST_LINE_OHM = 1e-4
"""Less than there is between an alternator and the battery: where none is entered, the passes close in all the same."""
SUNK_SHARE = 0.6
"""A load of constant power at less than this share of the battery's voltage may be in the lower of two states that its
own wire allows; in the upper one it has more than half."""


def creeps(passes: int, moved_v: float, last_v: float) -> bool:
    """Whether moves are better not made as they come, after so many passes and by the largest move of the last two."""
    return passes >= WHOLE_PASSES or (passes > FEW_PASSES and moved_v > FAR_V and moved_v > 0.5 * last_v)


def shares(before: Floats | None, moves: Floats, last: Floats, passes: int) -> Floats:
    """Share of each row's move that a pass makes (R,). A stiff row swings (cranking through a poor lead, a load of
    constant power about to stop working): where a move turns back on the one before, less of it is made. A row close
    to where its loads can no longer be fed creeps: where moves go on the same way, more.

    Args:
        before, moves: the moves of all voltages in the pass before (None for none) and in this one (n, R)
        last: what was made of the move before (R,)
        passes: how many were made; more than a whole move is made only late
    """
    if before is None:
        return last
    turned = np.einsum("ij,ij->j", before, moves) < 0
    most = MOST_SHARE if passes >= WHOLE_PASSES else 1.0
    return np.where(turned, np.maximum(0.5 * last, LEAST_SHARE), np.minimum(1.3 * last, most))


def eased(slope: Floats, way_ohm: Floats) -> Floats:
    """Share of its own move that each load makes (L, R), from its slope [A/V] and the resistance on its way [ohm]: the
    voltage across a load behind more resistance than its own swings ever further otherwise."""
    found = slope * way_ohm
    np.maximum(found, 0.0, out=found)
    found += 1.0
    return np.divide(1.0, found, out=found)


def root_of(root: Floats, demand: Floats, slope: Floats, open_v: Floats, inner: Floats, available: Floats,
            regulator_v: float, terminal_less_root: Floats, way: int = FREE) -> tuple[Floats, Floats]:
    """Voltage of the battery post and current of the alternator, from the demand and its slope over voltage.

    Regulated: the alternator holds its own terminal at the regulator voltage while it can. At its limit the post
    floats where demand equals output, as long as that is above the battery's rested voltage. Below, the battery
    gives the rest and the post follows it. A full battery takes no charge worth counting.
    """
    regulated = regulator_v - terminal_less_root
    at_regulated = demand + slope * (regulated - root)
    turns = available > 0
    holds = turns & (at_regulated <= available) if way == FREE else turns & (way == REGULATED)
    with np.errstate(divide="ignore", invalid="ignore"):
        floating = root + (available - demand) / slope
        # Constant-power loads make the slope negative; the battery's own resistance keeps the sum in hand.
        kept_slope = np.maximum(slope, -0.5 / inner)
    floats = turns & (slope > 0) & (floating >= open_v) & (floating <= regulated)
    drained = (open_v - inner * (demand - kept_slope * root - available)) / (1.0 + inner * kept_slope)
    # The battery takes nothing: an output that the loads do not use up raises the voltage until they do.
    rises = (available > demand) & (drained > open_v)
    drained = np.where(rises, np.maximum(0.5 * (root + regulated), open_v), drained)
    new_root = np.where(holds, regulated, np.where(floats, floating, drained))
    delivered = np.where(holds, np.maximum(at_regulated, 0.0), available)
    return np.maximum(new_root, 0.0), delivered


def helped(root: Floats, demand: Floats, slope: Floats, open_v: Floats, inner: Floats, most_a: Floats,
           short_v: Floats, given_a: Floats, line_ohm: Floats) -> tuple[Floats, Floats]:
    """Voltage of the battery post and current of the alternator, as `root_of`, where the battery gives beside an
    alternator that holds its terminal at the regulator voltage, or as near as its limit allows.

    Args:
        root, demand, slope, open_v, inner: as for `root_of` (R,)
        most_a: what the alternator can give, infinite where it is to hold its voltage whatever that takes (R,)
        short_v, given_a: regulator voltage less what was lost from the terminal to the post, with this current of the
            alternator (R,)
        line_ohm: resistance from the alternator's terminal to the battery and back to its body (R,)
    """
    line_ohm, kept_slope = np.maximum(line_ohm, LEAST_LINE_OHM), np.maximum(slope, -0.5 / inner)
    asked = demand - kept_slope * root
    line_a = given_a + short_v / line_ohm
    post = (open_v / inner + line_a - asked) / (1.0 / inner + 1.0 / line_ohm + kept_slope)
    delivered = np.clip(line_a - post / line_ohm, 0.0, most_a)
    return np.maximum((open_v - inner * (asked - delivered)) / (1.0 + inner * kept_slope), 0.0), delivered


def doubtful(root: Floats, demand: Floats, slope: Floats, open_v: Floats, inner: Floats, available: Floats,
             regulator_v: float, made_up_v: float, terminal_less_root: Floats, delivered: Floats, falling_a: Floats,
             falling_v: Floats, unsettled: Flags) -> Ints:
    """Numbers of the rows that may have another solution, which the rule prefers.

    Args:
        root, demand, slope, open_v, inner, available, terminal_less_root, delivered: as for `root_of`, at the end of
            the passes (R,)
        made_up_v: what the terminal may have beyond the regulator voltage
        falling_a, falling_v: current of each load of constant power, and the voltage across it (P, R)
        unsettled: rows in which a voltage still moved (R,)
    """
    if not len(falling_a):
        return np.flatnonzero(unsettled)
    regulated = np.maximum(regulator_v - terminal_less_root, root)
    holds = (available > 0) & (delivered < available)
    able = (available > 0) & ~holds
    if able.any():
        with np.errstate(divide="ignore", invalid="ignore"):
            # Nothing but loads of constant power draws less at a higher voltage, and none gets more than the
            # terminal's.
            saved = np.maximum(falling_a * (1.0 - falling_v / np.maximum(regulated, regulator_v + made_up_v)),
                               0.0).sum(axis=0)
            # The demand is convex over the logarithm of the voltage, as each load's law is. A load of constant power
            # behind a wire falls the faster the more the wire loses.
            falls = (falling_a * root / np.maximum(2.0 * falling_v - root, LEAST_V)).sum(axis=0)
            rises = (slope + (falling_a / falling_v).sum(axis=0)) * root * RISE_SHARE
            along = demand * (1.0 - BEND_SHARE) + (rises - falls) * np.log(regulated / root)
        from_battery = np.maximum(open_v - regulated, 0.0) / inner
        able &= np.fmax(demand - saved, along) <= available + from_battery
    close = holds & (delivered >= (1.0 - CLOSE_SHARE) * available)
    sunk = ((falling_v < SUNK_SHARE * root) & (falling_a > 0)).any(axis=0)
    return np.flatnonzero(able | close | sunk | unsettled)


def by_rule(rows: Ints, available: Floats, solve: Callable[[Ints, int], Floats]) -> None:
    """Solve rows again, each in the state that the rule prefers.

    Args:
        rows: as `doubtful` finds them
        available: what the alternator can give in all rows [A] (R,)
        solve: callable (rows, way) -> current. Solves rows from the regulator voltage down, to within `EXACT_V`, keeps
            what it finds and returns what is asked of the alternator in them [A].
    """
    turning = rows[available[rows] > 0]
    still = rows[available[rows] <= 0]
    if still.size:
        solve(still, LIMITED)
    if turning.size:
        asked = solve(turning, REGULATED)
        # A machine taken as strong enough for everything has no limit to be at.
        limited = turning[~(asked <= available[turning] * (1.0 + JUST)) & np.isfinite(available[turning])]
        if limited.size:
            solve(limited, LIMITED)

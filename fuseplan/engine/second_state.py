"""What the battery would give in the second state of a running condition, where there is one.

Loads of constant power draw more at a lower voltage. An alternator with little to spare may hold its regulator voltage
with them, and yet not get back to it once the voltage has been down at the battery's, as it is after starting: the
loads then draw more than it gives. The results count on the regulator voltage (`engine/regulated.py`); this says what
happens otherwise.
"""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.engine.laws import LEAST_V, SHARE_STOPPED
from fuseplan.engine.network import Network
from fuseplan.engine.passes import at_nodes, passes_of
from fuseplan.engine.power import Balance, still_a
from fuseplan.engine.regulated import LIMITED
from fuseplan.engine.solve import BOUNDS, with_upper
from fuseplan.engine.source import Source
from fuseplan.trace import decided, is_followed, plainly

BACK = ("starting from the battery's voltage the alternator gets back to its regulator voltage, or the deficit is "
        "there in any case")
STAYS = ("starting from the battery's voltage the loads draw so much more than the alternator gives; at the regulator "
         "voltage they would draw less than that")
SOLVED_FROM = "solved for all nodes at once, from the battery's voltage"
DROPS_GROW = 1.5
"""What the voltage across a load of constant power falls by at most, for each volt at the battery: its greater current
loses more on the way."""
DROPS_SHRINK = 0.8
"""What the voltage across any other load falls by at least: its smaller current loses less."""


def discharge_if_low_a(network: Network, source: Source, fuse_ohm: Floats, balance: Balance) -> Floats:
    """Current out of the battery (bound, C) [A] on average demand, once the voltage has been down at the battery's; 0
    where the alternator gets back to its regulator voltage, and where it cannot hold it in the first place."""
    rests_on = network, source, fuse_ohm, balance
    # Of a recorded run alone: what is plain already takes longer to walk through than to solve.
    found = _found(*(map(plainly, rests_on) if is_followed(fuse_ohm) else rests_on))
    return decided(found, "I", "A", lambda bound, row: BACK if found[bound, row] == 0.0 else STAYS, SOLVED_FROM,
                   source.open_circuit_v, source.available_a)


def _found(network: Network, source: Source, fuse_ohm: Floats, balance: Balance) -> Floats:
    found = np.zeros((BOUNDS, len(network.conditions)))
    if not source.alternator_known:
        return found
    chosen = np.flatnonzero(_possible(network, source, balance).any(axis=0))
    if not chosen.size:
        return found
    consumers, at = network.consumers, np.tile(chosen, BOUNDS)
    reference = with_upper(network, np.where(consumers.on[chosen], consumers.duty, 0.0))
    low = source.open_circuit_v[at]
    across = np.repeat(low[:, None], consumers.count, axis=1)
    state, *_ = passes_of(network.whole, source, at_nodes(network, fuse_ohm), balance.average.wires, at, reference, low,
                          across, LIMITED)
    out = state.battery_a.reshape(BOUNDS, -1)
    still = still_a(source.available_a[chosen])
    found[:, chosen] = np.where((out > still) & (balance.battery_a[:, chosen] >= 0), out, 0.0)
    return found


def _possible(network: Network, source: Source, balance: Balance) -> Flags:
    """Where a second state is not ruled out (bound, C): the alternator holds its voltage, and at the battery's own
    the loads of constant power would take the demand past the output."""
    average, consumers, falling = balance.average, network.consumers, network.consumers.constant_power
    able = source.running & (source.available_a > 0) & (balance.battery_a >= 0)
    if not able.any() or not falling.size:
        return np.zeros_like(able)
    lower = np.maximum(average.root_v - np.tile(source.open_circuit_v, BOUNDS), 0.0)[:, None]
    current, across = average.consumer_a[:, falling], average.across_v[:, falling]
    least = np.maximum(across - DROPS_GROW * lower, LEAST_V)
    more = current * (np.minimum(across / least, 1.0 / SHARE_STOPPED) - 1.0)
    rising = np.maximum(consumers.exponent, 0.0)
    saved = average.consumer_a * (rising * DROPS_SHRINK) * lower / np.maximum(average.across_v, LEAST_V)
    at_low = balance.demand_a + (more.sum(axis=1) - saved.sum(axis=1)).reshape(able.shape)
    return np.asarray(able & (at_low > source.available_a))

"""The network with its rows chosen afresh: other speeds, other states of charge, loads weighed by their duty.

The solver takes any list of conditions at once; a curve over engine speed or over state of charge is the same
condition many times over with another source in each row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fuseplan.engine.network import Network
from fuseplan.engine.source import Source
from fuseplan.formulas.pulsed import average_current


def weighed(network: Network) -> Network:
    """The network with every current weighed by its duty: what the alternator and the battery see on average."""
    consumers = network.consumers
    mean, most = (np.asarray(average_current(each, consumers.duty)) for each in (consumers.reference_a,
                                                                                 consumers.most_a))
    return replace(network, consumers=replace(consumers, reference_a=mean, most_a=most))


def rows(network: Network, source: Source, chosen: Sequence[int]) -> tuple[Network, Source]:
    """Network and source with these conditions, in this order, each as often as it is named."""
    index = np.asarray(chosen, dtype=np.int64)
    consumers = network.consumers
    picked = replace(consumers, wanted=consumers.wanted[index], possible=consumers.possible[index],
                     on=consumers.on[index], instead=tuple(each[index] for each in consumers.instead))
    smaller = replace(
        network, consumers=picked, conditions=tuple(network.conditions[number] for number in index.tolist()),
        condition_ids=tuple(network.condition_ids[number] for number in index.tolist()),
        state=network.state[index], duration_s=network.duration_s[index])
    return smaller, replace(
        source, open_circuit_v=source.open_circuit_v[index], internal_ohm=source.internal_ohm[index],
        available_a=source.available_a[index], rotor_rpm=source.rotor_rpm[index], running=source.running[index])

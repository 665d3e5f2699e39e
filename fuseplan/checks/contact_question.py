"""What is asked of relay contacts, their sockets and the positions of fuses.

What contacts break above 12 V: what is on file for them was measured at 14 V at most, and an arc that goes out there
goes on burning at 28 V. And the terminals of the socket where more flows than one 6.3 mm terminal carries: sockets melt
at 25 to 30 A without blowing the fuse: common practice, no source. And the positions of fuse boxes with a blade of more
than 30 A in them.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.boxes import seated
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.subjects import fuse_subject, owner_subject
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
from fuseplan.engine.stock import BLADES, MOST_BLADE_A
from fuseplan.plan.coils import relays_of
from fuseplan.plan.part_names import in_words
from fuseplan.plan.parts import Relay
from fuseplan.quantities import writing
from fuseplan.tables import relays as relay_tables
from fuseplan.tables import terminals
from fuseplan.tables.drops import BETWEEN_12_AND_24_V

SOCKET = "flat_6.3"
"""The terminals a relay of up to 40 A usually sits in; larger ones have wider ones, of which nothing is on file.
ISO 7588, from memory."""
LARGEST_IN_IT_A = 40.0


def breaking_asked(results: Results) -> Iterator[NotSaid]:
    """The current each relay's contact is made to break at the voltage of the car."""
    system_v = results.network.system_v
    if system_v <= BETWEEN_12_AND_24_V:
        return
    for (kind, name), relay in relays_of(results.plan):
        if relay.breaks is None:
            yield NotSaid(
                *owner_subject((kind, name)), "the current its relay's contact may break at "
                f"{writing.stated(system_v, 'V')}, from its maker's sheet (breaks)", "what is on file for relay "
                "contacts is for 14 V at most: a contact that cannot put out the arc welds shut or burns", "breaks",
                f"{kind}.{name}.relay.breaks", True)


def sockets_asked(results: Results) -> Iterator[NotSaid]:
    """The terminals of each relay's socket, where its load is more than the usual ones carry."""
    network, usual = results.network, terminals.terminal_limit_a(SOCKET, terminals.wires_taken_mm2(SOCKET).value[1])
    asked = [owner for owner, relay in relays_of(results.plan) if relay.socket is None and _sits_in_it(relay)]
    if not asked or usual is None:
        return
    nodes = np.array([network.feed_node[name] if kind == "feed" else network.circuit_node[network.circuit_number[name]]
                      for kind, name in asked], dtype=np.int64)
    for (kind, name), load_a in zip(asked, results.demands.lasting_at(nodes)[0].tolist(), strict=True):
        if exceeds(load_a, usual.value):
            yield NotSaid(
                *owner_subject((kind, name)), "the terminals in its relay's socket (socket)", "sockets melt at 25 to "
                f"30 A without blowing the fuse: this one carries {writing.burden(load_a, 'A')}, a 6.3 mm terminal "
                f"{writing.limit(usual.value, 'A')}", "socket", f"{kind}.{name}.relay.socket", True)


def positions_asked(results: Results) -> Iterator[NotSaid]:
    """The largest fuse the position of a fuse box takes, where one above those on every shelf is in it."""
    for index, way in seated(results).items():
        row, rating = results.network.fuses[index], float(results.fusing.rating_a[index])
        if way.part.largest is None and row.fuse.kind in BLADES and exceeds(rating, MOST_BLADE_A):
            kind, name = fuse_subject(row)
            yield NotSaid(
                kind, name, "the largest fuse that its position in the fuse box takes (largest)",
                f"many positions take {writing.rating(MOST_BLADE_A)} at most: the contacts of a weaker one melt "
                "without blowing the fuse", "largest", f"fuse_box.{way.box}.largest", True,
                f"{way.position} of {in_words(results.plan, 'fuse_box', way.box)}, with a fuse of "
                f"{writing.rating(rating)} in it")


def _sits_in_it(relay: Relay) -> bool:
    """Whether a relay is on file as one that sits in the usual terminals."""
    printed = relay_tables.CONTACTS.get(relay.contact)
    return printed is not None and printed.rated_23_a is not None and not exceeds(printed.rated_23_a, LARGEST_IN_IT_A)

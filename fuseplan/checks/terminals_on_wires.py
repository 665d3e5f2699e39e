"""The terminals at the ends of wires, those of relay sockets too."""

from __future__ import annotations

from fuseplan.checks.subjects import owner_path, segment_path
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits, once
from fuseplan.engine.results import Results


@once
def terminals_on_wires(results: Results) -> list[tuple[int, str, str]]:
    """(segment, terminal, path of the key that names it), the terminals of relay sockets on the wires beside them."""
    segments = results.network.segments
    ended = [(index, segments.segment[index]) for index in segments.marked.get("end", ())]
    found = [(index, end.terminal, segment_path(results, index, f"{key}.terminal")) for index, segment in ended
             for key, end in (("start", segment.start), ("end", segment.end))
             if end is not None and end.terminal is not None]
    network = results.network
    sockets = {("circuit", network.circuit_ids[number]): socket
               for number, socket in of_circuits(network, _socket, "relay socket").items()}
    sockets.update({("feed", name): feed.relay.socket for name, feed in results.plan.feed.items()
                    if feed.relay is not None and feed.relay.socket is not None})
    if sockets:
        found += [(index, sockets[owner], f"{owner_path(owner)}.relay.socket")
                  for index, owner in enumerate(segments.owner)
                  if owner in sockets and segments.place[index] == "wire.0"]
    return found


def _socket(network: Network, number: int) -> str | None:
    """What the relay of a circuit sits in; None where the plan does not say, or without one."""
    relay = network.circuits[number].relay
    return None if relay is None else relay.socket

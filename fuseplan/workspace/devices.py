"""The protective devices of the open plan, each with the part it guards and a circuit whose picture shows it."""

from __future__ import annotations

from fuseplan.papers.device_columns import DeviceRow, device_rows
from fuseplan.papers.time_current import device_words
from fuseplan.records import dataclass
from fuseplan.workspace.session import Session


@dataclass(frozen=True)
class Device:
    """One device.

    Attributes:
        owner: kind and name of the part it belongs to
        row: its figures
        words: rating, kind and owner
        circuit: the circuit it guards, the first it guards where it belongs to a feed; None: none
    """

    owner: tuple[str, str]
    row: DeviceRow
    words: str
    circuit: str | None

    @property
    def key(self) -> str:
        """What tells it from the others."""
        return ".".join(self.owner)


def devices(session: Session) -> list[Device]:
    """All devices, as they follow one another from the battery."""
    assessment = session.assessment
    network = assessment.results.network
    guarded = {int(network.guard[int(node)]): name
               for name, node in reversed(list(zip(network.circuit_ids, network.circuit_node, strict=True)))}
    found = []
    for row in device_rows(assessment):
        device = row.fault.device
        kind, name = network.fuses[device].owner
        found.append(Device((kind, name or kind), row, device_words(assessment, device),
                            name if kind == "circuit" else guarded.get(device)))
    return found

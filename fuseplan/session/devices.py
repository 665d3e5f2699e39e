"""The protective devices of the open plan, each with the part it guards and a circuit whose picture shows it."""

from __future__ import annotations

from dataclasses import dataclass

from fuseplan.checks.rule import Finding
from fuseplan.papers.device_columns import DeviceRow, device_rows
from fuseplan.papers.protect_text import PROTECTION_CHECKS, breaking_findings
from fuseplan.papers.time_current import device_words
from fuseplan.session.session import Session

ORDER_CHECK = "fuses-in-order"


@dataclass(frozen=True)
class Device:
    """One device.

    Attributes
    ----------
    owner : kind and name of the part it belongs to
    row : its figures
    words : rating, kind and owner
    circuit : the circuit it guards, the first it guards where it belongs to a feed; None: none
    """

    owner: tuple[str, str]
    row: DeviceRow
    words: str
    circuit: str | None
    above: tuple[str, str] | None
    """Owner of the device above it."""

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
                            name if kind == "circuit" else guarded.get(device),
                            network.fuses[row.fault.upstream].owner if row.fault.upstream >= 0 else None))
    return found


def findings_of(session: Session, device: Device) -> tuple[Finding, ...]:
    """What the checks of protection say of a device, and of the one above it where their order is not assured."""
    assessment = session.assessment
    own = [each for each in assessment.findings_for(*device.owner) if each.check in PROTECTION_CHECKS]
    if device.above is not None and device.row.fault.order == "not assured":
        kind, name = device.above
        own += [each for each in assessment.findings_for(kind, name or kind) if each.check == ORDER_CHECK]
    return (*own, *(each for each in breaking_findings(assessment, device.row.fault.device) if each not in own))

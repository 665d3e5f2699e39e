"""A harness as lists of wires, connectors and lengths of loom: what an exchange file holds, without its form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal

from fuseplan.records import dataclass

Usage = Literal["connector", "ring terminal", "splice"]
"""What a connection point is: a connector with cavities, a ring on a stud, or a splice in the loom."""


@dataclass(frozen=True)
class Contact:
    """Where one end of a wire goes: a connector's id and a cavity in it."""

    connector: str
    cavity: str


@dataclass(frozen=True)
class HarnessConnector:
    """A connector, ring terminal or splice, with its cavities in order."""

    id: str
    description: str = ""
    usage: Usage = "connector"
    cavities: tuple[str, ...] = ()
    mates: str | None = None
    """Id of the connector it plugs into."""


@dataclass(frozen=True)
class HarnessWire:
    """One wire.

    Attributes:
        area_mm2: cross-section; None where it is not known
        insulation: wire type in words
        colours: base colour, then tracers, in IEC 60757 letters, or as the file has them where it has others
        length_m: None where it is not known
        signal: circuit or signal it belongs to
        ends: its two ends; fewer where one is not known
        route: ids of the lengths of loom it lies in, in order
        cable: id of the cable whose core it is; empty for a wire of its own
    """

    number: str
    area_mm2: float | None = None
    insulation: str = ""
    colours: tuple[str, ...] = ()
    outside_mm: float | None = None
    length_m: float | None = None
    signal: str = ""
    ends: tuple[Contact, ...] = ()
    route: tuple[str, ...] = ()
    cable: str = ""


@dataclass(frozen=True)
class HarnessSegment:
    """A length of loom between two nodes."""

    id: str
    start: str
    end: str
    length_m: float | None = None
    sleeve: str = ""


@dataclass(frozen=True)
class Harness:
    """One harness."""

    name: str
    revision: str = ""
    wires: tuple[HarnessWire, ...] = ()
    connectors: tuple[HarnessConnector, ...] = ()
    segments: tuple[HarnessSegment, ...] = ()
    changes: tuple[Mapping[str, str], ...] = field(default=())
    """Lines of the change log: ``date``, ``what``, ``why``, ``who``."""

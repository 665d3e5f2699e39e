"""A library definition: circuits to be copied into a plan, with what to look out for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from fuseplan.plan.model import Circuit
from fuseplan.plan.part import Name, Part, Text

Group = Literal[
    "fuel", "cooling", "engine", "start_charge", "lighting", "wipers", "comfort", "audio", "body", "instruments",
    "relay_coils",
]


def group_words(group: str) -> str:
    """A group of the library as it is read: ``starting and charging``."""
    return "starting and charging" if group == "start_charge" else group.replace("_", " ")


class DefinitionHead(Part):
    """What a definition is."""

    title: Text = Field(min_length=1, description="what it is, in a line")
    also: tuple[Text, ...] = Field((), description="what else people call it, for the search")
    group: Group = Field(description="group it is listed under")
    caution: Text = Field(min_length=1, description="the safety caution in plain words")


class DefinitionFile(Part):
    """A file of the library; its circuits are written as in a plan."""

    fuseplan: Literal[1] = Field(description="format version")
    definition: DefinitionHead = Field(description="what the file defines")
    circuit: Mapping[Name, Circuit] = Field(min_length=1, description="the circuits it defines")

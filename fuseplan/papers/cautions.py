"""The safety cautions by topic, each with its source, and the notice that every answer carries."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any

from fuseplan.records import dataclass


@dataclass(frozen=True)
class Caution:
    """One caution in our own words; `how` is "read" or "common practice"."""

    topic: str
    title: str
    text: str
    source: str
    how: str


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_name("cautions.toml").read_text(encoding="utf-8"))


@lru_cache(maxsize=1)
def cautions() -> tuple[Caution, ...]:
    """All cautions, in the order of the work."""
    return tuple(Caution(**each) for each in _data()["caution"])


def caution(topic: str) -> Caution:
    """The caution on one topic; KeyError where there is none."""
    return {each.topic: each for each in cautions()}[topic]


def notice() -> str:
    """What the figures are and are not, and who decides: local codes and a qualified auto electrician."""
    return str(_data()["notice"]["text"])


def short_notice() -> str:
    """The same in a line or two, for a page that must be short."""
    return str(_data()["notice"]["short"])


def stop() -> str:
    """What this program gives no figures for."""
    return str(_data()["notice"]["stop"])

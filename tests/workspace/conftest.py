"""Every test has a state folder of its own, so that nothing is kept where a person's work is; plans are opened once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.opened_once import open_once


@pytest.fixture(autouse=True)
def _own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    open_once(monkeypatch)

"""The plan most of these tests begin with is read and assessed once."""

from __future__ import annotations

import pytest

from tests.opened_once import open_once


@pytest.fixture(autouse=True)
def _opened_once(monkeypatch: pytest.MonkeyPatch) -> None:
    open_once(monkeypatch)

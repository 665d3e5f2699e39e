"""Options and fixtures of all tests.

Golden files under ``tests/golden`` hold what the command line prints. After a change that is meant, renew them with
``pytest tests/cli/test_golden.py --renew-golden``, then read the difference before it is committed: what the command
line prints is a contract.
"""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--renew-golden", action="store_true", help="write the golden files anew instead of comparing")


@pytest.fixture
def renew_golden(request: pytest.FixtureRequest) -> bool:
    """Whether golden files are to be written instead of compared."""
    return bool(request.config.getoption("--renew-golden"))

"""Options and fixtures of all tests.

Golden files under ``tests/golden`` hold what the command line prints. After a change that is meant, renew them with
``pytest tests/cli/test_golden.py --renew-golden``, then read the difference before it is committed: what the command
line prints is a contract.
"""

from __future__ import annotations

import gc
import os
import re
import signal
import sys
from collections import Counter
from collections.abc import Generator, Iterator

import pytest
from hypothesis import is_hypothesis_test, settings

from fuseplan.planfile import crash_report
from tests.library_once import read_library_once

# A hundred processes started by the tests would each compile the package anew where the surroundings forbid bytecode.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# What the machine wishes of its terminal is tested neither here nor in the processes the tests start. Loading readline
# states a size beneath `os.environ`. What compares the pictures of the screens keeps its own notes there.
for _name in ("COLUMNS", "LINES", "ROWS", "NO_COLOR", "FORCE_COLOR", "COLORTERM", "ESCDELAY", "TMUX", "FUSEPLAN_DEBUG",
              "PYTHONIOENCODING", "PYTHONUTF8",
              *(each for each in os.environ if re.match("TEXTUAL_(?!SNAPSHOT)", each))):
    os.environ.pop(_name, None)
    os.unsetenv(_name)


read_library_once()

# How long one example takes is no law: it depends on what else the machine does.
settings.register_profile("fuseplan", deadline=None)
settings.load_profile("fuseplan")


# Run in the background, a shell makes its children deaf to Ctrl-C; what the tests start must hear it.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--renew-golden", action="store_true", help="write the golden files anew instead of comparing")
    parser.addoption("--bursts", type=int, default=2000, help="how many bursts of input each long walk takes")
    parser.addoption("--steps", type=int, default=5000, help="how many keys and clicks each long walk takes")
    parser.addoption("--kills", type=int, default=200, help="how many times the program is killed")
    parser.addoption("--seed", type=int, default=1, help="where the long walks begin")
    parser.addoption("--long", action="store_true", help="run the tests marked `long` too; some take half an hour")
    parser.addoption("--first", type=int, default=0, help="seed of the first case a long fuzz test goes through")
    parser.addoption("--count", type=int, default=5000, help="how many random cases a long fuzz test goes through")


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "long: takes many minutes; left out unless --long is given")
    config.addinivalue_line("markers", "rest: one of many cases of its kind; left out unless --long is given")
    config.addinivalue_line("markers", "share: looks at a share of its cases; at all of them with --long")
    config.addinivalue_line("markers", "one_in(n, first=0): each n-th of its cases from this one on; others `rest`")


COLLECTED = "fuseplan/collected"
"""Noted in pytest's cache once the tests were collected here."""


@pytest.hookimpl(wrapper=True)
def pytest_collection(session: pytest.Session) -> Generator[None, object, object]:
    """In a fresh checkout one worker collects before the others: at the same time each would compile every file and
    have Hypothesis read it."""
    cache = getattr(session.config, "cache", None)
    if cache is None or not hasattr(session.config, "workerinput") or cache.get(COLLECTED, False):
        return (yield)
    import fcntl

    with (cache.mkdir("fuseplan") / "turn").open("w") as turn:
        fcntl.flock(turn, fcntl.LOCK_EX)
        if not cache.get(COLLECTED, False):
            found = yield
            cache.set(COLLECTED, True)
            return found
    return (yield)


ORDINARY_SHARE = 4
"""Of the examples made at random for a law, one in so many is looked at in an ordinary run."""
FEWEST = 5
"""A law tried on no more examples than this is tried on all of them in every run."""


def _mark_the_rest(items: list[pytest.Item]) -> None:
    """Of a test marked `one_in`, mark as `rest` all cases but each n-th of those left by other marks."""
    met: Counter[str] = Counter()
    for item in items:
        mark = item.get_closest_marker("one_in")
        if mark and not item.get_closest_marker("long") and not item.get_closest_marker("rest"):
            name = item.nodeid.partition("[")[0]
            if met[name] % mark.args[0] != mark.kwargs.get("first", 0):
                item.add_marker(pytest.mark.rest)
            met[name] += 1


def _is_left_out(item: pytest.Item) -> bool:
    """Whether an ordinary run goes without a case."""
    return bool(item.get_closest_marker("long") or item.get_closest_marker("rest"))


# Before `-m` selects by marks.
@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    _mark_the_rest(items)
    if config.getoption("--long"):
        return
    kept: list[pytest.Item] = []
    left_out: list[pytest.Item] = []
    for item in items:
        (left_out if _is_left_out(item) else kept).append(item)
    if left_out:
        # Skipped ones would each be handed to a worker and reported by it.
        config.hook.pytest_deselected(items=left_out)
        items[:] = kept
    # A test with several cases is one function: its examples are cut once.
    functions = {item.function for item in items if isinstance(item, pytest.Function)}
    for law in filter(is_hypothesis_test, functions):
        asked: settings = law._hypothesis_internal_use_settings
        fewer = max(min(asked.max_examples, FEWEST), asked.max_examples // ORDINARY_SHARE)
        law._hypothesis_internal_use_settings = settings(asked, max_examples=fewer)


@pytest.fixture(scope="session")
def in_full(request: pytest.FixtureRequest) -> bool:
    """Whether a test marked `share` is to look at all its cases."""
    return bool(request.config.getoption("--long"))


_BETWEEN_CLEANINGS = 40
_run_since = 0


def _clean_up() -> None:
    """Free what is garbage, and look through what is left no more: it mostly stays to the end, and looking through it
    again and again takes a fifth of the time."""
    gc.collect()
    gc.freeze()


def pytest_collection_finish() -> None:
    _clean_up()
    gc.set_threshold(20_000, 10, 10)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_teardown() -> Iterator[None]:
    global _run_since
    yield
    _run_since += 1
    if _run_since % _BETWEEN_CLEANINGS == 0:
        _clean_up()


def pytest_sessionfinish() -> None:
    _clean_up()


@pytest.fixture
def faults(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was written down as an error in the program; a test that asks for it looks at it itself."""
    noted: list[str] = []
    written = crash_report.write_report
    monkeypatch.setattr(crash_report, "write_report", lambda text: noted.append(text) or written(text))
    return noted


@pytest.fixture(autouse=True)
def _no_faults(request: pytest.FixtureRequest) -> Iterator[None]:
    """An error the program goes on after, or ends in order after, is still an error: a test fails that meets one."""
    if "faults" in request.fixturenames:
        yield
        return
    noted = request.getfixturevalue("faults")
    yield
    assert not noted, noted[0]


@pytest.fixture
def renew_golden(request: pytest.FixtureRequest) -> bool:
    """Whether golden files are to be written instead of compared."""
    return bool(request.config.getoption("--renew-golden"))

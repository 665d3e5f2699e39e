"""The screens in a browser: who is let in, what the page asks for, and that a key pressed there reaches the plan."""

from __future__ import annotations

import asyncio
import base64
import contextlib
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import AsyncIterator, Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from cli_processes import environment

from fuseplan.planfile.read import read_plan
from tests.lazily import Lazily

aiohttp = Lazily("aiohttp")

WAIT_S = 60.0
CHROMIUM = shutil.which("chromium")
CHANGEABLE = "from fuseplan.cli.main import main; from fuseplan.cli.served import program, server"


class Served:
    """A running ``fuseplan serve`` on a copy of a plan, constants of its modules changed where `changed` says."""

    def __init__(self, plan: Path, *arguments: str, changed: str = "") -> None:
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port: int = free.getsockname()[1]
        self.plan = plan
        self.here = f"127.0.0.1:{self.port}"
        self.state = plan.parent / "state"
        self.process = subprocess.Popen(
            [sys.executable, *(("-c", f"{CHANGEABLE}; {changed}; main()") if changed else ("-m", "fuseplan")),
             "serve", plan.name, "--port", str(self.port), *arguments],
            cwd=plan.parent, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            encoding="utf-8", start_new_session=True,
            env=environment(XDG_STATE_HOME=str(self.state), XDG_CONFIG_HOME=str(plan.parent / "config")))
        end = time.monotonic() + WAIT_S
        self.said = ""
        while "Ctrl-C" not in self.said and (line := self.process.stdout.readline()):
            self.said += line
        found = re.search(r"token=(\S+)", self.said)
        assert found, f"not serving: {self.said}{self.process.communicate(timeout=5)}"
        self.token: str = found[1]
        self.page = f"http://{self.here}/?token={self.token}"
        self.cookie = {"Cookie": f"fuseplan_{self.port}={self.token}"}
        while time.monotonic() < end and self.process.poll() is None:
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", self.port), 1):
                return
            time.sleep(0.05)
        raise AssertionError(f"not serving: {self.process.communicate(timeout=5)}")

    def stop(self, group: bool = True) -> tuple[int, str, str]:
        """End it as Ctrl-C does, for the whole group as a terminal would or for the server alone."""
        if self.process.poll() is None:
            (os.killpg if group else os.kill)(self.process.pid, signal.SIGINT)
        out, err = self.process.communicate(timeout=WAIT_S)
        return self.process.returncode, self.said + out, err

    def programs(self) -> list[str]:
        """Command lines of the processes that show pages of this plan."""
        found = []
        for folder in Path("/proc").glob("[0-9]*"):
            with contextlib.suppress(OSError):
                words = (folder / "cmdline").read_text().replace("\0", " ")
                if "served.screens" in words and str(self.plan) in words:
                    found.append(words)
        return found


@pytest.fixture
def plan(tmp_path: Path, small: Path) -> Path:
    return Path(shutil.copy(small, tmp_path / "it's my car.toml"))


@pytest.fixture
def served(plan: Path, request: pytest.FixtureRequest) -> Iterator[Served]:
    made = Served(plan, changed=getattr(request, "param", ""))
    yield made
    if made.process.poll() is None:
        made.process.kill()
        made.process.communicate()


@pytest.fixture(scope="module")
def standing(tmp_path_factory, small) -> Iterator[Served]:
    """A server for the tests that only ask and leave everything as it was."""
    made = Served(Path(shutil.copy(small, tmp_path_factory.mktemp("standing") / "it's my car.toml")))
    yield made
    made.stop()


@pytest.fixture
async def http() -> AsyncIterator[aiohttp.ClientSession]:
    async with aiohttp.ClientSession() as session:
        yield session


async def until_seen(page: aiohttp.ClientWebSocketResponse, words: str) -> None:
    """Read what the program paints until it has painted some words."""
    painted = ""
    async with asyncio.timeout(WAIT_S):
        while words not in painted:
            message = await page.receive()
            assert message.type is aiohttp.WSMsgType.BINARY, message
            painted += re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]", "", message.data.decode("utf-8", "replace"))


def page_of(http: aiohttp.ClientSession, served: Served, **headers: str):
    return http.ws_connect(f"ws://{served.here}/ws?width=100&height=30",
                           headers={"Origin": f"http://{served.here}"} | served.cookie | headers)


async def until(true) -> None:
    async with asyncio.timeout(WAIT_S):
        while not true():
            await asyncio.sleep(0.05)


async def test_keys_reach_the_plan(served: Served, http) -> None:
    before = list(read_plan(served.plan).circuit)
    async with page_of(http, served) as page:
        await until_seen(page, "F10")
        await page.send_json(["stdin", "c"])
        await until_seen(page, "unsaved")
        await page.send_json(["stdin", "\x13"])
        await until_seen(page, "Saved to")
    assert len(read_plan(served.plan).circuit) == len(before) + 1


async def test_a_page_cut_off_keeps_what_is_not_saved(served: Served, http) -> None:
    before = served.plan.read_bytes()
    async with page_of(http, served) as page:
        await until_seen(page, "F10")
        await page.send_json(["stdin", "c"])
        await until_seen(page, "unsaved")
    await until(lambda: not served.programs())
    assert served.plan.read_bytes() == before
    kept, = (served.state / "fuseplan" / "recovery").glob("*.toml")
    assert len(read_plan(kept).circuit) == len(read_plan(served.plan).circuit) + 1


@pytest.mark.one_in(2)
@pytest.mark.parametrize("group", [True, False])
async def test_ctrl_c_ends_server_and_pages(served: Served, http, group) -> None:
    async with page_of(http, served) as page:
        await until_seen(page, "F10")
        assert len(served.programs()) == 1
        asked = time.monotonic()
        ending = asyncio.get_running_loop().run_in_executor(None, served.stop, group)
        while (await page.receive()).type not in (aiohttp.WSMsgType.CLOSE, aiohttp.WSMsgType.CLOSED):
            pass
        status, out, err = await ending
    assert time.monotonic() - asked < WAIT_S
    assert status == 0, err
    assert f"http://{served.here}" in out
    assert "Traceback" not in out + err
    assert "encrypted" not in err, "nobody else reaches it, so there is nothing to warn of"
    assert not served.programs()


async def test_the_page_asks_for_nothing_from_elsewhere(standing: Served, http) -> None:
    async with http.get(standing.page) as answer:
        text = await answer.text()
        rules = answer.headers["Content-Security-Policy"]
    assert "it&#x27;s my car.toml" in text
    addresses = re.findall(r"[a-z]+://[^\s\"'>)]+", text)
    assert addresses == [f"ws://{standing.here}/ws"]
    assert {urlsplit(word).netloc for word in re.findall(r"\S+://[^\s;]+", rules)} == {standing.here}
    asked = re.findall(r'(?:href|src)="(/[^"]+)"|url\("([^"]+)"\)', text)
    assert len(asked) >= 4
    for path in {one or other for one, other in asked}:
        async with http.get(f"http://{standing.here}{path}", headers=standing.cookie) as answer:
            assert answer.status == 200, path


@pytest.mark.parametrize("path", ["/", "/page.js", "/static/css/xterm.css", "/ws"])
async def test_without_the_token_nothing_is_answered(standing: Served, http, path) -> None:
    own, name, token = f"http://{standing.here}", f"fuseplan_{standing.port}", standing.token
    for cookie in ("", f"{name}=", f"{name}={'x' * len(token)}", f"{name}={token[:-1]}", f"other={token}"):
        headers = {"Cookie": cookie} if cookie else {}
        async with http.get(f"{own}{path}", headers={"Origin": own} | headers) as answer:
            assert answer.status == 403, headers
            assert "'fuseplan serve' printed" in await answer.text()
    for query in ("", "?token=", f"?token={standing.token}x", f"?token={'é' * 9}", f"?token={'x' * 5000}"):
        async with http.get(f"{own}/{query}") as answer:
            assert answer.status == 403, query
    assert not standing.programs()


async def test_every_start_has_a_token_of_its_own(standing: Served, served: Served) -> None:
    assert len({standing.token, served.token}) == 2
    assert len(served.token) >= 40, "32 random bytes"


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
async def test_what_another_page_asks_for_is_refused(standing: Served, http, site) -> None:
    own = f"http://{standing.here}"
    foreign = {"Sec-Fetch-Site": site, "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"}
    for path in ("/", "/page.js", "/static/js/textual.js"):
        async with http.get(own + path, headers=standing.cookie | foreign) as answer:
            assert answer.status == 403, path
    with pytest.raises(aiohttp.WSServerHandshakeError):
        await page_of(http, standing, **foreign)
    framed = foreign | {"Sec-Fetch-Dest": "iframe"}
    async with http.get(standing.page, headers=framed) as answer:
        assert answer.status == 403, "not even with the token, in another page's frame"
    async with http.get(standing.page, headers=foreign | {"Sec-Fetch-Dest": "document"}) as answer:
        assert answer.status == 200, "the printed address, followed from a message"
    async with http.post(standing.page) as answer:
        assert answer.status == 403


async def test_only_the_files_of_the_page_are_there(standing: Served, http) -> None:
    for path in ("/static", "/static/", "/static/js", "/static/js/", "/static/images/background.png", "/download/x",
                 "/static/js/../css/xterm.css/..%2f..%2fserver.py", "/page.html", "/..%2f..%2fetc/passwd"):
        async with http.get(f"http://{standing.here}{path}", headers=standing.cookie) as answer:
            assert answer.status == 404, path


async def test_sizes_and_messages_are_bounded() -> None:
    from fuseplan.cli.served.program import COLUMNS, ROWS, _packet

    for said in ('["resize", {"width": 1e9, "height": -5}]', '["resize", {"width": "x", "height": null}]',
                 '["resize", {}]', f'["resize", {{"width": {"9" * 4000}, "height": 3}}]'):
        about = json.loads(_packet(said)[5:])
        assert COLUMNS[0] <= about["width"] <= COLUMNS[1], said
        assert ROWS[0] <= about["height"] <= ROWS[1], said
    for said in ("", "{", "[]", "{}", "7", '["stdin"]', '["stdin", 7]', '["resize", 7]', '["quit"]', "null"):
        assert _packet(said) is None, said


@pytest.mark.parametrize(("served", "most"), [
    ("server.MOST_PAGES = 2", 2), pytest.param("", 6, marks=pytest.mark.rest)], indirect=["served"])
async def test_pages_and_their_messages_are_bounded(served: Served, http, most) -> None:
    from fuseplan.cli.served.program import LONGEST_MESSAGE

    async with contextlib.AsyncExitStack() as open_pages:
        pages = [await open_pages.enter_async_context(page_of(http, served)) for _ in range(most)]
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await page_of(http, served)
        assert refused.value.status == 503
        await pages[0].send_str("x" * (LONGEST_MESSAGE + 1))
        async with asyncio.timeout(WAIT_S):
            while (await pages[0].receive()).type not in (aiohttp.WSMsgType.CLOSE, aiohttp.WSMsgType.CLOSED):
                pass
    await until(lambda: not served.programs())


async def test_a_page_writes_nothing_but_plans_in_the_plans_folder(plan: Path, tmp_path: Path) -> None:
    from fuseplan.errors import StoreError
    from fuseplan.workspace.session import Session

    folder = tmp_path / "car"
    folder.mkdir()
    own = Path(shutil.copy(plan, folder / "own.toml"))
    (folder / "there.toml").write_text("mine", encoding="utf-8")
    (folder / "out").symlink_to(tmp_path)
    (folder / "link.toml").symlink_to(tmp_path / "new.toml")
    session = Session.open(own)
    session.confine()
    session.edit("rename", lambda: session.document.set(("vehicle", "name"), "another"))
    before = sorted(str(each) for each in tmp_path.rglob("*"))
    for target in (tmp_path / "new.toml", folder / ".." / "new.toml", folder / "out" / "new.toml", folder / "link.toml",
                   folder / "there.toml", folder / "new.txt", folder / ".new.toml", folder / "new", "/tmp/new.toml"):
        for force in (False, True):
            with pytest.raises(StoreError, match="accepted from a page"):
                session.save(target, force=force)
    assert sorted(str(each) for each in tmp_path.rglob("*")) == before
    own.write_text(own.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    for force in (False, True):
        with pytest.raises(StoreError):
            session.save(force=force)
    session.save(folder / "new.toml")
    session.save()
    assert "another" in (folder / "new.toml").read_text(encoding="utf-8")


async def test_the_screens_end_with_their_server(served: Served, http) -> None:
    async with page_of(http, served) as page:
        await until_seen(page, "F10")
        await page.send_json(["stdin", "c"])
        await until_seen(page, "unsaved")
        served.process.kill()
        await until(lambda: not served.programs())
    kept, = (served.state / "fuseplan" / "recovery").glob("*.toml")
    assert len(read_plan(kept).circuit) == len(read_plan(served.plan).circuit) + 1


@pytest.mark.parametrize("served", [
    "program.QUIT_S = program.TERMINATE_S = 0.2", pytest.param("", marks=pytest.mark.rest)], indirect=True)
async def test_a_program_that_does_not_listen_is_ended(served: Served, http) -> None:
    async with page_of(http, served) as page:
        await until_seen(page, "F10")
        number, = (int(folder.name) for folder in Path("/proc").glob("[0-9]*") if _is_program(folder, served.plan))
        os.kill(number, signal.SIGSTOP)
    async with asyncio.timeout(WAIT_S):
        while served.programs():
            await asyncio.sleep(0.1)


def _is_program(folder: Path, plan: Path) -> bool:
    with contextlib.suppress(OSError):
        words = (folder / "cmdline").read_text()
        return "served.screens" in words and str(plan) in words
    return False


@pytest.mark.parametrize("origin", ["http://example.org", "null", "http://127.0.0.1:1", ""])
async def test_other_pages_cannot_talk_to_it(standing: Served, http, origin) -> None:
    with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
        await page_of(http, standing, Origin=origin)
    assert refused.value.status == 403
    assert not standing.programs()


async def test_a_borrowed_name_is_refused(standing: Served, http) -> None:
    for host, status in (("rebound.example.org", 403), (f"rebound.example.org:{standing.port}", 403), ("[", 403),
                         (f"localhost:{standing.port}", 200), (f"[::1]:{standing.port}", 200)):
        async with http.get(standing.page, headers={"Host": host}) as answer:
            assert answer.status in (status, 400) if status == 403 else answer.status == 200, host


async def test_a_plan_broken_meanwhile_is_explained_in_the_page(standing: Served, http) -> None:
    whole = standing.plan.read_bytes()
    standing.plan.write_text("fuseplan = 1\n[vehicle\n", encoding="utf-8")
    try:
        async with http.get(standing.page) as answer:
            assert answer.status == 409
            assert f"{standing.plan.name}:2" in await answer.text()
    finally:
        standing.plan.write_bytes(whole)


def test_another_address_warns(plan: Path) -> None:
    served = Served(plan, "--address", "0.0.0.0")
    status, out, err = served.stop()
    assert status == 0
    words = " ".join(err.split())
    assert "Nothing is encrypted" in words
    assert "anybody in every network this machine is in" in words
    assert f"change {plan.name}" in words
    assert served.page in out
    assert f"http://{socket.gethostname()}:{served.port}" in out


@pytest.mark.parametrize(("arguments", "words"), [
    (["none.toml"], "none.toml: "),
    (["bad.toml"], "bad.toml:1: "),
    (["good.toml", "--port", "0"], "port 0; accepted is a number from 1 to 65535"),
    (["good.toml", "--address", "garage.example.org"], "'garage.example.org' is not an address in figures"),
    (["good.toml", "--address", "192.0.2.1"], "cannot answer on port 8000 of 192.0.2.1"),
])
def test_refused_before_anything_is_served(fuseplan, quiet, tmp_path, arguments, words) -> None:
    shutil.copy(quiet, tmp_path / "good.toml")
    (tmp_path / "bad.toml").write_text("fuseplan = \n", encoding="utf-8")
    ran = fuseplan("serve", *arguments)
    assert ran.status == 2
    assert words in ran.err
    assert ran.out == ""
    assert "Traceback" not in ran.err
    if len(arguments) == 1:
        assert ran.err == fuseplan("check", *arguments).err, "the same words as everywhere"


def test_a_port_in_use_is_refused(fuseplan, quiet) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        ran = fuseplan("serve", quiet, "--port", str(taken.getsockname()[1]))
    assert ran.status == 2
    assert "accepted is a free port" in ran.err


class Browser:
    """A headless Chromium, spoken to by its DevTools protocol."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self.socket = socket
        self.asked: list[str] = []
        """Every address the page asked for."""
        self.painted = ""
        """What came through the page's socket, without escape codes."""
        self._count = 0
        self._answers: dict[int, asyncio.Future] = {}
        self._reader = asyncio.create_task(self._read())

    async def _read(self) -> None:
        async for message in self.socket:
            said = json.loads(message.data)
            what = said.get("params", {})
            if "id" in said:
                self._answers.pop(said["id"]).set_result(said)
            elif said["method"] == "Network.requestWillBeSent":
                self.asked.append(what["request"]["url"])
            elif said["method"] == "Network.webSocketCreated":
                self.asked.append(what["url"])
            elif said["method"] == "Network.webSocketFrameReceived" and what["response"]["opcode"] == 2:
                data = base64.b64decode(what["response"]["payloadData"]).decode("utf-8", "replace")
                self.painted += re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]", "", data)

    async def do(self, method: str, **what) -> dict:
        self._count += 1
        self._answers[self._count] = answer = asyncio.get_running_loop().create_future()
        await self.socket.send_json({"id": self._count, "method": method, "params": what})
        said = await asyncio.wait_for(answer, WAIT_S)
        assert "error" not in said, said
        return said["result"]

    async def value(self, script: str):
        return (await self.do("Runtime.evaluate", expression=script, returnByValue=True))["result"].get("value")

    async def press(self, key: str, code: str, number: int, control: bool = False) -> None:
        common = {"key": key, "code": code, "windowsVirtualKeyCode": number, "modifiers": 2 if control else 0}
        await self.do("Input.dispatchKeyEvent", type="keyDown", **common, **({} if control else {"text": key}))
        await self.do("Input.dispatchKeyEvent", type="keyUp", **common)

    async def seen(self, words: str) -> None:
        await until(lambda: words in self.painted)


@pytest.fixture
async def browser(tmp_path: Path, http) -> AsyncIterator[Browser]:
    folder = tmp_path / "chromium"
    folder.mkdir()
    assert CHROMIUM is not None
    process = subprocess.Popen(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync",
         f"--user-data-dir={folder}", "--window-size=1180,820", "--remote-debugging-port=0", "about:blank"],
        stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        port_file = folder / "DevToolsActivePort"
        await until(lambda: port_file.exists() and port_file.read_text().count("\n") >= 1)
        port = port_file.read_text().splitlines()[0]
        async with http.get(f"http://127.0.0.1:{port}/json") as answer:
            pages = [each for each in await answer.json() if each["type"] == "page"]
        async with http.ws_connect(pages[0]["webSocketDebuggerUrl"], max_msg_size=0) as socket:
            yield Browser(socket)
    finally:
        process.terminate()
        process.wait(WAIT_S)


@pytest.mark.long  # 20 s of processor time, nearly all of it the browser's
@pytest.mark.skipif(CHROMIUM is None, reason="needs chromium")
async def test_in_a_real_browser(served: Served, browser: Browser) -> None:
    before = len(read_plan(served.plan).circuit)
    await browser.do("Network.enable")
    await browser.do("Page.navigate", url=served.page)
    await browser.seen("F10")
    assert "token" not in await browser.value("location.href"), "it would stand in the history and in every picture"
    await browser.press("c", "KeyC", 67)
    await browser.seen("unsaved")
    await browser.press("s", "KeyS", 83, control=True)
    await browser.seen("Saved to")
    assert len(read_plan(served.plan).circuit) == before + 1
    assert await browser.value("[...document.fonts].some(font => font.status === 'loaded')"), "the font came from here"
    await browser.press("q", "KeyQ", 81)
    async with asyncio.timeout(WAIT_S):
        while not await browser.value("document.querySelector('.ended').checkVisibility()"):
            await asyncio.sleep(0.05)
    hosts = {urlsplit(address).hostname for address in browser.asked if not address.startswith(("data:", "blob:"))}
    assert hosts == {"127.0.0.1"}, browser.asked
    assert any(address.startswith("ws://") for address in browser.asked)

"""Who may talk to ``fuseplan serve``: a random token, and the Host, Origin and Fetch-Metadata of every request."""

from __future__ import annotations

import hmac
import ipaddress
import secrets
import socket
from urllib.parse import urlsplit

from aiohttp import web

TOKEN = "token"
"""Name of the token in the page's address."""
_TOKEN_BYTES = 32
_TOKEN_LONGEST = 200


class Access:
    """Decides which requests are answered.

    The token is made anew at every start and stands in the address that is printed. The page moves it out of the
    address and a cookie carries it from then on; other machines, other users of this machine and other pages in the
    same browser do not know it. The checks of Host, Origin and Sec-Fetch-Site stand beside it: a browser lets any page
    on the web send requests to this machine, and tells by these headers where they come from.
    """

    def __init__(self, port: int) -> None:
        self.token = secrets.token_urlsafe(_TOKEN_BYTES)
        self._cookie = f"fuseplan_{port}"

    def refusal(self, request: web.Request) -> str | None:
        """Why a request is not answered, in a sentence; None where it may be."""
        if not _is_this_machine(request.host):
            return "fuseplan answers to this machine's address in figures or its own name only."
        if request.method not in ("GET", "HEAD"):
            return "fuseplan serves pages to read and a socket for keys, nothing else."
        opening = self._token_given(request)
        if not self._comes_from_here(request, opening):
            return "Only the page served here may talk to fuseplan."
        if not opening and not self._same(request.cookies.get(self._cookie, "")):
            return ("This page opens only by the whole address that 'fuseplan serve' printed when it was started, with "
                    "the token behind it.")
        return None

    def remember(self, request: web.Request, response: web.StreamResponse) -> None:
        """Give the browser that came by the printed address the cookie it needs for everything else."""
        if self._token_given(request):
            response.set_cookie(self._cookie, self.token, httponly=True, samesite="Strict", path="/")

    def _token_given(self, request: web.Request) -> bool:
        return request.path == "/" and self._same(request.query.get(TOKEN, ""))

    def _same(self, given: str) -> bool:
        return len(given) <= _TOKEN_LONGEST and hmac.compare_digest(given.encode("utf-8", "replace"),
                                                                    self.token.encode())

    def _comes_from_here(self, request: web.Request, opening: bool) -> bool:
        """Whether a request was sent by the page served here, or by somebody who opened its address."""
        own = f"http://{request.host}"
        origin = request.headers.get("Origin")
        if request.path == "/ws":
            # Every browser names the page that opens a socket, and no page can lie about it.
            return origin == own and request.headers.get("Sec-Fetch-Site", "same-origin") == "same-origin"
        if origin is not None and origin != own:
            return False
        site = request.headers.get("Sec-Fetch-Site", "none")
        if site in ("none", "same-origin"):
            return True
        # The printed address may be followed from a message on another page, in a window of its own.
        return opening and request.headers.get("Sec-Fetch-Dest") == "document"


def _is_this_machine(host: str) -> bool:
    """Whether a Host header is this machine's own name or an address in figures.

    A stranger's page may let its own name point at this machine, and would then pass for a page from here. An address
    in figures cannot be made to point elsewhere.
    """
    try:
        name = (urlsplit(f"//{host}").hostname or "").lower()
    except ValueError:
        return False
    own = socket.gethostname().lower()
    if name in ("localhost", own, f"{own}.local"):
        return True
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True

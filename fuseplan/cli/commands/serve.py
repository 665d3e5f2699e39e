"""Show the screens in a browser, such as a tablet's by the garage wall.

Only this machine can reach them, unless another address is named. The address printed ends in a token, made anew at
every start: whoever has the whole address can change the plan, nobody else gets an answer. Every page opened is a
session of its own on the same file; a file changed meanwhile is noticed when saving. A page saves the plan itself and
new .toml files in the plan's folder, nothing else. &fontsize=24 behind the address makes the letters bigger. Ctrl-C
ends it; nothing is fetched from anywhere else.
"""

from __future__ import annotations

import argparse

LOOPBACK = "127.0.0.1"
PORT = 8000


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan serve``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("--address", metavar="ADDRESS", default=LOOPBACK,
                        help=f"this machine's address to answer on, 0.0.0.0 for all of them; left out: {LOOPBACK}, "
                             "which only this machine reaches")
    parser.add_argument("--port", metavar="N", type=int, default=PORT, help=f"left out: {PORT}")


def run(args: argparse.Namespace) -> int:
    """Serve until Ctrl-C."""
    import ipaddress
    import socket
    from pathlib import Path

    from fuseplan.cli.served.server import PlanServer
    from fuseplan.cli.terminal import complain, flush, room, write
    from fuseplan.papers.harmless import shown
    from fuseplan.papers.paragraphs import paragraph
    from fuseplan.workspace.opening import open_session

    try:
        # Names are not looked up: the question could leave this machine.
        address = ipaddress.ip_address(LOOPBACK if args.address == "localhost" else args.address)
    except ValueError:
        complain(f"fuseplan serve: '{args.address}' is not an address in figures; accepted is one of this machine's, "
                 f"such as {LOOPBACK} for this machine only or 0.0.0.0 for every network it is in")
        return 2
    port: int = args.port
    if not 1 <= port <= 65535:
        complain(f"fuseplan serve: port {port}; accepted is a number from 1 to 65535")
        return 2
    path = Path(args.plan)
    open_session(path)
    family = socket.AF_INET6 if address.version == 6 else socket.AF_INET
    try:
        socket.create_server((str(address), port), family=family).close()
    except OSError as error:
        complain(f"fuseplan serve: cannot answer on port {port} of {address}: {error.strerror or error}; accepted is "
                 "a free port (--port N) and an address of this machine (--address ADDRESS)")
        return 2

    server = PlanServer(path, str(address), port)
    here = (LOOPBACK if address.version == 4 else "::1") if address.is_unspecified else str(address)
    write(f"{shown(path)} is at {server.location(f'[{here}]' if address.version == 6 else here)}"
          + (f"\nFrom other machines it is at {server.location(socket.gethostname())}, or at this machine's address in "
             "their network in place of its name." if address.is_unspecified else "")
          + "\nThe token at the end lets you in: keep it to yourself. Ctrl-C ends it.")
    if not address.is_loopback:
        reach = "every network this machine is in" if address.is_unspecified else f"the network of {address}"
        for line in paragraph(f"Nothing is encrypted: anybody in {reach} who can listen to the traffic can read the "
                              f"token and the plan, and then change {path} in your name. Serve only in a network where "
                              "you trust everybody, end it when you are done, and check the plan before you work by "
                              "it.", room(), "⚠ "):
            complain(line)
    flush()
    server.serve()
    return 0

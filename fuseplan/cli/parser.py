"""The parser: one sub-command a module under ``commands/``; being there is being registered."""

from __future__ import annotations

import argparse
import importlib
import pkgutil
import sys
import textwrap
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NoReturn

from fuseplan import __version__
from fuseplan.cli.exit_status import COMMON, EXIT_STATUS, REFUSED
from fuseplan.cli.terminal import complain, write
from fuseplan.papers.harmless import shown

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

DESCRIPTION = """\
Plans a car's wiring: what current flows, which fuse, which wire, which relay, where it is earthed, and whether
battery and alternator are large enough. Every verdict names its source and its caution."""

EXAMPLES = f"""\
examples:
  fuseplan                    the example car, in the screens
  fuseplan my-car.toml        your plan, in the screens
  fuseplan new my-car.toml --take fuel_pump_in_line --take fan_single
                              a new plan with two circuits from the library
  fuseplan check my-car.toml  what to do first, on one screen
  fuseplan check my-car.toml --circuit fuel_pump
  fuseplan check my-car.toml --json > result.json
  fuseplan check my-car.toml --csv lists/
  fuseplan bench my-car.toml --section first_power
                              first power, step by step, with what to expect
  fuseplan bench my-car.toml --read circuit.fuel_pump.current=6.2
  fuseplan circuits --group cooling
                              what the library holds

A plan whose file is named like a command is opened as ./check.

{EXIT_STATUS}

The figures are no approval. Local law and the maker's procedures come first; where you are not certain,
ask a qualified auto electrician."""


class HelpText(argparse.HelpFormatter):
    """Help as wide as the terminal: paragraphs are filled, lines that are indented stay lines of their own."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return "\n\n".join("\n".join(self._filled(part, width, indent)) for part in text.strip().split("\n\n"))

    @staticmethod
    def _filled(part: str, width: int, indent: str) -> list[str]:
        lines = part.splitlines()
        if not any(line.startswith(" ") for line in lines):
            lines = [" ".join(lines)]
        found = []
        for line in lines:
            own = indent + " " * (len(line) - len(line.lstrip()))
            found += textwrap.wrap(line.strip(), max(width, 40), initial_indent=own, subsequent_indent=own,
                                   break_long_words=False, break_on_hyphens=False)
        return found


class Parser(argparse.ArgumentParser):
    """argparse with its messages kept to one harmless line after the usage; output that is lost is an error."""

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        if file is sys.stdout:
            write(message)
        else:
            for line in message.splitlines():
                complain(line)

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> tuple[Any, list[str]]:
        """Arguments as read; what a command does not know is its own error, not that of the whole program."""
        found, unknown = super().parse_known_args(args, namespace)
        if unknown and unknown[0].startswith("-"):
            from fuseplan.plan.references import accepted

            option = unknown[0].partition("=")[0]
            self.error(f"there is no option '{option}'; {accepted(option, self._option_string_actions)}")
        elif unknown:
            self.error(f"'{unknown[0]}' is one argument too many")
        return found, unknown

    def error(self, message: str) -> NoReturn:
        self.exit(REFUSED, f"{self.format_usage()}{self.prog}: {shown(message)}\n")


@lru_cache(maxsize=1)
def command_modules() -> dict[str, str]:
    """The names of the modules under ``commands/`` by that of their command. One whose command is a word of Python has
    a name that ends in ``_``.

    Each has a docstring whose first line is the help, ``add(parser)`` and ``run(args) -> int``; a module imports
    what is heavy inside ``run``.
    """
    package = importlib.import_module("fuseplan.cli.commands")
    return {entry.name.rstrip("_").replace("_", "-"): f"{package.__name__}.{entry.name}"
            for entry in sorted(pkgutil.iter_modules(package.__path__), key=lambda each: each.name)}


OLD_SPELLINGS = {"compare-guidance": "compare-limits", "--guidance": "--limits"}
"""Commands and options by names they once had: still accepted, shown nowhere."""


def current(arguments: list[str]) -> list[str]:
    """Arguments with old names of commands and options replaced; what stands behind ``--`` is left alone."""
    end = arguments.index("--") if "--" in arguments else len(arguments)
    found = []
    for place, word in enumerate(arguments[:end]):
        name, equals, value = word.partition("=")
        is_name = place == 0 or word.startswith("--")
        found.append(OLD_SPELLINGS.get(name, name) + equals + value if is_name else word)
    return found + arguments[end:]


def parser(command: str | None = None) -> Parser:
    """The whole parser, or one that knows a single command: nothing else is then loaded."""
    top = Parser(prog="fuseplan", description=DESCRIPTION, epilog=EXAMPLES, allow_abbrev=False,
                 usage="fuseplan [PLAN]\n       fuseplan COMMAND …",
                 formatter_class=HelpText)
    top.add_argument("--version", action="version", version=f"fuseplan {__version__}")
    below = top.add_subparsers(title="commands", dest="command", metavar="COMMAND")
    for name in command_modules() if command is None else [command]:
        module = importlib.import_module(command_modules()[name])
        words = (module.__doc__ or "").strip()
        summary = words.partition("\n")[0]
        sub = below.add_parser(name, help=summary.rstrip("."), description=words,
                               epilog=EXIT_STATUS if name == "check" else COMMON,
                               prog=f"fuseplan {name}", allow_abbrev=False,
                               formatter_class=HelpText)
        module.add(sub)
        sub.set_defaults(run=module.run)
    return top

"""Readings into a plan that is open: stored, taken over, signed for. The screens do it through a session, the command
line through a document."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple, Protocol

from fuseplan.bench.evidence import acceptance, accepting
from fuseplan.bench.evidence_ohms import Acceptance, Change
from fuseplan.bench.readings import TakenReading, latest, readings_of
from fuseplan.bench.sheet import SheetRow, sheet_of, verdict_on
from fuseplan.bench.signatures import SIGNED_ITEMS
from fuseplan.bench.storing import NewReading, new_reading, point_of
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import AmountError, EditError, FuseplanError, PlanError
from fuseplan.papers.bench_table import what_words
from fuseplan.papers.bench_words import said_words
from fuseplan.plan.model import Plan
from fuseplan.plan.references import accepted
from fuseplan.quantities.amounts import clean
from fuseplan.records import dataclass
from fuseplan.workspace.session import Session


class Editable(Protocol):
    """A plan that can be changed."""

    @property
    def plan(self) -> Plan:
        """The plan as it is now."""

    def change(self, changes: Iterable[Change], /) -> object:
        """Change values of the plan by their paths, all or none."""


@dataclass(frozen=True)
class Asked:
    """What is to be stored, as it was asked for on the command line."""

    read: tuple[str, ...] = ()
    """``POINT=VALUE``."""
    file: str | None = None
    condition: str | None = None
    instrument: str | None = None
    date: str | None = None
    anyway: bool = False
    accept: tuple[str, ...] = ()
    sign: tuple[str, ...] = ()
    who: str | None = None

    @property
    def is_nothing(self) -> bool:
        """Whether nothing is to be stored."""
        return not (self.read or self.file or self.accept or self.sign)


class BenchRefusal(FuseplanError):
    """Something of what was asked for is refused; nothing of it is stored. `lines` says why, one line each."""

    def __init__(self, lines: Iterable[str]) -> None:
        self.lines = tuple(lines)
        super().__init__("\n".join(self.lines))


@dataclass(frozen=True)
class _Typed:
    """One reading as it was typed, and where, for a sentence about it."""

    place: str
    address: str
    text: str
    condition: str | None
    instrument: str | None
    date: str


def today() -> str:
    """The day, year-month-day."""
    return time.strftime("%Y-%m-%d")


class Done(NamedTuple):
    """What was stored, taken over and signed for, a sentence each, and whether a reading of it is a fault."""

    said: list[str]
    fault: bool


def store(document: Editable, asked: Asked) -> Done:
    """Store readings, take over, sign: all of it or nothing.

    Raises:
        BenchRefusal, PlanError: Something is refused, or the file cannot be read; the document is then not to be saved.
    """
    assessment = assess(document.plan)
    typed = [*_typed(asked), *_filled(asked, assessment)]
    refused: list[str] = []
    ready: list[NewReading] = []
    for each in typed:
        try:
            found = new_reading(assessment, each.address, each.text, each.condition, each.instrument, each.date)
        except (EditError, AmountError) as error:
            refused.append(f"{each.place}: {error}")
            continue
        if found.doubts and not asked.anyway:
            refused += [f"{each.place}: {doubt}; not stored (--anyway stores it)" for doubt in found.doubts]
        ready.append(found)
    refused += [f"--sign: {error}" for error in map(_no_item, asked.sign) if error]
    if refused:
        raise BenchRefusal(refused)
    stored = _stored(document, ready)
    return Done([*stored.said, *_accepted(document, asked.accept), *_signed(document, asked)], stored.fault)


def _typed(asked: Asked) -> Iterator[_Typed]:
    for each in asked.read:
        where, equals, text = each.partition("=")
        address, condition = in_condition(where.strip())
        if not equals or not address or not text:
            raise BenchRefusal([f"--read {clean(each)}: accepted is POINT=VALUE, such as "
                                "circuit.fuel_pump.current=6.2"])
        yield _Typed(f"--read {clean(address)}", address, text, condition or asked.condition, asked.instrument,
                     asked.date or today())


def in_condition(text: str) -> tuple[str, str | None]:
    """Address and condition of ``circuit.horn.current@alone``; None where it names no condition."""
    address, sign, condition = text.rpartition("@")
    return (address, condition) if sign else (text, None)


def _filled(asked: Asked, assessment: Assessment) -> Iterator[_Typed]:
    """The rows of a filled sheet that have a reading."""
    if asked.file is None:
        return
    from fuseplan.exchange.table_files import read_table

    try:
        table = read_table(asked.file, PAGE)
    except PlanError:
        # A CSV file, or a workbook of another make: its first page.
        table = read_table(asked.file)
    heads = {head.casefold(): number for number, head in enumerate(table.heads)}
    columns = {key: next((heads[name] for name in names if name in heads), None) for key, names in _HEADS.items()}
    by_row = columns["point"] is None
    needed = ("row", "what", "reading") if by_row else ("point", "reading")
    missing = [key for key in needed if columns[key] is None]
    if missing:
        raise BenchRefusal([f"{asked.file}: there is no column '{missing[0]}'; accepted is a sheet as `fuseplan bench "
                            "PLAN --csv` or the paper test-sheet has it, with its column reading filled in"])
    rows = {row.number: row for section in sheet_of(assessment) for row in section.rows} if by_row else {}
    for number, row in enumerate(table.rows):

        def cell(key: str, row: tuple[str, ...] = row) -> str:
            column = columns[key]
            return "" if column is None else row[column].strip()

        if cell("reading"):
            place = f"{asked.file}, row {table.numbers[number]}"
            address, condition = _by_row(place, cell("row"), cell("what"), rows) if by_row else \
                in_condition(cell("point"))
            yield _Typed(place, address, cell("reading"), condition or asked.condition,
                         cell("instrument") or asked.instrument, cell("date") or asked.date or today())


def _by_row(place: str, number: str, what: str, rows: Mapping[str, SheetRow]) -> tuple[str, str]:
    """Address and condition of a row of the printed sheet; refused where the plan has another row there by now."""
    row = rows.get(number.split(" ")[0])
    if row is None or not what.startswith(what_words(row)):
        raise BenchRefusal([f"{place}: row '{clean(number)}' of the sheet is not '{clean(what)}' any more: the plan "
                            "was changed since it was printed; accepted is a sheet of the plan as it is, or --read "
                            "POINT=VALUE"])
    return row.point.address, row.condition


PAGE = "Test sheet"
"""Page of the test sheet in a workbook of papers."""
_HEADS: dict[str, tuple[str, ...]] = {
    "point": ("point", "address"), "row": ("row",), "what": ("what",), "reading": ("reading",),
    "instrument": ("instrument",), "date": ("date",)}
"""Headings a column goes by: in a CSV file its key, in a spreadsheet its words."""


def _stored(document: Editable, ready: list[NewReading]) -> Done:
    """Store readings; their verdicts in the light of all of them."""
    if not ready:
        return Done([], fault=False)
    for each in ready:
        document.change([each.change_in(document.plan)])
    assessment = assess(document.plan)
    taken = latest(readings_of(assessment)[0])
    verdicts = [verdict_on(assessment, each.reading, taken) for each in ready]
    said = [f"stored: {each.reading.point.address} {each.reading.raw}, {each.reading.condition}: {said_words(verdict)}"
            for each, verdict in zip(ready, verdicts, strict=True)]
    return Done(said, any(each.level == "fault" for each in verdicts))


def _accepted(document: Editable, addresses: tuple[str, ...]) -> Iterator[str]:
    for each in addresses:
        assessment = assess(document.plan)
        found = acceptance_of(assessment, *in_condition(each))
        document.change(accepting(found))
        odd = f"; look: {found.question}" if found.question else ""
        yield f"taken over: {found.words}{odd}"


def acceptance_of(assessment: Assessment, address: str, condition: str | None = None) -> Acceptance:
    """What the plan takes over from the last reading of a point.

    Raises:
        BenchRefusal: There is no such reading, or nothing can be taken over from it.
    """
    try:
        point = point_of(assessment, address)
        taken, _ = readings_of(assessment)
        mine = [each for each in taken if each.point == point and condition in (None, each.condition)]
        if not mine:
            raise EditError(f"{address}: there is no reading of it yet; store one first (--read {address}=VALUE)")
        return acceptance(assessment, mine[-1], _beside(taken, mine[-1]))
    except EditError as error:
        raise BenchRefusal([str(error)]) from None


def _beside(taken: tuple[TakenReading, ...], reading: TakenReading) -> tuple[TakenReading, ...]:
    """Readings of the same condition."""
    return tuple(each for each in taken if each.condition == reading.condition)


def _no_item(name: str) -> str | None:
    keys = [item.key for item in SIGNED_ITEMS]
    return None if name in keys else f"there is nothing called '{clean(name)}' to sign for; {accepted(name, keys, 12)}"


def _signed(document: Editable, asked: Asked) -> Iterator[str]:
    for name in asked.sign:
        document.change([signing(document.plan, name, asked.date or today(), asked.who)])
        words = next(item.words for item in SIGNED_ITEMS if item.key == name)
        yield f"signed for: {words}"


def signing(plan: Plan, item: str, date: str, who: str | None) -> Change:
    """The change that signs for something; signed for before, it is signed for again."""
    keys = {"item": item, "date": date, **({"who": who} if who else {})}
    number = next((number for number, each in enumerate(plan.signed) if each.item == item), len(plan.signed))
    return ("signed", number), keys


def unsigning(plan: Plan, item: str) -> Change | None:
    """The change that takes a signature back; None where there is none."""
    number = next((number for number, each in enumerate(plan.signed) if each.item == item), None)
    if number is None:
        return None
    return (("signed",), None) if len(plan.signed) == 1 else (("signed", number), None)


def _words(reading: TakenReading) -> str:
    """A reading and where it was taken: ``0.4 ohm, Fuel pump: ohms to earth``."""
    return f"{reading.raw}, {reading.point.title}: {reading.point.words}"


def keep_reading(session: Session, found: NewReading) -> None:
    """Store a reading, undoably; raises EditError."""
    session.edit(f"reading {_words(found.reading)}", lambda: session.document.change([found.change_in(session.plan)]))


def drop_reading(session: Session, reading: TakenReading) -> None:
    """Remove a reading, undoably; what was taken over from it stays."""
    whole = len(session.plan.reading) == 1
    session.edit(f"remove the reading {_words(reading)}",
                 lambda: session.document.change([(("reading",) if whole else ("reading", reading.number), None)]))


def take_over(session: Session, found: Acceptance) -> None:
    """Let the plan take over what an acceptance says, undoably."""
    session.edit(f"take over {_words(found.reading)}", lambda: session.document.change(accepting(found)))


def sign_or_not(session: Session, item: str) -> bool:
    """Sign for something, or take the signature back, undoably; whether it is signed for now."""
    back = unsigning(session.plan, item)
    change = signing(session.plan, item, today(), None) if back is None else back
    words = next((each.words for each in SIGNED_ITEMS if each.key == item), item)
    session.edit(f"{'sign for' if back is None else 'no longer signed for'}: {words}",
                 lambda: session.document.change([change]))
    return back is None

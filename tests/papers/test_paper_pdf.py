"""PDFs read back by other programs: pypdf and poppler for text and places, fontTools for the signs of the fonts."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from importlib.resources import files as package_files
from pathlib import Path

import pytest
from sample_papers import STOCK, sample_set

from fuseplan.checks.assessment import assess
from fuseplan.errors import PaperError
from fuseplan.papers.harmless import shown
from fuseplan.papers.paper import Label, LabelSheet, Paper, Table, TableColumn, Words
from fuseplan.papers.paper_set import PaperSet, paper_set, sheets, texts_of
from fuseplan.papers.writers import TEMPLATES, files
from fuseplan.papers.writers.font_signs import signs_of
from fuseplan.papers.writers.pdf_blocks import breakable
from fuseplan.papers.writers.pieces import LABEL_CELLS, MOST_CELLS, cells_of, pieces
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from tests.lazily import Lazily

fonts = Lazily("fontTools.ttLib")
pypdf = Lazily("pypdf")

FONTS = Path(str(package_files("fuseplan.papers"))) / "fonts"
POPPLER = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")
MM_PER_POINT = 25.4 / 72.0
SMALL = Path(__file__).parents[1] / "cli" / "plans" / "small.toml"
EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))


def pdfs(papers: PaperSet, templates: Path | None = None) -> dict[str, pypdf.PdfReader]:
    return {name: pypdf.PdfReader(io.BytesIO(raw)) for name, raw in files(papers, ["pdf"], templates)}


def plain(text: str) -> str:
    """Text without blanks and line ends: where a line is folded is no matter."""
    return "".join(text.split())


def test_every_text_is_printed_as_it_is_and_none_is_markup() -> None:
    made: dict[str, str] = {}

    def hostile(word: str) -> str:
        return made.setdefault(
            word, f"#panic(\"{word}\") *{word}* ${word}$ <{word}> = {word} @{word} //{word} \\{word}")

    papers = PaperSet(sample_set(hostile).head, sample_set(hostile).papers[:1])
    reader = pdfs(papers)["one.pdf"]
    printed = plain("".join(page.extract_text() for page in reader.pages))
    assert len(made) > 25
    missing = {word for word, text in made.items() if plain(shown(text)) not in printed}
    # The heading of a column of groups is never printed; a drawing is; the second paper was left out.
    assert missing <= {"group head", "drawing", "title two"}


def test_every_page_bears_plan_revision_danger_and_its_number() -> None:
    for name, reader in pdfs(sample_set()).items():
        pages = [plain(page.extract_text()) for page in reader.pages]
        assert len(pages) >= 3
        for number, text in enumerate(pages, 1):
            assert "2DANGER:DONOTPOWERUP" in text, (name, number)
            assert "revisionrevision,2026-03-29" in text
            assert "planname" in text
            assert f"page{number}of{len(pages)}" in text


def test_without_a_danger_no_page_cries() -> None:
    made = sample_set(dangers=0)
    calm = PaperSet(replace(made.head, unknown=0, measures=0), made.papers[:1])
    assert "POWER" not in "".join(page.extract_text() for page in pdfs(calm)["one.pdf"].pages)


@POPPLER
def test_labels_stand_where_the_sheet_has_them(tmp_path: Path) -> None:
    labels = tuple(Label((f"W{number:03d}",), 1.75) for number in range(2 * STOCK.per_sheet))
    made = PaperSet(sample_set().head, (Paper("labels", "Labels", (LabelSheet(labels, STOCK, 7),)),))
    (tmp_path / "labels.pdf").write_bytes(dict(files(made, ["pdf"]))["labels.pdf"])
    ran = subprocess.run(["pdftotext", "-bbox", "labels.pdf", "-"], cwd=tmp_path, check=True, capture_output=True,
                         text=True, timeout=60)
    # The last words of each text are those on the sheets; before them stands the list.
    found: dict[str, tuple[float, float, float, float]] = {}
    for page in ET.fromstring(re.sub(r' xmlns="[^"]+"', "", ran.stdout)).iter("page"):
        for word in page.iter("word"):
            if re.fullmatch(r"W\d{3}", word.text or ""):
                found[str(word.text)] = tuple(float(word.get(side, "nan")) * MM_PER_POINT
                                              for side in ("xMin", "yMin", "xMax", "yMax"))
    corners = list(STOCK.corners())
    assert len(found) == len(labels)
    for number, label in enumerate(labels, 6):
        left, top = corners[number % STOCK.per_sheet]
        x_min, y_min, x_max, y_max = found[label.lines[0]]
        # A blank millimetre inside the edge; in the middle of the height.
        assert x_min == pytest.approx(left + 1.0, abs=0.1)
        assert (y_min + y_max) / 2 == pytest.approx(top + STOCK.label_height_mm / 2, abs=0.5)
        assert x_max < left + STOCK.label_width_mm
    steps = {round(found["W001"][0] - found["W000"][0], 1), round(found["W003"][0] - found["W002"][0], 1)}
    assert steps == {round(STOCK.label_width_mm + STOCK.column_gap_mm, 1)}
    rows = found["W005"][1] - found["W000"][1]
    assert rows == pytest.approx(STOCK.label_height_mm, abs=0.1)


def test_a_text_too_long_for_its_label_is_set_smaller_not_cut() -> None:
    words = "a very long label text that no label of this size can hold at such a height"
    made = PaperSet(sample_set().head, (Paper("labels", "Labels", (LabelSheet((Label((words,), 5.0),), STOCK),)),))
    last = pdfs(made)["labels.pdf"].pages[-1]
    sizes: list[float] = []
    last.extract_text(visitor_text=lambda text, cm, tm, font, size: sizes.append(size) if "long" in text else None)
    assert plain(words) in plain(last.extract_text())
    assert sizes
    assert max(sizes) < 5.0 / 0.729 / MM_PER_POINT / 3


@pytest.mark.parametrize("name", ["DejaVuSans.ttf", "DejaVuSans-Bold.ttf"])
def test_the_signs_of_a_font_are_those_another_reader_finds(name: str) -> None:
    assert signs_of(FONTS / name) == {chr(code) for code in fonts.TTFont(FONTS / name).getBestCmap()}


def test_what_is_no_font_is_refused(tmp_path: Path) -> None:
    (tmp_path / "not.ttf").write_bytes(b"\0\1\0\0\0\1")
    with pytest.raises(PaperError, match="is no TrueType"):
        signs_of(tmp_path / "not.ttf")


@pytest.mark.one_in(3)
@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda plan: plan.stem)
def test_the_fonts_have_every_sign_of_the_examples_papers(plan: Path) -> None:
    covered = set.intersection(*({chr(code) for code in fonts.TTFont(FONTS / name).getBestCmap()}
                                 for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")))
    signs = {sign for text in texts_of(paper_set(assess(read_plan(plan)))) for sign in text}
    assert len(signs) > 60
    assert signs - covered == set()


def test_long_words_are_broken_and_numbers_never() -> None:
    """Nothing hangs over the edge of its cell, and no number is read as two."""
    for text in ("0.1066", "12,345.678", "−0.02", "2026-03-29", "123456.7890"):
        assert breakable(f"{text} mV") == f"{text} mV"
    for text in ("feed-accessory_bus-A", "x" * 200, "bulkhead_front_and_wing_left", "a.very.long.name.of.a.file"):
        assert max(map(len, re.split("[\u200b-]", breakable(text)))) <= 25
        assert breakable(text).replace("\u200b", "") == text


def test_a_column_to_be_filled_in_has_room_for_a_hand(tmp_path: Path) -> None:
    columns = (*(TableColumn(f"c{number}", f"Column {number}") for number in range(6)),
               TableColumn("reading", "Reading", fill_in=True), TableColumn("end", "End"))
    rows = tuple((*("a rather long text that wants much room for itself" for _ in range(6)), "", "z") for _ in range(3))
    made = PaperSet(sample_set().head, (Paper("x", "x", (Table("t", columns, rows),), landscape=True),))
    (tmp_path / "x.pdf").write_bytes(dict(files(made, ["pdf"]))["x.pdf"])
    page = pypdf.PdfReader(tmp_path / "x.pdf").pages[0]
    at: dict[str, float] = {}
    page.extract_text(visitor_text=lambda text, cm, tm, font, size: at.setdefault(text.strip(), cm[4] + tm[4]))
    assert (at["End"] - at["Reading"]) * MM_PER_POINT == pytest.approx(19, abs=1)


def test_nothing_hangs_over_the_edge_of_the_page_however_long_a_name_is(tmp_path: Path) -> None:
    made = sample_set(lambda word: f"{word}{'x' * 300}")
    for name, raw in files(PaperSet(made.head, made.papers[:1]), ["pdf"]):
        (tmp_path / name).write_bytes(raw)
        ran = subprocess.run(["pdftotext", "-bbox", name, "-"], cwd=tmp_path, check=True, capture_output=True,
                             text=True, timeout=60)
        words = 0
        for page in ET.fromstring(re.sub(r' xmlns="[^"]+"', "", ran.stdout)).iter("page"):
            wide, high = float(page.get("width", 0)), float(page.get("height", 0))
            for word in page.iter("word"):
                words += 1
                assert 0 <= float(word.get("xMin", -1)) <= float(word.get("xMax", -1)) <= wide, word.text
                assert 0 <= float(word.get("yMin", -1)) <= float(word.get("yMax", -1)) <= high, word.text
        assert words > 100


def test_a_sign_that_no_font_has_is_spelled_not_boxed() -> None:
    made = PaperSet(sample_set().head, (Paper("x", "x", (Words("泵 🚗 Ω"),)),))
    assert "\\u6cf5 \\U0001f697 Ω" in pdfs(made)["x.pdf"].pages[0].extract_text()


def test_only_our_fonts_are_in_it_and_no_link_leads_out() -> None:
    for reader in pdfs(sample_set()).values():
        for page in reader.pages:
            fonts = page["/Resources"].get("/Font", {})
            assert all("DejaVuSans" in font.get_object()["/BaseFont"] for font in fonts.values())
            assert "/Annots" not in page
    assert pdfs(sample_set())["two.pdf"].trailer["/Root"]["/MarkInfo"]["/Marked"] == pypdf.generic.BooleanObject(True)
    assert "/MarkInfo" not in pdfs(sample_set())["one.pdf"].trailer["/Root"]


def test_a_long_paper_is_cut_into_pieces_that_hold_everything() -> None:
    rows = tuple((float(number), f"part {number}") for number in range(MOST_CELLS + 7))
    table = Table("t", (TableColumn("n", "n", "", True), TableColumn("w", "What")), rows, "Many")
    labels = LabelSheet(tuple(Label((str(number),)) for number in range(MOST_CELLS // LABEL_CELLS + 100)), STOCK, 5)
    cut = pieces(Paper("long", "Long", (table, labels)))
    assert len(cut) >= 4
    assert all(cells_of(piece) <= MOST_CELLS for piece in cut)
    tables = [block for piece in cut for block in piece.blocks if isinstance(block, Table)]
    assert sum((block.rows for block in tables), ()) == rows
    sheets_ = [block for piece in cut for block in piece.blocks if isinstance(block, LabelSheet)]
    assert sum((block.labels for block in sheets_), ()) == labels.labels
    assert [block.first for block in sheets_] == [5, 1]
    assert all((len(block.labels) + block.first - 1) % STOCK.per_sheet == 0 for block in sheets_[:-1])


def test_pieces_say_which_of_how_many_they_are(monkeypatch: pytest.MonkeyPatch) -> None:
    for most in ("MOST_CELLS", "MOST_WHOLE"):
        monkeypatch.setattr(f"fuseplan.papers.writers.pieces.{most}", 100)
    table = Table("t", (TableColumn("w", "What"),), tuple((f"part {number}",) for number in range(105)))
    found = pdfs(PaperSet(sample_set().head, (Paper("long", "Long", (table,)),)))
    assert list(found) == ["long-1.pdf", "long-2.pdf"]
    assert "part 2 of 2, page 1 of 1" in " ".join(found["long-2.pdf"].pages[0].extract_text().split())


def test_templates_of_the_user_take_the_place_of_those_shipped(tmp_path: Path) -> None:
    for name in TEMPLATES:
        text = (package_files("fuseplan.papers") / "templates" / name).read_text(encoding="utf-8")
        (tmp_path / name).write_text(text.replace("page-numbers = context {", 'page-numbers = context { "OWN "; '),
                                     encoding="utf-8")
    assert "OWN" in pdfs(sample_set(), tmp_path)["one.pdf"].pages[0].extract_text()
    (tmp_path / "paper.typ").write_text("#let x = (", encoding="utf-8")
    with pytest.raises(PaperError, match=r"paper\.typ: the template does not work for one: .*accepted are templates"):
        pdfs(sample_set(), tmp_path)


def test_without_typst_a_sentence_says_how_to_add_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(PaperError, match=r"pip install typst"):
        pdfs(sample_set())
    assert dict(files(sample_set(), ["html", "xlsx", "csv", "svg", "txt"]))


@pytest.mark.parametrize("plan", [SMALL, *(pytest.param(each, marks=pytest.mark.long) for each in EXAMPLES)],
                         ids=lambda plan: plan.stem)
def test_every_paper_of_a_plan_is_set_with_its_head(plan: Path) -> None:
    made = paper_set(assess(read_plan(plan)))
    found = pdfs(made)
    assert {re.sub(r"-\d+$", "", each.removesuffix(".pdf")) for each in found} >= set(sheets())
    for each, reader in found.items():
        assert len(reader.pages) >= 1, each
        first = plain(reader.pages[0].extract_text())
        assert plain(made.head.state) in first
        assert plain(made.head.banner) in first

"""Every packaged table has a complete head; the loader refuses what has not."""

import subprocess
import sys

import pytest

from fuseplan.errors import TableError
from fuseplan.tables import load

HEAD = {
    "title": "Colours of fuses",
    "source": "a standard, 2015",
    "place": "table 3",
    "how": "read",
    "covers": "1 to 3 A",
    "between_rows": "nothing",
}


def text_of(head: dict[str, str], body: str = "rating_a,colour\n1,black\n2,\n") -> str:
    return "".join(f"# {key}: {value}\n" for key, value in head.items()) + body


def test_every_table_on_file_loads_with_a_full_head():
    loaded = [load.table(name) for name in load.names()]
    assert len(loaded) > 90
    for each in loaded:
        assert all((each.title, each.source, each.place, each.covers)), each.name
        assert each.how in load.HOWS
        assert each.between_rows in load.BETWEEN_ROWS
        lengths = {len(cells) for cells in each.columns.values()}
        assert len(lengths) == 1, each.name
        assert lengths.pop() > 0


def test_what_comes_from_memory_never_says_read():
    for name in load.names():
        each = load.table(name)
        if "memory of" in each.source or name.endswith("from_memory"):
            assert each.how == "memory", name


def test_compilations_name_origin_of_each_row():
    compilations = [load.table(name) for name in load.names() if load.table(name).how == "by row"]
    assert len(compilations) >= 10
    for each in compilations:
        for row in each.rows():
            assert row["how"] in ("read", "second-hand", "memory", "derived"), (each.name, row)
            assert row["document"], (each.name, row)
            assert load.row_source(each, row).line()


@pytest.mark.parametrize("missing", HEAD)
def test_a_head_without_one_line_is_refused(missing):
    head = {key: value for key, value in HEAD.items() if key != missing}
    with pytest.raises(TableError, match=missing):
        load.parse("colours", text_of(head))


@pytest.mark.parametrize(
    ("head", "body", "words"),
    [
        ({"how": "guessed"}, None, "guessed"),
        ({"between_rows": "spline"}, None, "spline"),
        ({"colour": "blue"}, None, "unknown head lines colour"),
        ({"text": "awg"}, None, "awg"),
        ({"how": "by row"}, None, "by row"),
        ({}, "rating_a,colour\n1,black,extra\n", "more cells"),
        ({}, "rating_a,colour\n", "no rows"),
    ],
)
def test_other_faults_are_refused(head, body, words):
    text = text_of({**HEAD, **head}) if body is None else text_of({**HEAD, **head}, body)
    with pytest.raises(TableError, match=words):
        load.parse("colours", text)


def test_cells_are_numbers_text_or_none():
    parsed = load.parse("colours", text_of({**HEAD, "note": "first"}))
    assert parsed.columns == {"rating_a": (1.0, 2.0), "colour": ("black", None)}
    assert parsed.rows()[1] == {"rating_a": 2.0, "colour": None}
    assert parsed.notes == ("first",)
    assert parsed.cited("rating_a", 2.0, "colour") is None
    as_text = load.parse("colours", text_of({**HEAD, "text": "rating_a"}))
    assert as_text.columns["rating_a"] == ("1", "2")
    with pytest.raises(TableError, match="no column 'size'"):
        parsed.column("size")
    with pytest.raises(TableError, match="holds text"):
        parsed.array("colour")


def test_source_line_warns_unless_read():
    lines = {how: load.Source("t", "a sheet", "p. 2", how).line() for how in load.HOWS}
    assert lines["read"] == "a sheet, p. 2"
    assert lines["memory"].endswith("from memory: check the datasheet")
    assert lines["second-hand"].endswith("second-hand")


def test_an_unknown_table_names_those_on_file():
    with pytest.raises(TableError, match=r"there is no table 'nonsense'.*uk_thin_wall_class_b"):
        load.table("nonsense")


def test_looking_up_a_fuse_reads_only_its_own_files():
    code = (
        "from fuseplan.tables import fuses, load\n"
        "before = load.table.cache_info().currsize\n"
        "fuses.cold_resistance_ohm('mini', 10)\n"
        "print(before, load.table.cache_info().currsize)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["0", "1"]

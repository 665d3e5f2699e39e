"""``fuseplan protect``: the picture in text and SVG, the table of devices, documents, errors."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import numpy as np
import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.cli.main import main
from fuseplan.engine.picture import picture_of
from fuseplan.papers.harmless import width
from fuseplan.papers.plots import text_plot
from fuseplan.papers.protect_text import devices_report, protect_report
from fuseplan.papers.time_current import time_current
from fuseplan.plan.part_names import part_name
from fuseplan.planfile.read import read_plan

CAR = Path(__file__).parents[2] / "examples" / "coupe_turbo.toml"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def car() -> Assessment:
    return assess(read_plan(CAR))


def test_the_picture_is_drawn_from_the_assessment(car: Assessment) -> None:
    view = car.circuit("fuel_pump")
    curves = picture_of(car.results, view.index)
    assert curves.own is not None
    assert curves.upstream is not None
    assert curves.wire is not None
    assert curves.own.device == view.fault.device
    assert curves.upstream.device == view.fault.upstream
    assert curves.far_end_a == view.fault.far_end_a
    assert curves.prospective_a == view.fault.prospective_a
    assert curves.load_a == pytest.approx(view.load_a)
    for band in (curves.own, curves.upstream):
        assert np.all(np.diff(band.current_a) > 0)
        assert np.all(np.diff(band.least_s) <= 0)
        times = band.greatest_s[~np.isnan(band.greatest_s)]
        assert np.all(times[1:] <= times[:-1] * (1 + 1e-6))
        assert not np.any(band.least_s > band.greatest_s)
    # 20 A MINI at 200 %: 0.15 to 5 s, drawn on both sides of the printed row (Littelfuse 297 datasheet).
    just_above = int(np.searchsorted(curves.own.current_a, 40.0))
    assert curves.own.greatest_s[just_above] == pytest.approx(5.0, rel=1e-5)
    assert curves.own.least_s[just_above - 1] == pytest.approx(0.15, rel=1e-5)


def test_the_wire_outlives_the_fuse_where_the_assessment_says_so(car: Assessment) -> None:
    view = car.circuit("fuel_pump")
    assert view.fault.wire_survives is True
    curves = picture_of(car.results, view.index)
    assert curves.own is not None
    assert curves.wire is not None
    bears = np.interp(curves.far_end_a, curves.wire.current_a, np.nan_to_num(curves.wire.time_s, nan=5.0))
    opens = np.interp(curves.far_end_a, curves.own.current_a, curves.own.greatest_s)
    assert opens < bears


@pytest.mark.parametrize("columns", [60, 80, 100])
def test_text_fits_and_needs_no_colour(car: Assessment, columns: int) -> None:
    lines = text_plot(time_current(car, "rear_fog")[0], columns, 18)
    assert all(width(line) <= columns for line in lines)
    assert "\x1b" not in "".join(lines)
    assert len(lines) <= 30
    picture = "\n".join(lines[2:18])
    for sign in "·~wSLFP":
        assert sign in picture


def test_names_say_what_each_sign_is(car: Assessment) -> None:
    text = protect_report(car, "rear_fog", 80)
    for words in ("clearing time of 5 A blade of Rear fog lamp", "upstream of 15 A blade of Light switch, terminal 58",
                  "short at the far end",
                  "short behind the fuse", "inrush", "load", "NOT selective", "Littelfuse ATOF 287", "Fix", "Caution",
                  "Never fit a bigger fuse"):
        assert words in " ".join(text.split()), words


def test_no_published_limits_are_named(car: Assessment) -> None:
    text = " ".join(protect_report(car, "boot_lamp", 100).split())
    upstream = car.results.network.fuses[car.circuit("boot_lamp").fault.upstream].fuse.kind
    assert f"A {upstream} of {car.plan.feed['main_bus'].name}: no published limits on file" in text


def test_out_of_scope_and_incomplete_circuits_get_no_picture(car: Assessment) -> None:
    silent = next(view.id for view in car.circuits if view.circuit.out_of_scope is not None)
    text = protect_report(car, silent)
    assert "no figures for this kind of circuit" in text
    assert "time in s" not in text


def test_the_table_names_every_device(car: Assessment) -> None:
    text = devices_report(car, 160)
    rows = text.split("Protective devices")[1].split("\n\n")[0].splitlines()[2:]
    assert len(car.results.network.fuses) > 35
    for fuse in car.results.network.fuses:
        name = part_name(car.plan, fuse.owner)
        assert any(row.split("  ")[1].strip("› ").startswith(name.split(" ")[0]) for row in rows if row.strip()), name


def test_svg_is_well_formed_and_names_its_parts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "fog.svg"
    assert main(["protect", str(CAR), "rear_fog", "--svg", str(target)]) == 1
    assert "written:" in capsys.readouterr().err
    root = ElementTree.fromstring(target.read_text(encoding="utf-8"))
    words = " ".join(element.text or "" for element in root.iter(f"{SVG}text"))
    for part in ("clearing time", "upstream", "current in A", "time in s", "far end"):
        assert part in words
    assert len(list(root.iter(f"{SVG}polygon"))) == 2
    assert len(list(root.iter(f"{SVG}polyline"))) >= 2


def test_documents_are_strict_json(capsys: pytest.CaptureFixture[str]) -> None:
    def never(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    main(["protect", str(CAR), "--json"])
    table = json.loads(capsys.readouterr().out, parse_constant=never)
    assert len(table["devices"]) > 35
    device = table["devices"][0]
    assert set(device) == {"owner", "upstream", "fuse", "fault"}
    assert {"prospective_a", "far_end_a", "max_clearing_s", "wire_survives", "selectivity"} <= set(device["fault"])
    main(["protect", str(CAR), "fuel_pump", "--json"])
    picture = json.loads(capsys.readouterr().out, parse_constant=never)["picture"]
    assert len(picture["fuse"]["current_a"]) == len(picture["fuse"]["greatest_s"])
    assert picture["fuse"]["sources"]


def test_status_and_errors(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["protect", str(CAR)]) == 1
    assert main(["protect", str(CAR), "fuel_pump"]) == 0
    capsys.readouterr()
    assert main(["protect", str(CAR), "fuel_pmup"]) == 2
    assert "the nearest known is 'fuel_pump'" in capsys.readouterr().err
    assert main(["protect", str(CAR), "--svg", str(tmp_path / "x.svg")]) == 2
    assert "--svg draws one circuit" in capsys.readouterr().err
    kept = tmp_path / "notes.txt"
    kept.write_text("mine")
    assert main(["protect", str(CAR), "fuel_pump", "--svg", str(kept)]) == 2
    assert kept.read_text() == "mine"


def test_what_no_fuse_protects_has_no_surge_through_one(car: Assessment) -> None:
    """The starter cable: it is told what the starter draws, and of no fuse that might withstand it."""
    def switching_on(circuit: str) -> str:
        words = " ".join(protect_report(car, circuit).split())
        return words.partition("Switching on")[2].partition("finding")[0]

    assert "682 A for 0.19 s" in switching_on("starter")
    assert "fuse" not in switching_on("starter")
    assert "through the fuse for" in switching_on("fuel_pump")

"""A user's own set of limits: found beside the plan and in the user's folder, refused with a sentence if not right."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from fuseplan.checks import assess
from fuseplan.errors import LimitsError
from fuseplan.planfile import limit_files
from fuseplan.planfile.limit_files import assessed, find_limit_set, limit_set_of, own_names
from fuseplan.planfile.read import parse_plan

ROAD = (files("fuseplan.limits") / "data" / "road.toml").read_text(encoding="utf-8")
MINE = ROAD.replace('name = "road"', 'name = "mine"').replace("continuous_share = 0.75", "continuous_share = 0.60")
PLAN = """
fuseplan = 1
[vehicle]
limits = "mine"
[feed.post]
[earth.body]
[circuit.lamp]
feed = "post"
fuse = { kind = "blade" }
wire = [{ size = "2.5 mm2", length = "1 m" }]
earth = "body"
[[circuit.lamp.load]]
current = "6 A"
kind = "resistive"
"""


@pytest.fixture(autouse=True)
def user_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "config" / "limits"
    folder.mkdir(parents=True)
    monkeypatch.setattr(limit_files, "user_folder", lambda: folder)
    return folder


@pytest.fixture
def plan_path(tmp_path: Path) -> Path:
    path = tmp_path / "car.toml"
    path.write_text(PLAN, encoding="utf-8")
    return path


def test_beside_the_plan_and_in_the_users_folder(plan_path: Path, user_folder: Path) -> None:
    (user_folder / "mine.toml").write_text(MINE.replace("0.60", "0.50"), encoding="utf-8")
    assert find_limit_set("mine").fuse.continuous_share == 0.5
    (plan_path.parent / "mine.limits.toml").write_text(MINE, encoding="utf-8")
    assert find_limit_set("mine", plan_path).fuse.continuous_share == 0.6
    assert own_names(plan_path) == ("mine",)
    low_a = assessed(plan_path).circuit("lamp").fuse
    road = assess(parse_plan(PLAN), "road").circuit("lamp").fuse
    assert low_a is not None
    assert road is not None
    assert low_a.range_a.low == pytest.approx(road.range_a.low * 0.75 / 0.60)


def test_the_named_one_wins_over_the_plans(plan_path: Path) -> None:
    assert limit_set_of(parse_plan(PLAN), plan_path, "aircraft").name == "aircraft"


def test_not_there(plan_path: Path) -> None:
    with pytest.raises(LimitsError, match=r"'mine' is not a set of limits on file; .*mine.limits.toml beside the plan"):
        limit_set_of(parse_plan(PLAN), plan_path)
    with pytest.raises(LimitsError, match="accepted is road"):
        assess(parse_plan(PLAN))


def test_a_shipped_name_cannot_be_taken(plan_path: Path, user_folder: Path) -> None:
    (plan_path.parent / "road.limits.toml").write_text(MINE, encoding="utf-8")
    (user_folder / "road.toml").write_text(MINE, encoding="utf-8")
    assert find_limit_set("road", plan_path).fuse.continuous_share == 0.75
    assert own_names(plan_path) == ()


@pytest.mark.parametrize("name", ["../mine", "/etc/passwd", "", "Mine", "a" * 500, "mine\n", "\x1b[31m"])
def test_a_hostile_name_finds_nothing(plan_path: Path, name: str) -> None:
    with pytest.raises(LimitsError, match="not a set of limits on file") as caught:
        find_limit_set(name, plan_path)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize(("old", "new", "says"), [
    ("continuous_share = 0.60", "continuous_share = 1.5", "'fuse.continuous_share': .*less than or equal to 1"),
    ("continuous_share = 0.60", "continuous_share = inf", "'fuse.continuous_share'"),
    ("continuous_share = 0.60", "continuous_share = nan", "'fuse.continuous_share'"),
    ("wire_multiple = 1.0", "wire_multiple = -1.0", "'fuse.wire_multiple': .*greater than 0"),
    ('table = "thin_wall_uk"', 'table = "no_such"', "no current table 'no_such'; accepted are vde_0298_4_t11"),
    ('table = "vde_t21_bunched"', 'table = "no_such"', "no grouping table 'no_such'; accepted are"),
    ('table = "handbook"', 'table = "no_such"', "no drop table 'no_such'; accepted are handbook"),
    ('walls = ["thin"]', 'walls = ["thick"]', "'wire.0.walls.0'"),
    ('name = "mine"', 'name = "other"', "'name' is 'other'; accepted is the name of the file, 'mine'"),
    ('title = "Road car"', "", "'title': Field required"),
    ('title = "Road car"', 'title = "x"\nsecret = 1', "'secret': Extra inputs"),
    ("[fuse]", "[fuse", "not TOML"),
])
def test_a_file_that_is_not_right(plan_path: Path, old: str, new: str, says: str) -> None:
    assert old in MINE
    file = plan_path.parent / "mine.limits.toml"
    file.write_text(MINE.replace(old, new), encoding="utf-8")
    with pytest.raises(LimitsError, match=says) as caught:
        find_limit_set("mine", plan_path)
    assert str(file) in str(caught.value)


def test_bytes_that_are_no_text_and_a_folder(plan_path: Path) -> None:
    file = plan_path.parent / "mine.limits.toml"
    file.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(LimitsError, match="TOML file in UTF-8"):
        find_limit_set("mine", plan_path)
    file.unlink()
    file.mkdir()
    with pytest.raises(LimitsError, match="folder"):
        find_limit_set("mine", plan_path)

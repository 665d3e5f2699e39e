"""An end of a wire is free text until a connector of that name exists; from then on its pin must exist, and every
message says where it is wrong and what is accepted."""

from __future__ import annotations

import pytest

from fuseplan.errors import EditError, PlanError
from fuseplan.plan.references import place
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.read import parse_plan

PLAN = """fuseplan = 1
[feed.post]
[earth.negative]
[loom.donor]
kind = "donor"
[connector.ecu]
loom = "donor"
cavities = 4
[connector.ecu.pin.1]
function = "permanent supply"
signal = "supply_30"
feed = "post"
other_end = { connector = "bulkhead", pin = "A" }
[connector.ecu.pin.2]
twisted_with = "1"
[connector.bulkhead]
mates = "ecu"
pin = { A = { fate = "keep" }, B = { other_end = { connector = "no such plug", pin = "9" } } }
[circuit.lamp]
wire = [{ size = "1 mm2", end = { connector = "ecu", pin = "1" } }]
"""


def test_a_plan_with_looms_is_read_and_ends_on_unknown_parts_stay_free_text() -> None:
    plan = parse_plan(PLAN)
    assert plan.connector["ecu"].pin["1"].fate == "unknown"
    assert plan.connector["bulkhead"].pin["B"].other_end is not None


@pytest.mark.parametrize(("old", "new", "words"), [
    ('end = { connector = "ecu", pin = "1" }', 'end = { connector = "ecu", pin = "7" }',
     "far end of wire segment 1 of circuit 'lamp': connector 'ecu' of this plan has no pin '7'; accepted are 1, 2"),
    ('connector = "bulkhead", pin = "A"', 'connector = "bulkhead", pin = "C"',
     "other end of pin 1 of connector 'ecu': connector 'bulkhead' of this plan has no pin 'C'; accepted are A, B"),
    ('twisted_with = "1"', 'twisted_with = "3"',
     "pin 2 of connector 'ecu': `twisted_with` names pin '3', which is not in its connector; accepted are 1"),
    ('twisted_with = "1"', 'shield = "2"', "pin 2 of connector 'ecu': `shield` names the pin itself"),
    ('mates = "ecu"', 'mates = "ecm"', "connector 'bulkhead': `mates` names 'ecm', which is not a connector of this "
                                       "plan; the nearest known is 'ecu'"),
    ('loom = "donor"', 'loom = "doner"', "connector 'ecu': `loom` names 'doner', which is not a loom of this plan"),
    ('feed = "post"', 'feed = "past"', "pin 1 of connector 'ecu': `feed` names 'past'"),
    ('kind = "donor"', 'kind = "spare"', "kind"),
])
def test_what_names_nothing_is_refused_with_its_place(old: str, new: str, words: str) -> None:
    with pytest.raises(PlanError) as refused:
        parse_plan(PLAN.replace(old, new))
    assert words in str(refused.value)


def test_everything_that_names_a_connector_follows_its_new_name() -> None:
    document = PlanDocument.from_text(PLAN)
    document.rename("connector", "ecu", "engine_computer")
    plan = document.plan
    end = plan.circuit["lamp"].wire[0].end
    assert end is not None
    assert end.connector == "engine_computer"
    assert plan.connector["bulkhead"].mates == "engine_computer"
    assert parse_plan(document.text) == plan


def test_a_pin_is_not_removed_while_a_wire_ends_on_it() -> None:
    document = PlanDocument.from_text(PLAN)
    with pytest.raises(EditError, match="has no pin 'A'"):
        document.remove(("connector", "bulkhead", "pin", "A"))
    assert "A" in document.plan.connector["bulkhead"].pin


def test_a_new_pin_is_one_line_of_the_pin_table() -> None:
    document = PlanDocument.from_text("fuseplan = 1\n[connector.ecu]\nplace = 'bulkhead'\n")
    document.set(("connector", "ecu", "pin"), {"1": {"function": "earth", "signal": "earth_31"}})
    assert document.text.endswith('[connector.ecu.pin]\n1 = { function = "earth", signal = "earth_31" }\n')


def test_a_pin_is_called_by_its_number_and_connector() -> None:
    assert place(("connector", "ecu", "pin", "7")) == "pin 7 of connector 'ecu'"
    assert place(("fuse_box", "cabin", "position", "F3")) == "position F3 of fuse box 'cabin'"

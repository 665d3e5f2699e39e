"""A day of the plan is one way of writing it, whatever it was entered as."""

from __future__ import annotations

import datetime

import pytest
from pydantic import ValidationError

from fuseplan.plan.model import Vehicle


@pytest.mark.parametrize("entered", ["2026-11-26", " 2026-11-26 ", datetime.date(2026, 11, 26)])
def test_a_day_is_kept_as_year_month_day(entered: object) -> None:
    assert Vehicle.model_validate({"revision_date": entered}).revision_date == "2026-11-26"


@pytest.mark.parametrize("entered", ["26.11.2026", "2026-02-30", "2026-W48-4", "20261126", "", 20261126, True,
                                     datetime.datetime(2026, 11, 26, 10), "2026-11-26T10:00", "٢٠٢٦-11-26"])
def test_what_is_no_day_is_refused(entered: object) -> None:
    with pytest.raises(ValidationError) as found:
        Vehicle.model_validate({"revision_date": entered})
    assert isinstance(entered, (int, bool)) or "accepted is" in str(found.value)

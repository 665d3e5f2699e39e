"""The schemas of the documents, ready to hold a document against."""

from __future__ import annotations

from functools import cache
from typing import Any

from fuseplan.checks.result_document import ResultDocument
from fuseplan.results.part import Part
from fuseplan.results.power_report import PowerReport
from fuseplan.results.schema import schema
from tests.lazily import Lazily

jsonschema = Lazily("jsonschema")


@cache
def validator(kind: type[Part]) -> Any:
    """Of the documents of a kind of part; a schema that is none is an error."""
    whole = schema(kind)
    jsonschema.Draft202012Validator.check_schema(whole)
    return jsonschema.Draft202012Validator(whole)


def fits_result(document: Any) -> None:
    """ValidationError where a result document has not its shape."""
    validator(ResultDocument).validate(document)


def fits_power(document: Any) -> None:
    """The same for a power report."""
    validator(PowerReport).validate(document)

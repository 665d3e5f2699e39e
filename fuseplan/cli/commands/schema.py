"""Print the JSON Schema of a plan, or of the result document."""

from __future__ import annotations

import argparse
from typing import Any


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan schema``."""
    parser.add_argument("what", choices=("plan", "result"), help="the plan's file, or what check --json prints")


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    from fuseplan.cli.terminal import write
    from fuseplan.papers.json_text import to_json

    if args.what == "plan":
        schema = _plan_schema()
    else:
        from fuseplan.checks.document_schema import Result

        schema = Result.model_json_schema(by_alias=True)
    write(to_json({"$schema": "https://json-schema.org/draft/2020-12/schema"} | schema))
    return 0


def _plan_schema() -> dict[str, Any]:
    """The plan's schema, with the default of a quantity as it would be written in the file."""
    from pydantic.json_schema import GenerateJsonSchema

    from fuseplan.plan.model import Plan
    from fuseplan.quantities.amounts import Amount

    class Written(GenerateJsonSchema):
        def encode_default(self, dft: Any) -> Any:
            return dft.text if isinstance(dft, Amount) else super().encode_default(dft)

    return Plan.model_json_schema(by_alias=True, schema_generator=Written)

"""Print the JSON Schema of a plan, or of a document that a command prints."""

from __future__ import annotations

import argparse
from typing import Any


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan schema``."""
    parser.add_argument("what", choices=("plan", "result", "power"),
                        help="the plan's file, what check --json prints, or what power --json prints")


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    from fuseplan.cli.terminal import write
    from fuseplan.papers.json_text import to_json
    from fuseplan.results.schema import DIALECT, schema

    if args.what == "plan":
        found = {"$schema": DIALECT} | plan_schema()
    elif args.what == "result":
        from fuseplan.checks.result_document import ResultDocument

        found = schema(ResultDocument)
    else:
        from fuseplan.results.power_report import PowerReport

        found = schema(PowerReport)
    write(to_json(found))
    return 0


def plan_schema() -> dict[str, Any]:
    """The plan's schema, with the default of a quantity as it would be written in the file."""
    from pydantic.json_schema import GenerateJsonSchema

    from fuseplan.plan.model import Plan
    from fuseplan.quantities.amounts import Amount

    class Written(GenerateJsonSchema):
        def encode_default(self, dft: Any) -> Any:
            return dft.text if isinstance(dft, Amount) else super().encode_default(dft)

    return Plan.model_json_schema(by_alias=True, schema_generator=Written)

"""Print the JSON Schema of a plan, or of the result document."""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan schema``."""
    parser.add_argument("what", choices=("plan", "result"), help="the plan's file, or what check --json prints")


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    from fuseplan.cli.terminal import write
    from fuseplan.papers.json_text import to_json

    if args.what == "plan":
        from fuseplan.plan.model import Plan

        schema = Plan.model_json_schema(by_alias=True)
    else:
        from fuseplan.checks.document_schema import Result

        schema = Result.model_json_schema(by_alias=True)
    write(to_json({"$schema": "https://json-schema.org/draft/2020-12/schema"} | schema))
    return 0

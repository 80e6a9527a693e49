"""Arguments and flags that several verbs take, each spelled once."""

from __future__ import annotations

from pathlib import Path

import click

folder_given = click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
variant_flag = click.option("--variant", metavar="NAME", help="A file of DIR/variants, without .toml.")
full_flag = click.option("--full", is_flag=True, help="Try every lever; two a check otherwise.")
json_flag = click.option("--json", "as_json", is_flag=True, help="Print JSON; docs/json.md describes it.")
trade_flag = click.option(
    "--trade", metavar="NAME", multiple=True, help="Ask this trade only; may be repeated."
)

"""The verb ``measure`` and its flags."""

from __future__ import annotations

from pathlib import Path

import click

from hutwright.cli.answering import ExitCode, answered
from hutwright.cli.options import folder_given, json_flag


@click.command()
@folder_given
@click.argument("key", metavar="[KEY]", required=False, default="")
@click.argument("readings", metavar="[READING=VALUE]...", nargs=-1)
@click.option("--next", "wanted", is_flag=True, help="Say what to measure next, and how.")
@click.option(
    "--sheet",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Read a filled-in sheet.",
)
@click.option("--print", "blank", is_flag=True, help="Print an empty sheet to take along.")
@click.option("--write", is_flag=True, help="Change hut.toml without asking.")
@json_flag
def measure(
    folder: Path,
    key: str,
    readings: tuple[str, ...],
    sheet: Path | None,
    *,
    wanted: bool,
    blank: bool,
    write: bool,
    as_json: bool,
) -> None:
    """Turn what a scale, a bucket, a watch or a fist tells into values with ranges; docs/measure.md.

    KEY names an observation; without one, all are listed.
    """

    def verb() -> ExitCode:
        from hutwright.cli.measuring import Asked
        from hutwright.cli.measuring import measure as told

        return told(
            Asked(
                folder=folder,
                key=key,
                readings=readings,
                next=wanted,
                sheet=sheet,
                blank=blank,
                write=write,
                as_json=as_json,
            )
        )

    answered(verb)

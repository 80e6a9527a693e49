"""The command ``hutwright``: parse, call the verb, show the answer.

Whatever is slow to load is loaded inside the verbs, so that help comes at once.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from hutwright import __version__
from hutwright.cli.answering import ExitCode, answered, complain, lenient_streams, say, screen_width, waiting
from hutwright.cli.start_options import about_help, with_flags

app = typer.Typer(
    name="hutwright",
    help="Engineering checks for a small powered shelter, from one plain-text description of it.",
    epilog="Exit codes: 0 all holds, 1 something misses or is undecided, 2 a file or the "
    "request is wrong, 3 a fault of hutwright.",
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

Dir = Annotated[
    Path,
    typer.Argument(metavar="DIR", help="Folder of the project, with hut.toml in it.", show_default=False),
]
Variant = Annotated[
    str | None, typer.Option("--variant", metavar="NAME", help="A file of DIR/variants, without .toml.")
]
Full = Annotated[bool, typer.Option("--full", help="Try every lever; two a check otherwise.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON; docs/json.md describes it.")]
Trades = Annotated[
    list[str] | None, typer.Option("--trade", metavar="NAME", help="Ask this trade only; may be repeated.")
]


def _version(*, wanted: bool) -> None:
    if wanted:
        say(f"hutwright {__version__}\n")
        raise typer.Exit


@app.callback()
def whole(
    *,
    version: Annotated[
        bool,
        typer.Option(
            "--version",
            help="Print the version and stop.",
            is_eager=True,
            callback=lambda value: _version(wanted=value),
        ),
    ] = False,
) -> None:
    """Engineering checks for a small powered shelter, from one plain-text description of it."""


@app.command()
def check(
    folder: Dir, trade: Trades = None, variant: Variant = None, *, as_json: Json = False, full: Full = False
) -> None:
    """Check everything that is described, and say what to do first."""

    def verb() -> ExitCode:
        from hutwright import app as verbs
        from hutwright.assessment import TRADES
        from hutwright.checks.verdict import Tier
        from hutwright.outputs.contract import contract
        from hutwright.outputs.report import report

        with waiting("checking"):
            tier = Tier.FULL if full else Tier.QUICK
            assessment = verbs.check(folder, trade or (), variant, tier=tier)
        titles = {each.name: each.title for each in TRADES}
        say(
            _json(contract(assessment))
            if as_json
            else report(assessment, width=screen_width(), titles=titles)
        )
        return _code(short=assessment.short)

    answered(verb)


@app.command()
def why(
    folder: Dir,
    key: Annotated[
        str, typer.Argument(metavar="KEY", help="Key of a check, such as wiring.start_dip or start_dip.")
    ],
    variant: Variant = None,
    *,
    as_json: Json = False,
) -> None:
    """Show the working of one check with the numbers put in, and where each comes from."""

    def verb() -> ExitCode:
        from hutwright import app as verbs
        from hutwright.outputs.contract import check_values
        from hutwright.outputs.working import working

        with waiting("working it out"):
            found = verbs.why(folder, key, variant)
        values = check_values(found.verdict)
        say(_json(values) if as_json else working(found.verdict, found.described, width=screen_width()))
        return _code(short=found.verdict.status.short)

    answered(verb)


@app.command()
def wiring(folder: Dir, variant: Variant = None) -> None:
    """Print the wiring on one page: cables, fuses, regulators, pins, what to try before power."""

    def verb() -> ExitCode:
        from hutwright import app as verbs
        from hutwright.outputs.wiring_page import wiring_page

        with waiting("asking the wiring"):
            assessment = verbs.wiring(folder, variant)
        say(wiring_page(assessment))
        return _code(short=assessment.short)

    answered(verb)


@app.command()
def compare(
    folder: Dir,
    variants: Annotated[
        list[str] | None,
        typer.Argument(metavar="[VARIANT]...", help="Names of variants; all where none is named."),
    ] = None,
    trade: Trades = None,
    *,
    as_json: Json = False,
) -> None:
    """Put variants side by side: what each changes, and the checks that come out differently."""

    def verb() -> ExitCode:
        from hutwright import app as verbs
        from hutwright.outputs.comparison import comparison_text, comparison_values

        with waiting("comparing"):
            found = verbs.compare(folder, variants or (), trade or ())
        say(_json(comparison_values(found)) if as_json else comparison_text(found, width=screen_width()))
        return _code(short=found.short)

    answered(verb)


@app.command()
def rehearse(
    folder: Dir,
    scenario: Annotated[
        list[str] | None,
        typer.Option(
            "--scenario", metavar="NAME", help="Play this scenario, or family, only; may be repeated."
        ),
    ] = None,
    variant: Variant = None,
    runs: Annotated[
        int,
        typer.Option("--runs", metavar="N", min=0, help="Play it so often with unsure values drawn anew."),
    ] = 0,
    seed: Annotated[int, typer.Option("--seed", metavar="N", min=0, help="What they are drawn by.")] = 0,
    plots: Annotated[
        Path | None,
        typer.Option("--plots", metavar="FOLDER", help="Draw force and current into this folder."),
    ] = None,
    *,
    svg: Annotated[bool, typer.Option("--svg", help="Draw SVG in place of PNG.")] = False,
    listed: Annotated[
        bool, typer.Option("--list", help="Print the names of the scenarios and stop.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Play the door with its real controller: whole cycles, obstacles, faults; force against time."""

    def verb() -> ExitCode:
        from hutwright.cli.rehearsing import Asked, list_scenarios, play

        asked = Asked(folder, tuple(scenario or ()), variant, runs, seed, plots, svg=svg, as_json=as_json)
        return list_scenarios(asked) if listed else play(asked)

    answered(verb)


@app.command()
def sky(
    folder: Dir,
    variant: Variant = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FOLDER", help="Draw pictures of it into this folder.")
    ] = None,
    windows: Annotated[
        int,
        typer.Option("--windows", metavar="N", min=0, max=3, help="Place up to so many roof windows."),
    ] = 3,
    *,
    confirm: Annotated[
        bool, typer.Option("--confirm", help="Ask the full wave as well; some minutes the first time.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Look at the satellites: when the machine could start, from where it hears, what windows would help."""

    def verb() -> ExitCode:
        from hutwright.cli.sky import Asked, look_up

        return look_up(Asked(folder, variant, windows, out, as_json=as_json, confirm=confirm))

    answered(verb)


@app.command()
def schema() -> None:
    """Print the JSON Schema of hut.toml, for editors that complete and check while one types."""

    def verb() -> ExitCode:
        from hutwright import app as verbs

        say(_json(verbs.schema()))
        return ExitCode.HOLDS

    answered(verb)


@app.command()
@with_flags
def start(
    folder: Annotated[
        Path, typer.Argument(metavar="DIR", help="Folder to begin in; made where it is missing.")
    ],
    about: Annotated[
        str | None, typer.Option("--about", metavar="WHAT", help=about_help(), show_default=False)
    ] = None,
    *,
    yes: Annotated[bool, typer.Option("--yes", "-y", help="Ask nothing; guess what no flag says.")] = False,
    **flags: str | None,
) -> None:
    """Begin a project: a few everyday questions, then a small description that can be checked at once."""

    def verb() -> ExitCode:
        from hutwright.cli.start import begin

        return begin(folder, about, flags, quietly=yes)

    answered(verb)


def _json(values: Any) -> str:
    return json.dumps(values, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _code(*, short: bool) -> ExitCode:
    return ExitCode.SHORT if short else ExitCode.HOLDS


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str or None
        What was typed behind the command's name; None for what the shell gave.

    Returns
    -------
    int
        The exit code. [-]
    """
    lenient_streams()
    try:
        app(args=None if arguments is None else list(arguments), prog_name="hutwright")
    except SystemExit as stop:
        if isinstance(stop.code, str):
            complain(stop.code)
            return ExitCode.WRONG
        return stop.code or ExitCode.HOLDS
    except KeyboardInterrupt:
        return ExitCode.INTERRUPTED
    return ExitCode.HOLDS


if __name__ == "__main__":
    sys.exit(main())

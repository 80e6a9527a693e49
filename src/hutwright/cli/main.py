"""The command ``hutwright``: parse, call the verb, show the answer.

Whatever is slow to load is loaded inside the verbs, so that help comes at once.
"""

from __future__ import annotations

import atexit
import gc
import os
import sys
import threading
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

import click

from hutwright import __version__
from hutwright.cli.answering import ExitCode, answered, complain, lenient_streams, say, screen_width, waiting
from hutwright.cli.options import folder_given, full_flag, json_flag, trade_flag, variant_flag
from hutwright.cli.verbs_later import Verbs
from hutwright.outputs.json_text import json_text

EPILOG = (
    "Exit codes: 0 all holds, 1 something misses or is undecided, 2 a file or the request is wrong, "
    "3 a fault of hutwright, 130 interrupted from the keyboard."
)


@click.group(
    name="hutwright",
    cls=Verbs,
    epilog=EPILOG,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 120},
)
@click.version_option(__version__, prog_name="hutwright", message="%(prog)s %(version)s")
def app() -> None:
    """Engineering checks for a small powered shelter, from one plain-text description of it.

    DIR is the folder of a project, with hut.toml in it.
    """


@app.command()
@folder_given
@trade_flag
@variant_flag
@json_flag
@full_flag
def check(folder: Path, trade: tuple[str, ...], variant: str | None, *, as_json: bool, full: bool) -> None:
    """Check everything that is described, and say what to do first."""

    def verb() -> ExitCode:
        from hutwright import app as verbs
        from hutwright.checks.verdict import Tier

        with waiting("checking"):
            tier = Tier.FULL if full else Tier.QUICK
            assessment = verbs.check(folder, trade, variant, tier=tier)
        if as_json:
            from hutwright.outputs.contract import contract

            say(json_text(contract(assessment)))
        else:
            from hutwright.outputs.report import report

            titles = {each.name: each.title for each in verbs.chosen_trades(trade)}
            say(report(assessment, width=screen_width(), titles=titles))
        return _code(short=assessment.short)

    answered(verb)


@app.command()
@folder_given
@click.argument("key", metavar="KEY")
@variant_flag
@json_flag
def why(folder: Path, key: str, variant: str | None, *, as_json: bool) -> None:
    """Show the working of one check with the numbers put in, and where each comes from.

    KEY is the key of a check, such as wiring.start_dip or start_dip.
    """

    def verb() -> ExitCode:
        from hutwright import app as verbs
        from hutwright.outputs.contract import check_values
        from hutwright.outputs.working import working

        with waiting("working it out"):
            found = verbs.why(folder, key, variant)
        values = check_values(found.verdict)
        say(json_text(values) if as_json else working(found.verdict, found.described, width=screen_width()))
        return _code(short=found.verdict.status.short)

    answered(verb)


@app.command()
@folder_given
@variant_flag
def wiring(folder: Path, variant: str | None) -> None:
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
@folder_given
@click.argument("variants", metavar="[VARIANT]...", nargs=-1)
@click.option(
    "--candidates",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Try each row of a table of listings instead; docs/candidates.md.",
)
@trade_flag
@json_flag
def compare(
    folder: Path, variants: tuple[str, ...], candidates: Path | None, trade: tuple[str, ...], *, as_json: bool
) -> None:
    """Put variants side by side: what each changes, and the checks that come out differently.

    VARIANT is a file of DIR/variants, without .toml; all where none is named.
    """

    def verb() -> ExitCode:
        from hutwright.cli.comparing import Asked, put_side_by_side

        return put_side_by_side(Asked(folder, variants, candidates, trade, as_json=as_json))

    answered(verb)


@app.command()
@folder_given
@click.option(
    "--scenario",
    metavar="NAME",
    multiple=True,
    help="Play this scenario, or family, only; may be repeated.",
)
@variant_flag
@click.option(
    "--runs",
    metavar="N",
    type=click.IntRange(min=0),
    default=0,
    help="Play it so often with unsure values drawn anew.",
)
@click.option("--seed", metavar="N", type=click.IntRange(min=0), default=0, help="What they are drawn by.")
@click.option(
    "--plots",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Draw force and current into this folder.",
)
@click.option(
    "--settings",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Play it with these settings of the board (settings.lines), such as calibrated ones.",
)
@click.option("--svg", is_flag=True, help="Draw SVG in place of PNG.")
@click.option("--list", "listed", is_flag=True, help="Print the names of the scenarios and stop.")
@json_flag
def rehearse(
    folder: Path,
    scenario: tuple[str, ...],
    variant: str | None,
    runs: int,
    seed: int,
    plots: Path | None,
    settings: Path | None,
    *,
    svg: bool,
    listed: bool,
    as_json: bool,
) -> None:
    """Play the door with its real controller: whole cycles, obstacles, faults; force against time."""

    def verb() -> ExitCode:
        from hutwright.cli.rehearsing import Asked, list_scenarios, play

        asked = Asked(folder, scenario, variant, runs, seed, plots, settings, svg=svg, as_json=as_json)
        return list_scenarios(asked) if listed else play(asked)

    answered(verb)


@app.command()
@folder_given
@variant_flag
@click.option(
    "--out",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Draw pictures of it into this folder.",
)
@click.option(
    "--windows",
    metavar="N",
    type=click.IntRange(0, 3),
    default=3,
    help="Place up to so many roof windows.",
)
@click.option("--confirm", is_flag=True, help="Ask the full wave as well; some minutes the first time.")
@json_flag
def sky(
    folder: Path, variant: str | None, out: Path | None, windows: int, *, confirm: bool, as_json: bool
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

        say(json_text(verbs.schema()))
        return ExitCode.HOLDS

    answered(verb)


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


def run() -> NoReturn:
    """The command in a process of its own, which ends with it.

    What is left then goes with the process: to take all of it apart first, as the interpreter does at its
    end, would take a twentieth of a check. One thread is enough for what is multiplied here; a second one
    that waits for more takes time from whoever else needs the processor.
    """
    gc.disable()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    code = main()
    if threading.active_count() == 1:
        atexit._run_exitfuncs()
        with suppress(OSError):
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(code)
    gc.freeze()
    sys.exit(code)


if __name__ == "__main__":
    run()

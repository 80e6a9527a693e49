"""The command ``hutwright``: parse, call the verb, show the answer.

Whatever is slow to load is loaded inside the verbs, so that help comes at once.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from hutwright import __version__
from hutwright.cli.answering import ExitCode, answered, complain, lenient_streams, say, screen_width, waiting
from hutwright.cli.start_options import about_help, with_flags

EPILOG = (
    "Exit codes: 0 all holds, 1 something misses or is undecided, 2 a file or the request is wrong, "
    "3 a fault of hutwright."
)

folder_given = click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
variant_flag = click.option("--variant", metavar="NAME", help="A file of DIR/variants, without .toml.")
full_flag = click.option("--full", is_flag=True, help="Try every lever; two a check otherwise.")
json_flag = click.option("--json", "as_json", is_flag=True, help="Print JSON; docs/json.md describes it.")
trade_flag = click.option(
    "--trade", metavar="NAME", multiple=True, help="Ask this trade only; may be repeated."
)


@click.group(
    name="hutwright",
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
        from hutwright.outputs.contract import contract
        from hutwright.outputs.report import report

        with waiting("checking"):
            tier = Tier.FULL if full else Tier.QUICK
            assessment = verbs.check(folder, trade, variant, tier=tier)
        titles = {each.name: each.title for each in verbs.chosen_trades(trade)}
        say(
            _json(contract(assessment))
            if as_json
            else report(assessment, width=screen_width(), titles=titles)
        )
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
        say(_json(values) if as_json else working(found.verdict, found.described, width=screen_width()))
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
@trade_flag
@json_flag
def compare(folder: Path, variants: tuple[str, ...], trade: tuple[str, ...], *, as_json: bool) -> None:
    """Put variants side by side: what each changes, and the checks that come out differently.

    VARIANT is a file of DIR/variants, without .toml; all where none is named.
    """

    def verb() -> ExitCode:
        from hutwright import app as verbs
        from hutwright.outputs.comparison import comparison_text, comparison_values

        with waiting("comparing"):
            found = verbs.compare(folder, variants, trade)
        say(_json(comparison_values(found)) if as_json else comparison_text(found, width=screen_width()))
        return _code(short=found.short)

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
    *,
    svg: bool,
    listed: bool,
    as_json: bool,
) -> None:
    """Play the door with its real controller: whole cycles, obstacles, faults; force against time."""

    def verb() -> ExitCode:
        from hutwright.cli.rehearsing import Asked, list_scenarios, play

        asked = Asked(folder, scenario, variant, runs, seed, plots, svg=svg, as_json=as_json)
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
@folder_given
@variant_flag
@click.option(
    "--broker",
    metavar="HOST[:PORT]",
    default="localhost",
    help="MQTT broker; this computer's by default.",
)
@click.option("--serial", "port", metavar="PATH", help="Serial port of the board; the only one by default.")
@click.option("--baud", metavar="N", type=click.IntRange(min=1200), default=57600, help="Its speed.")
@click.option(
    "--user", metavar="NAME", help="For the broker; its password is read from HUTWRIGHT_BROKER_PASSWORD."
)
@click.option(
    "--tls-ca",
    "authority",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Encrypt; trust these certificates only.",
)
@click.option(
    "--oldest",
    metavar="S",
    type=click.FloatRange(1, 60),
    default=10.0,
    help="Refuse commands older than this.",
)
@click.option("--tls", is_flag=True, help="Encrypt the way to the broker.")
@click.option("--list", "listed", is_flag=True, help="Print the serial ports and stop.")
def relay(
    folder: Path,
    variant: str | None,
    broker: str,
    port: str | None,
    baud: int,
    user: str | None,
    authority: Path | None,
    oldest: float,
    *,
    tls: bool,
    listed: bool,
) -> None:
    """Let a home system ask for open, close, stop, start, and see the state (MQTT); docs/relay.md."""

    def verb() -> ExitCode:
        from hutwright.cli.relaying import Asked, carry, list_ports

        if listed:
            return list_ports()
        return carry(
            Asked(
                folder=folder,
                variant=variant,
                broker=broker,
                port=port,
                baud=baud,
                user=user,
                authority=authority,
                oldest=oldest,
                tls=tls,
            )
        )

    answered(verb)


@app.command()
@folder_given
@variant_flag
@click.option(
    "--out",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    required=True,
    help="Where it is written; what somebody else put there, or changed, stays.",
)
@click.option("--load", "port", metavar="PORT", help="Put it on the board at this serial port, by avrdude.")
@click.option(
    "--programmer",
    metavar="TYPE",
    default="stk500v1",
    show_default=True,
    help="What the board's loader speaks, as avrdude calls it.",
)
@click.option(
    "--speed",
    metavar="N",
    type=click.IntRange(min=300),
    default=115200,
    show_default=True,
    help="Bits a second of the loader.",
)
@json_flag
def firmware(
    folder: Path,
    variant: str | None,
    out: Path,
    port: str | None,
    programmer: str,
    speed: int,
    *,
    as_json: bool,
) -> None:
    """Write the controller's program for the board: sources, settings, image, wiring, table test."""

    def verb() -> ExitCode:
        from hutwright.cli.firmware import Asked, make
        from hutwright.live.loading import Port

        at = None if port is None else Port(name=port, programmer=programmer, speed=speed)
        return make(Asked(folder, variant, out, at, as_json=as_json))

    answered(verb)


@app.command()
@folder_given
@variant_flag
@click.option("--port", metavar="PORT", help="Serial port of the board; the only one by default.")
@click.option("--simulated", is_flag=True, help="Watch the described hut as a simulated board instead.")
@click.option(
    "--settings",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="What the board is set to (settings.lines); the described settings by default.",
)
@click.option(
    "--send", is_flag=True, help="Give the board those settings first; refused while the door moves."
)
@click.option("--ring", is_flag=True, help="Fetch what the board has kept of its latest moves.")
@click.option("--moves", metavar="N", type=click.IntRange(min=1), help="End after so many moves.")
@click.option(
    "--pace",
    metavar="N",
    type=click.FloatRange(1, 20),
    default=1.0,
    help="How much quicker than the clock the simulated board lives.",
)
@click.option("--json", "as_json", is_flag=True, help="Print a line of JSON for each thing that happens.")
def watch(
    folder: Path,
    variant: str | None,
    port: str | None,
    settings: Path | None,
    moves: int | None,
    pace: float,
    *,
    simulated: bool,
    send: bool,
    ring: bool,
    as_json: bool,
) -> None:
    """Watch the board live: record each move, compare it, say when the door drifts; docs/watch.md."""

    def verb() -> ExitCode:
        from hutwright.cli.watching import Asked, watch_board

        return watch_board(
            Asked(
                folder=folder,
                variant=variant,
                port=port,
                settings=settings,
                moves=moves,
                pace=pace,
                simulated=simulated,
                send=send,
                ring=ring,
                as_json=as_json,
            )
        )

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
@folder_given
@click.option("--about", metavar="WHAT", help=about_help())
@click.option("--yes", "-y", is_flag=True, help="Ask nothing; guess what no flag says.")
@with_flags
def start(folder: Path, about: str | None, *, yes: bool, **flags: str | None) -> None:
    """Begin a project: a few everyday questions, then a small description that can be checked at once.

    DIR is the folder to begin in; made where it is missing.
    """

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

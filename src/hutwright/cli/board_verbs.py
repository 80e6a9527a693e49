"""The verbs about board and moves: its program, what recorded moves tell, watching it, asking from afar."""

from __future__ import annotations

from pathlib import Path

import click

from hutwright.cli.answering import ExitCode, answered
from hutwright.cli.options import folder_given, json_flag, variant_flag


@click.command()
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

    answered(verb, lasting=True)


@click.command()
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


@click.command()
@folder_given
@click.argument("traces", nargs=-1, type=click.Path(path_type=Path))
@variant_flag
@click.option(
    "--obstructed",
    metavar="TRACES",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Moves with something in the way, a file or folder; they verify, and set nothing.",
)
@click.option(
    "--force-trials",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Trials with a household scale and a block of foam, beside the simulation; docs/calibrate.md.",
)
@click.option(
    "--out",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Write the report with its pictures there, and the settings where they are offered.",
)
@json_flag
def calibrate(
    folder: Path,
    traces: tuple[Path, ...],
    variant: str | None,
    obstructed: tuple[Path, ...],
    force_trials: Path | None,
    out: Path | None,
    *,
    as_json: bool,
) -> None:
    """Set the reversal from recorded moves; without any, say how long recording takes.

    TRACES are files or folders of moves with nothing in the way.
    """

    def verb() -> ExitCode:
        from hutwright.cli.calibrate import Asked, set_reversal

        return set_reversal(Asked(folder, traces, obstructed, force_trials, variant, out, as_json=as_json))

    answered(verb)


@click.command()
@folder_given
@click.argument("traces", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--inrush",
    "starts",
    metavar="TRACES",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Moves at a plain switch with a quickly recorded start, a file or folder; one way will do.",
)
@click.option("--write", is_flag=True, help="Change hut.toml; its comments and order stay.")
@json_flag
def identify(
    folder: Path, traces: tuple[Path, ...], starts: tuple[Path, ...], *, write: bool, as_json: bool
) -> None:
    """Tell motor, friction and supply from recorded moves, and offer them as a change of hut.toml.

    TRACES are files or folders of moves both ways with nothing in the way; docs/traces.md.
    """

    def verb() -> ExitCode:
        from hutwright.cli.identifying import Asked, tell

        return tell(Asked(folder, traces, starts, write=write, as_json=as_json))

    answered(verb)


@click.command()
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
@click.option("--read", is_flag=True, help="Ask the board first what it is set to, and compare.")
@click.option("--ring", is_flag=True, help="Fetch what the board has kept of its latest moves.")
@click.option("--moves", metavar="N", type=click.IntRange(min=1), help="End after so many moves.")
@click.option(
    "--pace",
    metavar="N",
    type=click.FloatRange(1, 100),
    default=1.0,
    help="How much quicker than the clock the simulated board lives.",
)
@click.option(
    "--air",
    metavar="LOW HIGH",
    type=click.FloatRange(-40, 60),
    nargs=2,
    default=(10.0, 25.0),
    help="Between which temperatures [degC] the simulated door's moves are made.",
)
@click.option("--json", "as_json", is_flag=True, help="Print a line of JSON for each thing that happens.")
def watch(
    folder: Path,
    variant: str | None,
    port: str | None,
    settings: Path | None,
    moves: int | None,
    pace: float,
    air: tuple[float, float],
    *,
    simulated: bool,
    send: bool,
    read: bool,
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
                air=air,
                simulated=simulated,
                send=send,
                read=read,
                ring=ring,
                as_json=as_json,
            )
        )

    answered(verb, lasting=True)

"""What a builder reads beside the firmware: the wiring table, the test on the table, and what to do first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hutwright import units
from hutwright.catalogue.bridges import BRIDGES, BridgeType
from hutwright.catalogue.tables import BROWN_OUT_OFF
from hutwright.model.project import Project
from hutwright.native.words import Ends, Refusal
from hutwright.outputs.phrasing import listed
from hutwright.outputs.rehearsal import cautions_of
from hutwright.studies.firmware_plan import FIXED, LAMP, FirmwarePlan

Row = tuple[str, str, str, str, str]
HEAD: Row = ("pin", "wire", "from", "to", "note")
CONTACT = "closes to minus; the board pulls the line up by itself"
BROKEN = "opens when {}, so that a broken wire counts as that; the board pulls the line up by itself"
# What goes to a line of the board: wire, from, to, note.
LEAVE = "5 V while open and at rest, 20 mA at most; 10 kohm to minus keeps it low while the board starts"
PULSE = "a pulse of 5 V, 20 times a second"
CONTACTS = {
    "MAY_LEAVE": ("may leave", "board", "the machine's or dock's input", LEAVE),
    "LIMIT_SHUT": ("limit, shut", "switch at shut", "board", CONTACT),
    "LIMIT_OPEN": ("limit, open", "switch at fully open", "board", CONTACT),
    "BUTTON": ("button", "button", "board", CONTACT),
    "RELAY": ("relay contact", "relay contact", "board", f"{CONTACT}; made opens, let go closes"),
    "SENSOR": ("sensor of the machine", "sensor in front of the machine", "board", CONTACT),
    "BEAM": ("beam", "beam's contact", "board", BROKEN.format("the beam is broken")),
    "EDGE": ("pressure edge", "edge's contact", "board", BROKEN.format("the edge is pressed")),
    "PING": ("present sensor, trigger", "board", "pulse-echo sensor, trigger", PULSE),
}  # fmt: skip


def _page(title: str, parts: Iterable[Iterable[str]]) -> str:
    lines = [f"# {title}"]
    for part in parts:
        body = list(part)
        if body:
            lines += ["", *body]
    return "\n".join(lines) + "\n"


def _table(rows: Iterable[Row]) -> Iterator[str]:
    for row in (HEAD, ("---",) * len(HEAD), *rows):
        yield f"| {' | '.join(row)} |"


# ---- wiring ----------------------------------------------------------------------------------------------


def wiring_table(plan: FirmwarePlan) -> str:
    """``WIRING.md``: every pin of the board with its wire, from where to where, and what to mind.

    Parameters
    ----------
    plan : FirmwarePlan
        The board.
    """
    rows = sorted(_rows(plan), key=lambda row: row[0])
    return _page(
        f"Wiring of the board: {plan.described.project.name}",
        (
            [
                "As this firmware was built; `hutwright wiring` has the cables, fuses and regulators. Take "
                "the fuses out, or unplug the supply, before a wire is moved."
            ],
            _table(rows),
            ["Pins that are not listed stay empty. One minus for board, bridge, sensors and contacts."],
        ),
    )


def _rows(plan: FirmwarePlan) -> Iterator[Row]:
    yield from _bridge(plan)
    yield from _analogue(plan)
    for name, (port, bit) in plan.board.pins.items():
        if name not in plan.fitted or name.startswith("ENABLE"):
            continue
        wire, start, end, note = _echo(plan) if name == "ECHO" else CONTACTS[name]
        if (port, bit) == LAMP:
            note += (
                "; take out the board's own lamp on this pin, which pulls the line down and blinks on loading"
            )
        yield f"P{port}{bit}", wire, start, end, note
    yield FIXED["link.receive"], "serial line, in", "far end, transmit", "board", "57600 bits a second, 5 V"
    yield (
        FIXED["link.transmit"],
        "serial line, out",
        "board",
        "far end, receive",
        "free while a program is loaded by the line",
    )
    if plan.board.display:
        address = f"expander at address 0x{plan.board.display_address:02X}"
        yield FIXED["display.data"], "display, data", "board", "display's expander", address
        yield FIXED["display.clock"], "display, clock", "board", "display's expander", address


def _bridge(plan: FirmwarePlan) -> Iterator[Row]:
    project = plan.described.project
    bridge = project.electronics.bridge if project.electronics is not None else None
    assert bridge is not None  # the plan asked for it
    off = "a resistor of 10 kohm to minus at the bridge keeps it off while the board starts"
    opens, closes = "input 1", "input 2"
    if bridge.paralleled > 1:
        opens, closes = "inputs 1 and 4 together", "inputs 2 and 3 together"
        paired = (
            "outputs 1 and 4 together to one motor wire, 2 and 3 to the other, with leads of equal length"
        )
        off = f"{off}; {paired}"
    elif BRIDGES[bridge.kind].type is BridgeType.FET:
        opens, closes = "input that opens", "input that closes"
    yield FIXED["bridge.open"], "opens", "board", f"bridge, {opens}", f"pulses of 20 kHz; {off}"
    yield FIXED["bridge.close"], "closes", "board", f"bridge, {closes}", "the same"
    for name, which in (("ENABLE_A", "enable"), ("ENABLE_B", "enable of the second channel")):
        if name in plan.fitted:
            port, bit = plan.board.pins[name]
            note = "the second switch-off: take out the bridge's own jumper; 10 kohm to minus here too"
            yield f"P{port}{bit}", which, "board", f"bridge, {which}", note


def _analogue(plan: FirmwarePlan) -> Iterator[Row]:
    project = plan.described.project
    sensor = project.electronics.current_sensor if project.electronics is not None else None
    assert sensor is not None  # the plan asked for it
    upper, lower = (f"{each / 1e3:g} kohm" for each in plan.divider)
    filter_note = "100 nF from the pin to minus"
    yield (
        f"PC{plan.channels['CURRENT']}",
        "motor current",
        f"current sensor ({sensor.kind}) in the {sensor.place.value}",
        "board",
        f"{units.show(sensor.sensitivity, units.VOLTAGE)} an ampere; the sensor on the board's own 5 V",
    )
    yield (
        f"PC{plan.channels['SUPPLY']}",
        "supply",
        "bridge's supply terminal",
        "board",
        f"through {upper}; {lower} and {filter_note}",
    )
    yield (
        f"PC{plan.channels['TEMPERATURE']}",
        "temperature",
        "analogue sensor of 10 mV/K, 0.5 V at 0 °C",
        "board",
        f"at the drive or in the box; {filter_note}",
    )


def _echo(plan: FirmwarePlan) -> tuple[str, str, str, str]:
    near = units.show(plan.board.near, units.LENGTH)
    return (
        "present sensor, echo",
        "pulse-echo sensor, echo",
        "board",
        f"looks across the doorway, whose far side must give an echo; nearer than {near} is something in it",
    )


# ---- the test on the table -------------------------------------------------------------------------------


def table_test(plan: FirmwarePlan) -> str:
    """``TABLE_TEST.md``: what to try before the drive is mounted, and what should be seen.

    Parameters
    ----------
    plan : FirmwarePlan
        The board.
    """
    steps = [
        line
        for number, (do, see) in enumerate(_steps(plan), 1)
        for line in (f"{number}. [ ] {do}", f"   - to be seen: {see}")
    ]
    return _page(
        f"Test on the table: {plan.described.project.name}",
        (
            [
                "Before anything is mounted. The drive lies on a table, pinned to nothing, clamped so that "
                "it cannot crawl away, its rod or belt free over the whole stroke; nobody's hands near it "
                "while the supply is on. The fuse is in. One hand stays at a switch, or plug, in the supply "
                "lead: that is the stop, whatever the board does.",
                "",
                "At the first thing that is seen otherwise: supply off, and go back to WIRING.md. No step is "
                "left out.",
            ],
            _beside(plan),
            steps,
            [
                "What this does not show: forces. They are measured on the finished door, with an "
                "instrument, at the places that local rules name. Keep this sheet with the date and what was "
                "seen."
            ],
        ),
    )


def _beside(plan: FirmwarePlan) -> Iterator[str]:
    """What every step takes for granted."""
    if plan.board.limits:
        yield (
            "- The two limit switches lie beside the drive: press each with a stick, and keep it pressed, "
            "where the leaf would."
        )
    held = units.show(float(plan.settings["clear_ms"]) / 1e3, units.TIME)
    clear = f"hold the button for {held}" if "BUTTON" in plan.fitted else "send the line's `clear`"
    yield (
        "- A fault is m=6; its number is f, as `door_fault` in core/door.h. Look for its reason, then clear "
        f"it: {clear}."
    )


def _steps(plan: FirmwarePlan) -> Iterator[tuple[str, str]]:
    yield from _dead_steps(plan)
    yield from _live_steps(plan)
    yield from _contact_steps(plan)
    yield from _last_steps(plan)


def _dead_steps(plan: FirmwarePlan) -> Iterator[tuple[str, str]]:
    yield (
        f"Supply off, {_fuses(plan)} out: measure from each motor wire to minus, and between plus and minus "
        "at the bridge.",
        "no short anywhere",
    )
    yield (
        "Drive unplugged, the board powered by itself, a terminal on the serial line at 57600 bits a second.",
        f"a line that begins with B; its d is {Refusal.CHECKSUM.value} or {Refusal.VERSION.value} while the "
        "store is empty (nothing can move then), and 0 once the settings have been loaded",
    )
    yield (
        "Load the settings, then reset the board.",
        "B with d=0; then a line T each second with m=5 (stopped) and f=0",
    )


def _fuses(plan: FirmwarePlan) -> str:
    names = list(plan.described.project.fuses)
    return f"{'fuses' if len(names) > 1 else 'fuse'} {listed(names)}" if names else "fuse"


def _live_steps(plan: FirmwarePlan) -> Iterator[tuple[str, str]]:
    settings = plan.settings
    low = units.show(float(settings["start_above_mV"]) / 1e3, units.VOLTAGE)
    yield (
        f"With the {_fuses(plan)} in, supply on, the drive still unplugged; compare with a multimeter.",
        f"u, in mV, within 3 % of the multimeter at the bridge, and above {low}; k, in tenths of a degree, "
        "within 3 degrees of a thermometer; i below 100 mA",
    )
    yield (
        "Reset the board some ten times with the supply on, a lamp in place of the motor.",
        "the lamp never lights",
    )
    yield (
        f"Supply off, plug the drive in, supply on. {_asks(plan, 'open')}",
        "a slow start; the drive moves the way that opens and stops at its end. Where it moves the other "
        "way: supply off, swap the two motor wires, never the pins",
    )
    yield (
        f"{_free(plan)}{_asks(plan, 'close')} {_stops(plan)}",
        "closing begins slowly; it stops in the same moment, m=5, and does not go on by itself",
    )
    yield (
        f"While it moves, pull the {'wires' if plan.board.paralleled else 'wire'} of the bridge's enable.",
        "the drive stops though the pulses go on; put it back with the supply off",
    )
    yield from _without_motor(plan)


def _without_motor(plan: FirmwarePlan) -> Iterator[tuple[str, str]]:
    """The controller must notice that no current flows; where nothing turns the leaf it can."""
    if plan.settings["none_mA"] <= 1:
        return
    inside = plan.settings["ends"] == int(Ends.INSIDE)
    asked = "ask for open, then for close" if inside else "ask for open"
    about = "at the second" if inside else "within the time cap"
    yield (
        f"Supply off, unplug the drive, supply on, {asked}.",
        f"m=6 with f=6 (no current) {about}; nothing moves until the fault is cleared"
        + ("; bit 256 of b (may leave) is never set" if inside else ""),
    )


def _free(plan: FirmwarePlan) -> str:
    """What must be so before the door may close on the table."""
    board = plan.board
    if board.present:
        near = units.show(board.near, units.LENGTH)
        return f"Let the present sensor look at a wall farther than {near}. "
    return "Let the beam be whole. " if board.beam else ""


def _asks(plan: FirmwarePlan, way: str) -> str:
    if "BUTTON" in plan.fitted:
        return f"Press the button for a moment: it is to {way}."
    if "RELAY" in plan.fitted:
        return f"{'Make' if way == 'open' else 'Let go'} the relay's contact."
    return f"Send the line's `{way}`."


def _stops(plan: FirmwarePlan) -> str:
    return (
        "Press again while it moves." if "BUTTON" in plan.fitted else "Send the line's `stop` while it moves."
    )


def _contact_steps(plan: FirmwarePlan) -> Iterator[tuple[str, str]]:
    board = plan.board
    if board.present:
        near = units.show(board.near, units.LENGTH)
        yield (
            f"Hold a board 20 cm before the present sensor, then a wall farther than {near}, then pull its "
            "echo wire.",
            "p is 2 (sees), then 1 (clear) after some echoes, then 3 (failed); with 2 and 3 no closing "
            "begins",
        )
    if board.beam:
        yield (
            "Break the beam with a hand, far from the drive; then pull its wire.",
            "both times b goes up by 32, and no closing begins",
        )
    if board.edge:
        yield "Press the edge; then pull its wire.", "both times b goes up by 64, and no closing begins"
    if board.present or board.beam:
        yield (
            f"Ask for close, and {'break the beam' if plan.board.beam else 'hold a board before the sensor'} "
            "while it closes.",
            "it stops, waits a moment, opens fully and stays open",
        )
    if board.limits:
        yield (
            "Press each limit switch by hand with a stick while the drive moves towards its end.",
            "the drive stops in that moment; both pressed at once: m=6, f=2",
        )
    elif plan.settings["ends"] == int(Ends.INSIDE):
        yield (
            "Let it run to both ends, twice.",
            "it stops at the drive's own switches; m=2 at open, m=0 at shut, f=0",
        )
    if board.display:
        yield (
            "Look at the display during all this.",
            "the state in words, and a number that is 00 or the reason",
        )


def _last_steps(plan: FirmwarePlan) -> Iterator[tuple[str, str]]:
    stop = units.show(float(plan.settings["stop_below_mV"]) / 1e3, units.VOLTAGE)
    yield (
        "While it moves, switch the supply off and on again.",
        "nothing moves by itself; the next move is slow throughout",
    )
    yield (
        f"With a bench supply: turn it down below {stop} while it moves.",
        "the drive stops; turned up again, nothing moves until it is asked to",
    )
    if plan.remote:
        lost = units.show(float(plan.settings["link_lost_ms"]) / 1e3, units.TIME)
        yield (
            f"Pull the serial line for longer than {lost}, at rest and in a move.",
            "nothing begins by itself; the button still stops"
            if "BUTTON" in plan.fitted
            else "nothing begins by itself",
        )
    yield (
        "Only now mount the drive, with the supply off; then the first moves slowly, with nobody in the "
        "doorway, a hand at the stop.",
        "the same as on the table",
    )


# ---- read me ---------------------------------------------------------------------------------------------


def read_me(plan: FirmwarePlan, *, image: str) -> str:
    """``README.md``: what lies in the folder, how to build and load it, and the cautions.

    Parameters
    ----------
    plan : FirmwarePlan
        The board.
    image : str
        A sentence on the image that was built, or on what is missing to build it.
    """
    project = plan.described.project
    return _page(
        f"Firmware of {project.name}",
        (
            [
                "Written by `hutwright firmware` from the description of the hut. The files below `core` are "
                "the very ones that `hutwright rehearse` plays; change the description and write the folder "
                "again rather than these."
            ],
            [
                "| file | what it is |",
                "| --- | --- |",
                "| `core/` | the door's logic; `core/door.h` is its manual |",
                "| `boards/` | what the board reads and drives |",
                "| `board_config.h` | pins and scales of this hut, each with where it comes from |",
                "| `store.bin` | the settings as the board keeps them, for its 1 KiB that stays without "
                "power |",
                "| `settings.lines` | the same settings as lines to send over the serial line |",
                "| `SETTINGS.md` | the same settings to be read |",
                "| `WIRING.md` | which wire goes to which pin |",
                "| `TABLE_TEST.md` | what to try before the drive is mounted |",
                "| `firmware.hex`, `firmware.elf` | the image that is loaded, and the same with its names |",
                "| `Makefile` | `make`, `make size`, `make load PORT=...`, `make store PORT=...` |",
                "| `manifest.sha256` | what was written here; `sha256sum -c` compares |",
            ],
            ["## Build and load", "", image],
            _loading(project),
            [
                "## In this order",
                "",
                "1. WIRING.md, with the fuses out.",
                "2. TABLE_TEST.md, with the drive on a table.",
                "3. Mount, and measure the door's forces with an instrument.",
            ],
            ["## Cautions", "", *(f"- {each}" for each in _cautions(plan))],
        ),
    )


def _loading(project: Project) -> Iterator[str]:
    board = project.electronics.board if project.electronics is not None else None
    level = board.brown_out if board is not None else ""
    yield (
        "`make load PORT=...` puts the program on the board through the loader that most boards carry, with "
        "`avrdude`. Most of those loaders do not reach the store: the settings go in by a programmer at the "
        "board's programming pins (`make store PORT=... PROGRAMMER=...`), or by sending the lines of "
        "`settings.lines` over the serial line at 57600 bits a second, each a fifth of a second after the "
        "answer `A` with r=0 to the one before. `hutwright firmware ... --load PORT` does both. Without "
        "settings nothing moves. `store.bin` also empties the kept counters and summaries; the lines leave "
        "them."
    )
    yield ""
    says = f"resets below {level}" if level != BROWN_OUT_OFF else "does not reset where its supply sags"
    yield (
        f"The description says that the board {says}. That is set with a programmer, not by this firmware: "
        "look at it, since many boards come with a low level or none."
    )


def _cautions(plan: FirmwarePlan) -> Iterator[str]:
    yield (
        "A motor that a new program drives may move at once and the wrong way: unpin it from the leaf, put "
        "the fuse in, keep a hand at the supply's switch, and go through TABLE_TEST.md after every load."
    )
    yield "Unplug the motor's supply while a program is loaded."
    yield from cautions_of(plan.described)

"""The first description of a project: a small commented text, made of everyday answers."""

from __future__ import annotations

from collections.abc import Iterable

import tomlkit

from hutwright import units
from hutwright.description.question import About
from hutwright.description.question_list import BRIDGE_BOARD, OWN_LINEAR, OWN_SWITCHING
from hutwright.description.questions import Answers, question_of, questions_for

OVERLAP = 0.02  # by which a leaf covers its hole on every side: a choice of this project [m]
SILL = 0.03  # of the hole above the floor, until it is measured [m]
LEFT = 0.10  # of the hole from the hut's left outer corner, until it is measured [m]
LONGITUDE = "10 deg"  # until it is looked up; a day's readiness hardly depends on it
BEHIND = 0.03  # of the leaf: where the rod's pin sits, until it is measured [m]
LAYERS = {  # of walls and roofs as they are called in everyday words, outside first
    "boards": ("22 mm softwood boards",),
    "boards with foil": ("0.05 mm aluminium foil", "22 mm softwood boards"),
    "sheet metal": ("0.6 mm steel sheet",),
    "clear sheet": ("5 mm polycarbonate",),
}
GUESS = "a guess: measure it or look it up"

_HEAD = """\
# Written by 'hutwright start'. Change it with any editor and ask again with 'hutwright check'.
# Quantities are texts with a unit: "0.80 m", "12 V". Where you are unsure, write a range: "35..45 N",
# "40 N +- 10 N" or "40 N +- 25 %". What is left out is assumed, and `hutwright check` says what was taken.
# The decimal sign is a point. `hutwright schema` lists every key.
"""
_REGULATORS = {
    BRIDGE_BOARD: ("linear 5 V 0.5 A", "bridge", "sits on the bridge's own module"),
    OWN_LINEAR: ("linear 5 V 1 A", "source", "a regulator of its own"),
    OWN_SWITCHING: ("switching 5 V 3 A", "source", "a module of its own"),
}


def draft(answers: Answers) -> str:
    """The text of a first description.

    Parameters
    ----------
    answers : Answers
        What the builder said.

    Returns
    -------
    str
        A description that can be checked at once. What the builder does not know is left out, or stands as a
        range that is marked as a guess where nothing can be left out.
    """
    writer = _Writer(answers)
    about = answers.about
    parts = [_HEAD, f"format = 1\nname = {writer.text('name')}\n", _site(writer)]
    if about in (About.ELECTRONICS, About.EVERYTHING):
        parts += [_power(writer), _electronics(writer)]
    if about in (About.DOOR, About.ELECTRONICS, About.EVERYTHING):
        parts.append(_drive(writer))
    if about in (About.DOOR, About.EVERYTHING):
        parts.append(_door(writer))
    if about is About.DOOR:
        parts.append(_rod(writer))
    if about in (About.MACHINE, About.SIGNAL, About.EVERYTHING):
        parts.append(_machine(writer))
    if about is About.MACHINE:
        parts.append(_hut(writer))
    if about in (About.SIGNAL, About.EVERYTHING):
        parts.append(_network(writer))
    return "\n".join(parts)


def fields_at(paths: Iterable[str], about: About) -> tuple[str, ...]:
    """Keys of the questions whose answers stand at or above some addresses of the file."""
    wanted = tuple(paths)
    return tuple(
        question.key
        for question in questions_for(about)
        if any(f"{path}.".startswith(f"{question.path}.") for path in wanted)
    )


class _Writer:
    """Spells answers, and guesses in their place."""

    def __init__(self, answers: Answers) -> None:
        self.answers = answers

    def knows(self, key: str) -> bool:
        """Whether the builder answered."""
        return key in self.answers.given

    def value(self, key: str) -> str:
        """The answer, else the guess."""
        return self.answers.given.get(key) or question_of(key).guess

    def text(self, key: str) -> str:
        """The same in quotes, as the file spells it."""
        return quoted(self.value(key))

    def guesses(self, *keys: str) -> str:
        """A remark that says which keys of a line are guessed."""
        own = [key for key in keys if not self.knows(key) and question_of(key).guess]
        names = ", ".join(question_of(key).path.rpartition(".")[2] for key in own)
        return f"  # {f'{names}: ' if len(keys) > 1 else ''}{GUESS}" if own else ""

    def line(self, name: str, key: str) -> str:
        """One line of a table; empty where nothing can be said."""
        return f"{name} = {self.text(key)}{self.guesses(key)}\n" if self.value(key) else ""

    def from_line(self, base: float, sign: float, key: str) -> str:
        """A place that lies so far from a line, as the file spells it, with the range of the answer."""
        read = units.read(self.value(key), units.LENGTH)
        ends = sorted(base + sign * each for each in (read.low, read.high))
        if read.low == read.high:
            return metres(ends[0])
        low, high = (units.write_as(each, units.LENGTH, "m") for each in ends)
        return quoted(f"{low.removesuffix(' m')}..{high}")

    def length(self, key: str) -> float:
        """The nominal value of an answer that is a length, in metres."""
        return units.read(self.value(key), units.LENGTH).nominal


def quoted(text: str) -> str:
    """A text as the file spells it."""
    return tomlkit.string(text).as_string()


def metres(value: float) -> str:
    """A length as the file spells it."""
    return quoted(units.write_as(value, units.LENGTH, "m"))


def _site(w: _Writer) -> str:
    air = '# air = { coldest = "-18 degC", warmest = "36 degC" }  # take the mark away and write your own\n'
    if w.answers.about is not About.MACHINE:
        return f"[site]\n{air}"
    place = f"latitude = {w.text('latitude')}, longitude = {quoted(LONGITUDE)}"
    return f"[site]\nplace = {{ {place} }}{w.guesses('latitude')}\n{air}"


def _power(w: _Writer) -> str:
    fused = w.knows("fuse")
    rows = ["[supplies.source]", w.line("kind", "supply").rstrip()]
    if w.knows("volts"):
        rows.append(f"voltage = {w.text('volts')}")
    if fused:
        rows += ["", "[fuses.main]", 'kind = "blade, ISO 8820-3 type C"', f"rating = {w.text('fuse')}"]
    rows += [
        "",
        "[cables.feed]                                  # from, to; the length is one way",
        'from = "source"',
        'to = "bridge"',
        *(['fuse = "main"'] if fused else []),
        w.line("core", "core").rstrip(),
        w.line("length", "cable_length").rstrip(),
        "",
        "[cables.motor]",
        'from = "bridge"',
        'to = "drive"',
        f"core = {w.text('core')}  # taken to be the same core",
        w.line("length", "motor_cable").rstrip(),
    ]
    return "\n".join(rows) + "\n"


def _electronics(w: _Writer) -> str:
    kind, fed_by, words = _REGULATORS[w.value("logic_from")]
    return "\n".join(
        [
            f"[regulators.logic_5v]                          # {words}",
            f"kind = {quoted(kind)}{w.guesses('logic_from')}",
            f"fed_by = {quoted(fed_by)}",
            "",
            "[electronics]",
            f"bridge = {{ kind = {w.text('bridge')} }}{w.guesses('bridge')}",
            'logic = { fed_by = "logic_5v" }',
            'board = { kind = "8-bit AVR, 5 V, 16 MHz" }',
            "",
        ]
    )


def _drive(w: _Writer) -> str:
    rows = ["[drive.rating]                                 # what the drive's listing promises"]
    named = {
        "voltage": "drive_volts",
        "force": "drive_force",
        "speed": "drive_speed",
        "current": "drive_current",
    }
    rows += [w.line(name, key).rstrip() for name, key in named.items()]
    if w.knows("drive_stall"):
        rows += ["", "[drive.stall]", f"current = {w.text('drive_stall')}"]
    return "\n".join(rows) + "\n"


def _hole(w: _Writer) -> tuple[float, float]:
    """Width and height of the hole behind the leaf, as guessed [m]."""
    width, height = w.length("door_width"), w.length("door_height")
    return max(width - 2 * OVERLAP, width / 2), max(height - 2 * OVERLAP, height / 2)


def _hinge_line(kind: str, hole: tuple[float, float]) -> tuple[str, float]:
    """The axis along which a hinge line lies somewhere, and where [m]."""
    return {
        "top_hinged": ("z", SILL + hole[1] + OVERLAP),
        "bottom_hinged": ("z", SILL),
        "left_hinged": ("x", LEFT),
        "right_hinged": ("x", LEFT + hole[0]),
    }[kind]


def _door(w: _Writer) -> str:
    kind, width, height = w.value("door_kind"), w.length("door_width"), w.length("door_height")
    hole = _hole(w)
    rows = [
        "[build_ups]                                    # outside first: thickness, then a material",
        f'leaf = ["15 mm plywood"]                       # {GUESS}',
        "",
        "[door]",
        "# Seen from outside: x to the right, y into the hut, z up, from the left outer corner, floor.",
        f"kind = {w.text('door_kind')}{w.guesses('door_kind')}",
        f"opening = {{ left = {metres(LEFT)}, sill = {metres(SILL)}, width = {metres(hole[0])}, "
        f"height = {metres(hole[1])} }}  # {GUESS}",
        f"leaf = {{ width = {w.text('door_width')}, height = {w.text('door_height')}, "
        f'build_up = "leaf" }}{w.guesses("door_width", "door_height")}',
    ]
    if kind == "lift":
        rows.append(f"track = {{ travel = {metres(height)} }}  # {GUESS}")
    elif kind == "sliding":
        rows.append(f"track = {{ travel = {metres(width)} }}  # {GUESS}")
    else:
        axis, place = _hinge_line(kind, hole)
        rows += [f"hinge = {{ {axis} = {metres(place)} }}  # {GUESS}", 'open_angle = "80..90 deg"']
    return "\n".join(rows) + "\n"


def _rod(w: _Writer) -> str:
    kind, hole = w.value("door_kind"), _hole(w)
    length = w.line("shortest", "rod_shortest") + w.line("stroke", "rod_stroke")
    rows = f"[drive.length]                                 # between the pins\n{length}\n[linkage]\n"
    if kind in ("lift", "sliding"):
        return f'{rows}kind = "direct"\n'
    across, up = metres(LEFT + hole[0] / 2), metres(SILL + hole[1] / 2)
    axis, base = _hinge_line(kind, hole)
    sign = -1.0 if kind in ("top_hinged", "right_hinged") else 1.0
    head, foot = (w.from_line(base, sign, key) for key in ("head_along", "foot_along"))
    pins = [(head, metres(BEHIND), "head_along"), (foot, w.text("foot_deep"), "foot_along")]
    for name, (along, deep, key) in zip(("head", "foot"), pins, strict=True):
        x, z = (across, along) if axis == "z" else (along, up)
        remark = w.guesses(key) or ("" if name == "head" else w.guesses("foot_deep"))
        rows += f"{name} = {{ x = {x}, y = {deep}, z = {z} }}{remark}\n"
    return rows


def _hut(w: _Writer) -> str:
    inside = ", ".join(f"{name} = {w.text(f'hut_{name}')}" for name in ("width", "depth", "front", "back"))
    wall, roof = (", ".join(map(quoted, LAYERS[w.value(key)])) for key in ("walls", "roof"))
    middle = (w.length("hut_width") / 2, w.length("hut_depth") / 2)
    guessed = w.guesses("hut_width", "hut_depth", "hut_front", "hut_back")
    return "\n".join(
        [
            "[machine.parked]                               # its middle",
            f"x = {metres(middle[0])}  # {GUESS}",
            f"y = {metres(middle[1])}  # {GUESS}",
            "",
            "[hut]",
            f"facing = {w.text('hut_facing')}{w.guesses('hut_facing')}",
            f"inside = {{ {inside} }}{guessed}",
            f'roof = {{ form = "mono_pitch", high = "front", build_up = "roof" }}  # {GUESS}',
            f'walls = {{ build_up = "wall", moisture = {w.text("wet")} }}{w.guesses("wet")}',
            "",
            "[build_ups]                                    # outside first: thickness, then a material",
            f"wall = [{wall}]  # thickness: {GUESS}",
            f"roof = [{roof}]  # thickness: {GUESS}",
            "",
        ]
    )


def _machine(w: _Writer) -> str:
    named = {"length": "machine_length", "width": "machine_width", "height": "machine_height"}
    body = "[machine.body]\n" + "".join(w.line(name, key) for name, key in named.items())
    if w.answers.about is About.SIGNAL:
        return body
    antenna = (
        f'\n[machine.antenna]\nup = "0.2..0.35 m"  # {GUESS}\n\n[machine.receiver]\n\n[machine.start_rule]\n'
    )
    return body + antenna


def _network(w: _Writer) -> str:
    bands = ["2.4 GHz", "5 GHz"] if w.value("band") == "both" else [w.value("band")]
    listed = ", ".join(quoted(band) for band in bands)
    return f"[machine.radio]\n\n[network]\nbands = [{listed}]{w.guesses('band')}\n"

"""Descriptions with one mistake each: what is changed in a sound one, where the fault lies, what it says."""

from __future__ import annotations

from dataclasses import dataclass

BASE = """\
format = 1
name = "Test hut"

[site]
place = { latitude = "51.2 deg", longitude = "9.7 deg", elevation = "210 m" }
wind = { basic = "24 m/s", terrain = "II" }
air = { coldest = "-18 degC", warmest = "36 degC" }
skyline = [["0 deg", "8 deg"], ["90 deg", "22 deg"]]
reach = ["adults", "children"]

[hut]
facing = "175 deg"
inside = { width = "0.90 m", depth = "1.10 m", front = "0.76 m", back = "0.64 m" }
roof = { form = "mono_pitch", high = "front", build_up = "roof", overhang = "0.08 m" }
walls = { build_up = "wall" }

[build_ups]
wall = ["22 mm softwood boards"]
roof = ["0.6 mm steel sheet", "18 mm plywood"]
leaf = ["15 mm plywood"]

[members]
rafters = { section = ["45 mm", "70 mm"], at = ["0.03 m", "0.47 m", "0.91 m"] }

[openings.window]
place = { face = "roof", from_left = "0.10 m", from_low_edge = "0.45 m" }
size = { width = "0.30 m", length = "0.40 m" }
pane = { material = "polycarbonate", thickness = "5 mm" }

[openings.vent]
place = { face = "back", from_left = "0.40 m", from_low_edge = "0.50 m" }
size = { width = "0.15 m", length = "0.05 m" }
screen = 0.5

[door]
kind = "top_hinged"
opening = { left = "0.12 m", sill = "0.03 m", width = "0.70 m", height = "0.52 m" }
leaf = { width = "0.74 m", height = "0.56 m", build_up = "leaf" }
hinge = { z = "0.57 m" }
open_angle = "82 deg"
seal = { force = "30..60 N", over = "12 mm" }
ice = "60 N"

[linkage]
foot = { x = "0.47 m", y = "0.46 m", z = "0.27 m" }
head = { x = "0.47 m", y = "0.03 m", z = "0.35 m" }

[drive]
length = { shortest = "0.425 m", stroke = "300 mm" }
rating = { voltage = "12 V", force = "300 N", speed = "22 mm/s", current = "2.6 A", duty = "25 %" }
no_load = { speed = "30 mm/s", current = "0.8 A" }
stall = { current = "7.5 A" }
screw = { lead = "3 mm", self_locking = true }

[supplies]
battery = { kind = "lead-acid 12 V", capacity = "18 Ah" }

[fuses]
main = { kind = "blade, ISO 8820-3 type C", rating = "5 A" }

[cables]
feed = { from = "battery", to = "bridge", fuse = "main", core = "0.75 mm2 class 5", length = "6 m" }
motor = { from = "bridge", to = "drive", core = "0.75 mm2 class 5", length = "1.8 m" }

[regulators.five]
kind = "linear 5 V 0.5 A"
fed_by = "bridge"

[electronics]
bridge = { kind = "dual bipolar", paralleled = 2 }
logic = { fed_by = "five", load = "70 mA" }
board = { kind = "8-bit AVR, 5 V, 16 MHz" }

[controller]
detection = { trip = "3.2 A", after = "40 ms" }
speed = { normal = 1.0, last = 0.5 }
commands = ["button"]

[machine]
body = { length = "0.72 m", width = "0.55 m", height = "0.29 m", mass = "14 kg" }
parked = { x = "0.47 m", y = "0.62 m" }
start_rule = { satellites = 10, pdop = 3.0, share_of_day = "95 %" }

[network]
bands = ["2.4 GHz"]

[box]
inside = { width = "180 mm", height = "130 mm", depth = "60 mm" }
holds = { board = ["70 mm", "55 mm", "20 mm"] }

[limits]
"door.opening_time" = "16 s"

[allow]
"cables.feed.core" = ["0.75 mm2 class 5", "1.5 mm2 class 5"]

[measured]
"door.ice" = "luggage scale at the edge, January"
"""


@dataclass(frozen=True)
class Case:
    """One mistake.

    Attributes
    ----------
    name : str
        What is wrong.
    old : str
        What is replaced in `BASE`.
    new : str
        What stands there instead.
    path : str
        Address that is blamed.
    words : tuple of str
        What the sentence says.
    at : str
        Stands in the blamed line; "" for the first line of `new`, or the place of `old` where it is empty.
    """

    name: str
    old: str
    new: str
    path: str
    words: tuple[str, ...]
    at: str = ""

    @property
    def text(self) -> str:
        """The description with the mistake."""
        assert BASE.count(self.old) == 1, f"{self.old!r} does not stand exactly once in the base"
        return BASE.replace(self.old, self.new)

    @property
    def line(self) -> int:
        """The line that is to be blamed."""
        text = self.text
        if self.at:
            assert text.count(self.at) == 1, f"{self.at!r} does not stand exactly once in the text"
            return text[: text.index(self.at)].count("\n") + 1
        return BASE[: BASE.index(self.old)].count("\n") + 1


def value(name: str, old: str, new: str, path: str, *words: str, at: str = "") -> Case:
    """A mistake inside one line."""
    return Case(name, old, new, path, words, at)


def added(name: str, header: str, line: str, path: str, *words: str, at: str = "") -> Case:
    """A line more below a header."""
    return Case(name, f"{header}\n", f"{header}\n{line}\n", path, words, at or line)


QUANTITIES = (
    value("a wrong unit", 'ice = "60 N"', 'ice = "60 kg"', "door.ice", "'60 kg'", "force", "unit of mass"),
    value("no unit", 'ice = "60 N"', 'ice = "60"', "door.ice", "no unit", "'60 N'"),
    value("a bare number for a quantity", 'ice = "60 N"', "ice = 60", "door.ice", "read 60", '"60 N"'),
    value("a bare fraction", '"82 deg"', "82.5", "door.open_angle", "read 82.5", "in quotes", '"82.5 deg"'),
    value("a truth for a quantity", 'ice = "60 N"', "ice = true", "door.ice", "read true", "force in quotes"),
    value("a date for a quantity", 'ice = "60 N"', "ice = 2024-05-03", "door.ice", "2024-05-03", "force"),
    value("a list for a quantity", 'ice = "60 N"', 'ice = ["60 N"]', "door.ice", "a list of 1", "force"),
    value("a table for a quantity", 'ice = "60 N"', 'ice = { f = "60 N" }', "door.ice", "a table", "force"),
    value(
        "a decimal comma in quotes",
        '"0.47 m", y = "0.46 m"',
        '"0,47 m", y = "0.46 m"',
        "linkage.foot.x",
        "'0,47 m'",
        "comma",
        "'0.47 m'",
    ),
    value(
        "a decimal comma without quotes",
        "screen = 0.5",
        "screen = 0,5",
        "openings.vent.screen",
        "0,5",
        "decimal point",
        "write 0.5",
    ),
    value(
        "a quantity without quotes", 'ice = "60 N"', "ice = 60 N", "door.ice", "quantity in quotes", '"60 N"'
    ),
    value("nan in quotes", 'ice = "60 N"', 'ice = "nan N"', "door.ice", "finite"),
    value("nan without quotes", "screen = 0.5", "screen = nan", "openings.vent.screen", "nan", "finite"),
    value("inf in quotes", 'ice = "60 N"', 'ice = "inf N"', "door.ice", "finite"),
    value("inf without quotes", "pdop = 3.0", "pdop = -inf", "machine.start_rule.pdop", "-inf", "finite"),
    value("more than a float holds", 'ice = "60 N"', 'ice = "1e999 N"', "door.ice", "too large"),
    value("a bare number beyond floats", "pdop = 3.0", "pdop = 1e999", "machine.start_rule.pdop", "finite"),
    value(
        "a bare number beyond 64 bits",
        "satellites = 10",
        "satellites = 99999999999999999999",
        "machine.start_rule.satellites",
        "64 bits",
        "digits",
    ),
    value("a range backwards", '"30..60 N"', '"60..30 N"', "door.seal.force", "backwards", "'30..60 N'"),
    value("a range without a unit", '"30..60 N"', '"30..60"', "door.seal.force", "no unit", "'30..60 N'"),
    value(
        "a tolerance without a unit", '"30..60 N"', '"45 N +- 15"', "door.seal.force", "tolerance", "+- 15 N"
    ),
    value("a range with a dash", '"30..60 N"', '"30-60 N"', "door.seal.force", "two points", "'30..60 N'"),
    value("two values", 'ice = "60 N"', 'ice = "60 N 70 N"', "door.ice", "one number and one unit"),
    value("an empty text", 'ice = "60 N"', 'ice = ""', "door.ice", "nothing to read", "'40 N'"),
    value("a very long text", 'ice = "60 N"', f'ice = "{"6" * 300} N"', "door.ice", "at most 80"),
    value(
        "a temperature below nought",
        '"-18 degC"',
        '"-300 degC"',
        "site.air.coldest",
        "'-300 degC'",
        "-90 degC",
    ),
    value("digits of another script", 'ice = "60 N"', 'ice = "٦٠ N"', "door.ice", "digits", "'60 N'"),
)

SHARES_AND_COUNTS = (
    value(
        "a share above the whole",
        "screen = 0.5",
        'screen = "150 %"',
        "openings.vent.screen",
        "'150 %'",
        "from 0 to 1",
    ),
    value(
        "a bare share above the whole",
        "last = 0.5",
        "last = 50",
        "controller.speed.last",
        "read 50",
        "in percent",
        '"50 %"',
    ),
    value("a share below nothing", "screen = 0.5", "screen = -0.1", "openings.vent.screen", "-0.1", "0 to 1"),
    value(
        "a share in quotes without percent",
        "screen = 0.5",
        'screen = "0.5"',
        "openings.vent.screen",
        "write 0.5 without quotes",
    ),
    value(
        "a range of a share beyond the whole",
        "last = 0.5",
        'last = "80..120 %"',
        "controller.speed.last",
        "80..120 %",
        "0 to 1",
    ),
    value("a share in another unit", "screen = 0.5", 'screen = "5 cm2"', "openings.vent.screen", "share"),
    value(
        "a truth for a share", "screen = 0.5", "screen = true", "openings.vent.screen", "read true", "share"
    ),
    value(
        "a count with a unit",
        "satellites = 10",
        'satellites = "10 pcs"',
        "machine.start_rule.satellites",
        "'10 pcs'",
        "whole number",
        "without a unit",
    ),
    value(
        "half a thing",
        "paralleled = 2",
        "paralleled = 1.5",
        "electronics.bridge.paralleled",
        "read 1.5",
        "whole number",
    ),
    value(
        "a count beyond its bounds",
        "satellites = 10",
        "satellites = 1000",
        "machine.start_rule.satellites",
        "read 1000",
        "from 3 to 60",
    ),
    value(
        "a truth for a count",
        "paralleled = 2",
        "paralleled = true",
        "electronics.bridge.paralleled",
        "read true",
        "whole number",
    ),
    value(
        "a number in quotes",
        "pdop = 3.0",
        'pdop = "3.0"',
        "machine.start_rule.pdop",
        "'3.0'",
        "bare number",
        "without quotes",
    ),
    value(
        "a dilution that no sky gives",
        "pdop = 3.0",
        "pdop = 0.01",
        "machine.start_rule.pdop",
        "0.01",
        "0.5..50",
    ),
    value(
        "a truth in quotes",
        "self_locking = true",
        'self_locking = "yes"',
        "drive.screw.self_locking",
        "'yes'",
        "true or false",
    ),
    value("a format of the future", "format = 1", "format = 2", "format", "read 2", "whole number 1"),
)

NAMES = (
    added("an unknown key, nearly right", "[door]", 'ise = "60 N"', "door.ise", "'ise'", "did you mean ice?"),
    added(
        "an unknown key, nothing like it",
        "[door]",
        "colour_of_paint = 3",
        "door.colour_of_paint",
        "unknown key",
        "kind, opening",
        "take it out",
    ),
    value(
        "an unknown key in braces",
        'over = "12 mm"',
        'owver = "12 mm"',
        "door.seal.owver",
        "did you mean over?",
    ),
    value("an unknown table", "[network]", "[netwrok]", "netwrok", "'netwrok'", "did you mean network?"),
    value(
        "an unknown table inside a table",
        "[site]",
        "[site.moon]\na = 1\n[site]",
        "site.moon",
        "unknown key 'moon'",
        at="[site.moon]",
    ),
    value(
        "an unknown word",
        '"top_hinged"',
        '"top_hingd"',
        "door.kind",
        "'top_hingd'",
        'did you mean "top_hinged"?',
    ),
    value(
        "an unknown word, nothing like it",
        '"top_hinged"',
        '"xyz"',
        "door.kind",
        "'left_hinged'",
        "choose one of these",
    ),
    value("a word that differs in capitals", '"top_hinged"', '"Top_Hinged"', "door.kind", '"top_hinged"?'),
    value("a number for a word", '"top_hinged"', "1", "door.kind", "read 1", "'top_hinged'"),
    value(
        "an unknown word in a list",
        '["button"]',
        '["button", "buton"]',
        "controller.commands.1",
        "'buton'",
        'did you mean "button"?',
    ),
    value(
        "an unknown row of the catalogue",
        '"lead-acid 12 V"',
        '"lead-acid 12V"',
        "supplies.battery.kind",
        "catalogue's supplies",
        'did you mean "lead-acid 12 V"?',
    ),
    value(
        "an unknown core",
        '"0.75 mm2 class 5", length = "6 m"',
        '"0.80 mm2", length = "6 m"',
        "cables.feed.core",
        "'0.80 mm2'",
        "catalogue's cores",
    ),
    value(
        "an unknown material of a layer",
        '"15 mm plywood"',
        '"15 mm plywod"',
        "build_ups.leaf.0",
        "'15 mm plywod'",
        'did you mean "plywood"?',
    ),
    value(
        "an unknown material of a pane",
        '"polycarbonate"',
        '"polycarbonat"',
        "openings.window.pane.material",
        'did you mean "polycarbonate"?',
    ),
    value(
        "a layer without a thickness",
        '"15 mm plywood"',
        '"plywood"',
        "build_ups.leaf.0",
        "'plywood'",
        "a thickness and a material",
    ),
    value(
        "a layer without a unit", '"15 mm plywood"', '"15 plywood"', "build_ups.leaf.0", "no unit", "'15 m'"
    ),
    value("a layer of no thickness", '"15 mm plywood"', '"0 mm plywood"', "build_ups.leaf.0", "above 0"),
    value(
        "a layer as thick as a castle's",
        '"15 mm plywood"',
        '"15 m plywood"',
        "build_ups.leaf.0",
        "up to 2 m",
        "check its unit",
    ),
    value("a number for a layer", '["15 mm plywood"]', "[15]", "build_ups.leaf.0", "read 15", "in quotes"),
    value(
        "a text for layers",
        '["15 mm plywood"]',
        '"15 mm plywood"',
        "build_ups.leaf",
        "a list in square brackets",
        '["22 mm softwood boards"]',
    ),
    value(
        "a name with a capital",
        "motor = { from",
        "Motor = { from",
        "cables.Motor",
        "the name 'Motor'",
        "small",
    ),
    value(
        "a name with a blank",
        "motor = { from",
        '"the motor" = { from',
        'cables."the motor"',
        "the name 'the motor'",
        "rename it",
    ),
    value(
        "a name that begins with a digit", "motor = { from", "2nd = { from", "cables.2nd", "a letter first"
    ),
    value(
        "a name out of brackets", "motor = { from", '"[key]" = { from', 'cables."[key]"', "the name '[key]'"
    ),
    value(
        "a name that is too long",
        "motor = { from",
        f"{'m' * 41} = {{ from",
        f"cables.{'m' * 41}",
        "at most 40",
    ),
    value(
        "an empty name of the hut", 'name = "Test hut"', 'name = ""', "name", "1 to 120 characters", "write"
    ),
    value("a name over two lines", 'name = "Test hut"', 'name = "Test\\nhut"', "name", "on one line"),
    value(
        "a name that is too long for a page",
        'name = "Test hut"',
        f'name = "{"x" * 121}"',
        "name",
        "shorten it",
    ),
    value(
        "a key twice",
        'ice = "60 N"',
        'ice = "60 N"\nice = "70 N"',
        "door.ice",
        "only once",
        "line 43",
        at='ice = "70 N"',
    ),
    value(
        "a table twice",
        "[network]",
        '[door]\nkind = "lift"\n[network]',
        "door",
        "only once",
        "rename one",
        at='[door]\nkind = "lift"',
    ),
)

SHAPES = (
    value(
        "a value for a table",
        "[network]",
        "pins = 3\n[network]",
        "machine.pins",
        "unknown key",
        at="pins = 3",
    ),
    value(
        "a text for a table",
        'hinge = { z = "0.57 m" }',
        'hinge = "0.57 m"',
        "door.hinge",
        "'0.57 m'",
        "a table with keys such as x, y, z",
    ),
    value(
        "a list for a table",
        'hinge = { z = "0.57 m" }',
        'hinge = ["0.57 m"]',
        "door.hinge",
        "a list of 1",
        "a table",
    ),
    value(
        "a list of tables",
        "[network]\nbands",
        "[[network]]\nbands",
        "network",
        "a list of 1",
        "bands, need, node",
    ),
    value(
        "a value for named things",
        '[fuses]\nmain = { kind = "blade, ISO 8820-3 type C", rating = "5 A" }',
        '[fuses]\nmain = "5 A"',
        "fuses.main",
        "'5 A'",
        "kind, rating",
        at='main = "5 A"',
    ),
    value(
        "a text for a list",
        '["button"]',
        '"button"',
        "controller.commands",
        "'button'",
        "a list in square brackets",
        '["button"]',
    ),
    value("a table for a list", '["button"]', "{ a = 1 }", "controller.commands", "a table", "list"),
    value(
        "one number in a pair",
        '["90 deg", "22 deg"]',
        '["90 deg"]',
        "site.skyline.1",
        "a list of 1",
        "2 entries",
    ),
    value(
        "three numbers in a pair",
        '["90 deg", "22 deg"]',
        '["90 deg", "22 deg", "3 m"]',
        "site.skyline.1",
        "a list of 3",
        "2 entries",
    ),
    value(
        "a flat skyline",
        '[["0 deg", "8 deg"], ["90 deg", "22 deg"]]',
        '[["0 deg", "8 deg"], "90 deg"]',
        "site.skyline.1",
        "'90 deg'",
        "list",
    ),
    value(
        "three sides of a timber",
        '["45 mm", "70 mm"]',
        '["45 mm", "70 mm", "2 m"]',
        "members.rafters.section",
        "a list of 3",
        "2 entries",
    ),
    value(
        "two sides of a part",
        '["70 mm", "55 mm", "20 mm"]',
        '["70 mm", "55 mm"]',
        "box.holds.board",
        "a list of 2",
        "3 entries",
    ),
    value(
        "one colour of two",
        'length = "1.8 m" }',
        'length = "1.8 m", colours = ["red"] }',
        "cables.motor.colours",
        "2 entries",
    ),
    value(
        "a list of everything",
        '["0.03 m", "0.47 m", "0.91 m"]',
        f"[{', '.join(['1'] * 401)}]",
        "members.rafters.at",
        "a list of 401",
        "at most 400",
    ),
    value("no bands", '["2.4 GHz"]', "[]", "network.bands", "an empty list", "at least one band"),
    value("no layers", '["15 mm plywood"]', "[]", "build_ups.leaf", "an empty list", "at least one layer"),
    value(
        "a table for limits that is none", "[limits]\n", "[[limits]]\n", "limits", "a list of 1", "[limits]"
    ),
)

MISSING = (
    value(
        "no rating of a fuse",
        ', rating = "5 A" }',
        " }",
        "fuses.main.rating",
        "rated current",
        "add rating =",
    ),
    value(
        "no length of a cable",
        ', length = "1.8 m" }',
        " }",
        "cables.motor.length",
        "along the cable",
        "add length =",
    ),
    value(
        "no start of a cable",
        'motor = { from = "bridge", to',
        "motor = { to",
        "cables.motor.from",
        "the node it comes from",
        "add from =",
    ),
    value(
        "no kind of a battery",
        'kind = "lead-acid 12 V", ',
        "",
        "supplies.battery.kind",
        "a row of the catalogue",
        "add kind =",
    ),
    value("no stroke", ', stroke = "300 mm"', "", "drive.length.stroke", "add stroke ="),
    value(
        "no rated force", 'force = "300 N", ', "", "drive.rating.force", "force at full load", "add force ="
    ),
    value(
        "no sides of a timber",
        'section = ["45 mm", "70 mm"], ',
        "",
        "members.rafters.section",
        'add section = ["0.80 m", "0.80 m"]',
    ),
    value(
        "no hinge",
        'hinge = { z = "0.57 m" }\n',
        "",
        "door.hinge",
        "the hinge line",
        "add door.hinge",
        at="[door]",
    ),
    value(
        "no height of the hinge",
        'hinge = { z = "0.57 m" }',
        'hinge = { y = "0 m" }',
        "door.hinge.z",
        "where the hinge line runs",
        "measure",
    ),
    value("no angle", 'open_angle = "82 deg"\n', "", "door.open_angle", "add open_angle", at="[door]"),
    value(
        "no track of a sliding door",
        '"top_hinged"',
        '"sliding"',
        "door.track",
        "the track",
        "add door.track",
        at="[door]",
    ),
    value(
        "no head of the rod",
        'head = { x = "0.47 m", y = "0.03 m", z = "0.35 m" }\n',
        "",
        "linkage.head",
        "where this pin sits",
        at="[linkage]",
    ),
    value("no ridge", '"mono_pitch"', '"double_pitch"', "hut.roof.ridge", "under the ridge", "add ridge"),
    value(
        "a soft edge without numbers",
        'ice = "60 N"',
        'ice = "60 N"\nedge = { kind = "soft" }',
        "door.edge.stiffness",
        "above zero for a soft edge",
        at="edge = {",
    ),
)

IMPOSSIBLE = (
    value("too far north", '"51.2 deg"', '"95 deg"', "site.place.latitude", "'95 deg'", "-90..90 deg"),
    value("too far east", '"9.7 deg"', '"200 deg"', "site.place.longitude", "'200 deg'", "west is negative"),
    value("higher than any mountain", '"210 m"', '"210 km"', "site.place.elevation", "'210 km'", "9000 m"),
    value(
        "a winter warmer than summer",
        '"-18 degC"',
        '"40 degC"',
        "site.air.warmest",
        "'36 degC'",
        "at least coldest, which is 40 °C",
    ),
    value(
        "an azimuth twice",
        '["90 deg", "22 deg"]',
        '["360 deg", "22 deg"]',
        "site.skyline.1",
        "azimuth 360 deg again",
        "once",
    ),
    value(
        "a skyline beyond the zenith",
        '["90 deg", "22 deg"]',
        '["22 deg", "95 deg"]',
        "site.skyline.1",
        "elevation 95 deg",
        "azimuth comes first",
    ),
    value("a storm that no place has", '"24 m/s"', '"240 m/s"', "site.wind.basic", "'240 m/s'", "80 m/s"),
    value("a cable of no length", '"1.8 m"', '"0 m"', "cables.motor.length", "'0 m'", "above zero"),
    value(
        "a cable to the next town", '"1.8 m"', '"18 km"', "cables.motor.length", "'18 km'", "check its unit"
    ),
    value(
        "a negative width",
        '"0.90 m", depth',
        '"-0.90 m", depth',
        "hut.inside.width",
        "'-0.90 m'",
        "above zero",
    ),
    value("a hut as large as a hall", '"0.90 m", depth', '"90 m", depth', "hut.inside.width", "20 m or less"),
    value(
        "a charger with a longer day",
        'capacity = "18 Ah" }',
        'capacity = "18 Ah", charger = { current = "1 A", time_a_day = "30 h" } }',
        "supplies.battery.charger.time_a_day",
        "'30 h'",
        "24 h or less",
    ),
    value(
        "no fuse at all", 'rating = "5 A" }', 'rating = "0 A" }', "fuses.main.rating", "'0 A'", "above zero"
    ),
    value("a leaf smaller than its hole", '"0.74 m"', '"0.64 m"', "door.leaf.width", "'0.64 m'", "0.7 m"),
    value("a leaf that turns too far", '"82 deg"', '"270 deg"', "door.open_angle", "'270 deg'", "180 deg"),
    value(
        "a roof that is high on the low side",
        'high = "front"',
        'high = "back"',
        "hut.roof.high",
        "'back'",
        "'front'",
        "swap the two heights",
    ),
    value(
        "a rod without a length",
        'head = { x = "0.47 m", y = "0.03 m", z = "0.35 m" }',
        'head = { x = "0.47 m", y = "0.46 m", z = "0.27 m" }',
        "linkage.head",
        "same place",
        "two different",
    ),
    value(
        "quicker under load than free",
        'speed = "30 mm/s"',
        'speed = "20 mm/s"',
        "drive.no_load.speed",
        "'20 mm/s'",
        "at least rating.speed, which is 22 mm/s",
    ),
    value(
        "less current under load than free",
        'current = "0.8 A"',
        'current = "3 A"',
        "drive.rating.current",
        "'2.6 A'",
        "at least no_load.current, which is 3 A",
        at="rating = { voltage",
    ),
    value("a stall below the rating", 'current = "7.5 A"', 'current = "2 A"', "drive.stall.current", "'2 A'"),
    value(
        "a last stretch quicker than the rest",
        "normal = 1.0",
        "normal = 0.4",
        "controller.speed.last",
        "0.5",
        "at most normal",
    ),
    value(
        "timbers out of order",
        '"0.47 m", "0.91 m"]',
        '"0.91 m", "0.47 m"]',
        "members.rafters.at.2",
        "'0.47 m'",
        "from left to right",
    ),
    value("a part of no size", '"70 mm", "55 mm"', '"70 mm", "0 mm"', "box.holds.board", "above zero"),
    value(
        "certainty of a radio",
        'bands = ["2.4 GHz"]',
        'bands = ["2.4 GHz"]\nneed = { reliability = 1.0 }',
        "network.need.reliability",
        "less than 100 %",
        at="need =",
    ),
    value(
        "a range whose low end is refused",
        '"30..60 N"',
        '"-5..40 N"',
        "door.seal.force",
        "a range that reaches -5 N",
        "zero or more",
        "narrow the range",
    ),
    value(
        "a range whose high end is refused",
        '"51.2 deg"',
        '"80..100 deg"',
        "site.place.latitude",
        "a range that reaches 100",
        "-90..90 deg",
    ),
    value(
        "a tolerance that reaches below nothing",
        'ice = "60 N"',
        'ice = "60 N +- 80 N"',
        "door.ice",
        "a range that reaches -20 N",
    ),
    value(
        "a range that meets another value",
        'speed = "22 mm/s"',
        'speed = "10..34 mm/s"',
        "drive.rating.speed",
        "a range that reaches 34 mm/s",
        "drive.no_load.speed is 30 mm/s",
    ),
    value(
        "a range that meets an assumed value",
        'speed = "22 mm/s", current = "2.6 A", duty = "25 %" }\nno_load = { speed = "30 mm/s", ',
        'speed = "10..40 mm/s", current = "2.6 A", duty = "25 %" }\nno_load = { ',
        "drive.rating.speed",
        "reaches 40 mm/s",
        "or write drive.no_load.speed yourself",
    ),
    value(
        "a range whose end is wider than the leaf",
        'width = "0.70 m", height',
        'width = "0.60..0.84 m", height',
        "door.opening.width",
        "a range that reaches 840 mm",
        "door.leaf.width is 0.74 m",
    ),
    value(
        "a range whose end leaves the wall",
        'left = "0.12 m", sill',
        'left = "0.12..0.30 m", sill',
        "door.opening.left",
        "a range that reaches 300 mm",
        "door.opening.width is a hole that ends 1.000 m",
    ),
)

REFERENCES = (
    value(
        "a hole wider than the wall",
        'left = "0.12 m", sill',
        'left = "0.42 m", sill',
        "door.opening.width",
        "ends 1.120 m",
        "0.944 m wide",
    ),
    value(
        "a hole higher than the wall",
        'sill = "0.03 m"',
        'sill = "0.33 m"',
        "door.opening.height",
        "0.850 m above the floor",
        "0.760 m",
    ),
    value(
        "a window off the roof",
        '"0.10 m", from_low_edge = "0.45 m"',
        '"0.10 m", from_low_edge = "1.2 m"',
        "openings.window.place.from_low_edge",
        "from 1.200 to 1.600 m",
        "smaller",
    ),
    value(
        "a window left of the roof",
        '"0.10 m", from_low_edge',
        '"-0.10 m", from_low_edge',
        "openings.window.place.from_left",
        "from -0.100",
    ),
    value(
        "half of a roof in one piece",
        'face = "roof"',
        'face = "roof_left"',
        "openings.window.place.face",
        "roof_left",
        'write face = "roof"',
    ),
    value("a timber outside the hut", '"0.91 m"]', '"1.91 m"]', "members.rafters.at.2", "1.91 m", "0.944 m"),
    value(
        "parked outside",
        'parked = { x = "0.47 m"',
        'parked = { x = "4.7 m"',
        "machine.parked.x",
        "4.7 m",
        "inside the hut",
    ),
    value(
        "an unknown build-up of the walls",
        'walls = { build_up = "wall" }',
        'walls = { build_up = "wal" }',
        "hut.walls.build_up",
        "wal",
        "wall, roof, leaf",
        "[build_ups]",
    ),
    value(
        "an unknown build-up of the leaf",
        'build_up = "leaf"',
        'build_up = "door"',
        "door.leaf.build_up",
        "door",
    ),
    value("an unknown fuse", 'fuse = "main"', 'fuse = "mian"', "cables.feed.fuse", "mian", "[fuses]: main"),
    value(
        "an unknown start",
        'from = "battery"',
        'from = "batery"',
        "cables.feed.from",
        "batery",
        "battery, five",
    ),
    value(
        "an unknown end", 'to = "drive"', 'to = "motor"', "cables.motor.to", "motor", "five, bridge, drive"
    ),
    value("a cable back into the battery", 'to = "drive"', 'to = "battery"', "cables.motor.to", "no supply"),
    value(
        "a cable out of the drive",
        'motor = { from = "bridge", to = "drive", core = "0.75 mm2 class 5", length = "1.8 m" }\n\n'
        '[regulators.five]\nkind = "linear 5 V 0.5 A"\nfed_by = "bridge"\n',
        'motor = { from = "drive", to = "five", core = "0.75 mm2 class 5", length = "1.8 m" }\n\n'
        '[regulators.five]\nkind = "linear 5 V 0.5 A"\n',
        "cables.motor.from",
        "a node: battery",
    ),
    value("a cable in a ring", 'to = "drive"', 'to = "bridge"', "cables.motor.to", "another node than from"),
    value(
        "a node fed twice",
        "[regulators.five]\n",
        'spare = { from = "battery", to = "bridge", core = "0.75 mm2 class 5", length = "1 m" }\n\n'
        "[regulators.five]\n",
        "cables.spare.to",
        "no other cable feeds",
        "feed feeds it",
        at="spare =",
    ),
    value(
        "a regulator fed both ways",
        'to = "drive"',
        'to = "five"',
        "regulators.five.fed_by",
        "a cable leads to it",
        "take out fed_by",
        at='fed_by = "bridge"',
    ),
    value(
        "a regulator fed by nothing",
        'fed_by = "bridge"\n',
        "",
        "regulators.five.fed_by",
        "nothing",
        'add fed_by = "battery"',
        at="[regulators.five]",
    ),
    value(
        "a regulator fed by itself",
        'fed_by = "bridge"',
        'fed_by = "five"',
        "regulators.five.fed_by",
        "another node: battery, bridge",
    ),
    value(
        "a regulator fed by a stranger",
        'fed_by = "bridge"',
        'fed_by = "brige"',
        "regulators.five.fed_by",
        "brige",
    ),
    value(
        "a loop of regulators",
        'fed_by = "bridge"\n',
        'fed_by = "six"\n[regulators.six]\nkind = "linear 5 V 0.5 A"\nfed_by = "five"\n',
        "regulators.five.fed_by",
        "a loop: five <- six <- five",
        "cut the loop",
        at='fed_by = "six"',
    ),
    value(
        "a loop through a cable",
        'from = "battery"',
        'from = "five"',
        "cables.feed.from",
        "a loop: bridge <- five <- bridge",
        "supply",
    ),
    value(
        "electronics on a stranger",
        'fed_by = "five"',
        'fed_by = "six"',
        "electronics.logic.fed_by",
        "six",
        "[regulators]: five",
    ),
    value(
        "a battery that is called bridge",
        "[supplies]\n",
        '[supplies]\nbridge = { kind = "lead-acid 12 V" }\n',
        "supplies.bridge",
        "no other node has",
        at='bridge = { kind = "lead-acid 12 V" }',
    ),
    value(
        "more channels than there are",
        'kind = "dual bipolar"',
        'kind = "single MOSFET 30 A class"',
        "electronics.bridge.paralleled",
        "at most the 1",
    ),
)

APART = (
    added(
        "a limit on an unknown check",
        "[limits]",
        '"door.opening_tme" = "1 s"',
        'limits."door.opening_tme"',
        "unknown check",
        'did you mean "door.opening_time"?',
    ),
    value("a limit in a wrong unit", '"16 s"', '"16 N"', 'limits."door.opening_time"', "'16 N'", "time"),
    value(
        "a limit without a unit", '"16 s"', "16", 'limits."door.opening_time"', "read 16", "time", "in quotes"
    ),
    value("a range for a limit", '"16 s"', '"14..16 s"', 'limits."door.opening_time"', "not a range"),
    value("a limit that is text", '"16 s"', '"soon"', 'limits."door.opening_time"', "'soon'", "no number"),
    added(
        "a count with a unit as a limit",
        "[limits]",
        '"wiring.sensor_counts" = "5 V"',
        'limits."wiring.sensor_counts"',
        "'5 V'",
        "bare number",
    ),
    added(
        "a share above the whole as a limit",
        "[limits]",
        '"wiring.voltage_drop" = 5',
        'limits."wiring.voltage_drop"',
        "read 5",
        "share",
        '"90 %"',
    ),
    value(
        "a limit without quotes",
        '"door.opening_time" =',
        "door.opening_time =",
        "limits.door",
        "without quotes",
        '"door.opening_time"',
    ),
    added(
        "an unknown address that may change",
        "[allow]",
        '"cables.feed.cor" = ["a"]',
        'allow."cables.feed.cor"',
        "unknown address",
        'did you mean "cables.feed.core"?',
    ),
    added(
        "a cable that nobody named may change",
        "[allow]",
        '"cables.fed.length" = "1..2 m"',
        'allow."cables.fed.length"',
        "unknown address",
        'did you mean "cables.feed.length"?',
    ),
    added("no address", "[allow]", '"cables..core" = ["a"]', 'allow."cables..core"', "unknown address"),
    added(
        "a place in a list that is not there",
        "[allow]",
        '"site.skyline.7.1" = "1..2 deg"',
        'allow."site.skyline.7.1"',
        "unknown address",
    ),
    value(
        "a choice that the catalogue lacks",
        '"1.5 mm2 class 5"]',
        '"1.5 mm2 class 7"]',
        'allow."cables.feed.core".1',
        "'1.5 mm2 class 7'",
        "catalogue's cores",
        '"1.5 mm2 class 5"?',
    ),
    added(
        "a range in a wrong unit may be chosen",
        "[allow]",
        '"linkage.foot.y" = "1..2 kg"',
        'allow."linkage.foot.y"',
        "'1..2 kg'",
        "length",
    ),
    added("a word where a range belongs", "[allow]", '"door.kind" = "lift"', 'allow."door.kind"', "list"),
    added(
        "a number where a list belongs", "[allow]", '"door.kind" = 3', 'allow."door.kind"', "read 3", "list"
    ),
    added("a table may be chosen", "[allow]", '"door.hinge" = ["a"]', 'allow."door.hinge".0', "single value"),
    value(
        "an address that lost its quotes",
        '"cables.feed.core" = [',
        "cables.feed.core = [",
        "allow.cables",
        "without quotes",
        '"cables.feed.core"',
    ),
    added(
        "something absent was measured",
        "[measured]",
        '"door.counterweight" = "scale"',
        'measured."door.counterweight"',
        "a single value that stands in this file",
        "write the measured value",
    ),
    added(
        "something unknown was measured",
        "[measured]",
        '"door.icee" = "scale"',
        'measured."door.icee"',
        "unknown address",
        'did you mean "door.ice"?',
    ),
    added(
        "a table was measured",
        "[measured]",
        '"door.opening" = "tape"',
        'measured."door.opening"',
        "single value",
    ),
    value(
        "a measurement without a note",
        '"luggage scale at the edge, January"',
        '" "',
        'measured."door.ice"',
        "a note of 1 to 200",
    ),
    value(
        "a number for a note",
        '"luggage scale at the edge, January"',
        "3",
        'measured."door.ice"',
        "read 3",
        "note",
    ),
)

CASES = (*QUANTITIES, *SHARES_AND_COUNTS, *NAMES, *SHAPES, *MISSING, *IMPOSSIBLE, *REFERENCES, *APART)

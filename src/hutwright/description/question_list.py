"""The everyday questions themselves, in the order in which they are asked."""

from __future__ import annotations

from hutwright import units
from hutwright.description.question import About, Choice, Question

CORE_SIZES = ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10")  # of fine-stranded copper on sale [mm2]
_ALL = tuple(About)
_POWERED = (About.ELECTRONICS, About.EVERYTHING)
_DRIVEN = (About.DOOR, About.ELECTRONICS, About.EVERYTHING)
_DOORS = (About.DOOR, About.EVERYTHING)
_MACHINES = (About.MACHINE, About.SIGNAL, About.EVERYTHING)
_SIGNALS = (About.SIGNAL, About.EVERYTHING)
_DOOR, _MACHINE = (About.DOOR,), (About.MACHINE,)

BRIDGE_BOARD, OWN_LINEAR, OWN_SWITCHING = "bridge board", "linear", "switching"

ABOUTS: tuple[Choice, ...] = (
    Choice(value="door", words="the door and what moves it"),
    Choice(value="electronics", words="the electronics: cables, fuses, resets, battery"),
    Choice(value="machine", words="the machine does not start its work"),
    Choice(value="signal", words="the wireless signal"),
    Choice(value="everything", words="everything"),
)

QUESTIONS: tuple[Question, ...] = (
    Question(key="name", text="What do you call your hut?", abouts=_ALL, guess="My hut", path="name"),
    Question(
        key="supply",
        text="What feeds the electronics?",
        abouts=_POWERED,
        guess="lead-acid 12 V",
        choices=(
            Choice(value="lead-acid 12 V", words="a 12 V lead-acid battery"),
            Choice(value="lead-acid 24 V", words="a 24 V lead-acid battery"),
            Choice(value="LiFePO4 12 V", words="a 12 V lithium iron phosphate battery"),
            Choice(value="mains power supply", words="a power supply on the mains"),
        ),
        path="supplies.source.kind",
    ),
    Question(
        key="volts",
        text="How many volts does it give, from empty to full, such as 11.8..13.6 V?",
        abouts=_POWERED,
        dimension=units.VOLTAGE,
        path="supplies.source.voltage",
        spared=True,
    ),
    Question(
        key="cable_length",
        text="How long is the cable from there to the box with the electronics, one way?",
        abouts=_POWERED,
        guess="2..8 m",
        dimension=units.LENGTH,
        path="cables.feed.length",
    ),
    Question(
        key="core",
        text="How thick is the copper of that cable? It is printed on the sheath, such as 2 x 0.75.",
        abouts=_POWERED,
        guess="0.75 mm2 class 5",
        choices=tuple(
            Choice(value=f"{size} mm2 class 5", words=f"{size} mm2, fine strands") for size in CORE_SIZES
        ),
        path="cables.feed.core",
        sizes=True,
    ),
    Question(
        key="motor_cable",
        text="How long is the cable from the box to the drive, one way?",
        abouts=_POWERED,
        guess="1..3 m",
        dimension=units.LENGTH,
        path="cables.motor.length",
        spared=True,
    ),
    Question(
        key="fuse",
        text="What does the blade fuse beside the battery or supply say, such as 5 A? (leave empty for none)",
        abouts=_POWERED,
        dimension=units.CURRENT,
        path="fuses.main.rating",
    ),
    Question(
        key="drive_volts",
        text="The drive's listing: for how many volts?",
        abouts=_DRIVEN,
        guess="12 V",
        dimension=units.VOLTAGE,
        path="drive.rating.voltage",
    ),
    Question(
        key="drive_force",
        text="The drive's listing: what force, such as 300 N? (1 kg of load is about 10 N)",
        abouts=_DRIVEN,
        guess="200..400 N",
        dimension=units.FORCE,
        path="drive.rating.force",
    ),
    Question(
        key="drive_speed",
        text="The drive's listing: what speed under load, such as 20 mm/s?",
        abouts=_DRIVEN,
        guess="20 mm/s",
        dimension=units.SPEED,
        path="drive.rating.speed",
    ),
    Question(
        key="drive_current",
        text="The drive's listing: what current under load, such as 2.6 A?",
        abouts=_DRIVEN,
        guess="2..4 A",
        dimension=units.CURRENT,
        path="drive.rating.current",
    ),
    Question(
        key="drive_stall",
        text="What current does it draw when it is held fast? (rarely listed; an ammeter shows it)",
        abouts=_DRIVEN,
        dimension=units.CURRENT,
        path="drive.stall.current",
    ),
    Question(
        key="bridge",
        text="What turns the motor both ways?",
        abouts=_POWERED,
        guess="dual bipolar",
        choices=(
            Choice(value="dual bipolar", words="a small module with a black heat sink, two channels"),
            Choice(value="single MOSFET 30 A class", words="a larger module for 10 A and more, one channel"),
        ),
        path="electronics.bridge.kind",
    ),
    Question(
        key="logic_from",
        text="Where does the controller board get its 5 V from?",
        abouts=_POWERED,
        guess=BRIDGE_BOARD,
        choices=(
            Choice(value=BRIDGE_BOARD, words="from the 5 V pin of the bridge's own module"),
            Choice(value=OWN_LINEAR, words="from a linear 5 V regulator of its own"),
            Choice(value=OWN_SWITCHING, words="from a switching 5 V module of its own"),
        ),
        path="regulators.logic_5v.kind",
    ),
    Question(
        key="door_kind",
        text="How does the door move?",
        abouts=_DOORS,
        guess="top_hinged",
        choices=(
            Choice(value="top_hinged", words="hinged at the top"),
            Choice(value="left_hinged", words="hinged at the left, seen from outside"),
            Choice(value="right_hinged", words="hinged at the right, seen from outside"),
            Choice(value="bottom_hinged", words="hinged at the bottom"),
            Choice(value="lift", words="lifts straight up"),
            Choice(value="sliding", words="slides sideways"),
        ),
        path="door.kind",
    ),
    Question(
        key="door_width",
        text="How wide is the leaf of the door?",
        abouts=_DOORS,
        guess="0.74 m",
        dimension=units.LENGTH,
        path="door.leaf.width",
    ),
    Question(
        key="door_height",
        text="How high is the leaf of the door?",
        abouts=_DOORS,
        guess="0.56 m",
        dimension=units.LENGTH,
        path="door.leaf.height",
    ),
    Question(
        key="rod_shortest",
        text="The drive with its rod drawn in: how long from pin to pin?",
        abouts=_DOOR,
        guess="0.38..0.44 m",
        dimension=units.LENGTH,
        path="drive.length.shortest",
    ),
    Question(
        key="rod_stroke",
        text="How much longer does it get?",
        abouts=_DOOR,
        guess="0.3 m",
        dimension=units.LENGTH,
        path="drive.length.stroke",
    ),
    Question(
        key="head_along",
        text="From the hinge line, how far along the leaf does the rod hold it?",
        abouts=_DOOR,
        guess="0.18..0.26 m",
        dimension=units.LENGTH,
        path="linkage.head",
    ),
    Question(
        key="foot_along",
        text="From the hinge line, how far down (or to the side) is the rod's other pin, inside the hut?",
        abouts=_DOOR,
        guess="0.25..0.35 m",
        dimension=units.LENGTH,
        path="linkage.foot",
    ),
    Question(
        key="foot_deep",
        text="And how deep inside the hut, from the door's wall?",
        abouts=_DOOR,
        guess="0.40..0.50 m",
        dimension=units.LENGTH,
        path="linkage.foot.y",
    ),
    Question(
        key="machine_length",
        text="How long is the machine?",
        abouts=_MACHINES,
        guess="0.5..0.8 m",
        dimension=units.LENGTH,
        path="machine.body.length",
    ),
    Question(
        key="machine_width",
        text="How wide is the machine?",
        abouts=_MACHINES,
        guess="0.4..0.6 m",
        dimension=units.LENGTH,
        path="machine.body.width",
    ),
    Question(
        key="machine_height",
        text="How high is the machine?",
        abouts=_MACHINES,
        guess="0.25..0.35 m",
        dimension=units.LENGTH,
        path="machine.body.height",
    ),
    Question(
        key="latitude",
        text="Where does the hut stand: its latitude, north positive, such as 51.2 deg? (a phone shows it)",
        abouts=_MACHINE,
        guess="45..55 deg",
        dimension=units.ANGLE,
        path="site.place.latitude",
    ),
    Question(
        key="hut_facing",
        text="Where does the door wall look: 0 deg north, 90 deg east?",
        abouts=_MACHINE,
        guess="180 deg",
        dimension=units.ANGLE,
        path="hut.facing",
    ),
    Question(
        key="hut_width",
        text="How wide is the hut inside, along the door wall?",
        abouts=_MACHINE,
        guess="0.8..1.0 m",
        dimension=units.LENGTH,
        path="hut.inside.width",
    ),
    Question(
        key="hut_depth",
        text="How deep is it inside?",
        abouts=_MACHINE,
        guess="0.9..1.1 m",
        dimension=units.LENGTH,
        path="hut.inside.depth",
    ),
    Question(
        key="hut_front",
        text="How high is it inside at the door wall?",
        abouts=_MACHINE,
        guess="0.70..0.80 m",
        dimension=units.LENGTH,
        path="hut.inside.front",
    ),
    Question(
        key="hut_back",
        text="And at the back wall?",
        abouts=_MACHINE,
        guess="0.60..0.65 m",
        dimension=units.LENGTH,
        path="hut.inside.back",
    ),
    Question(
        key="walls",
        text="What are the walls? Knock: wood sounds dull, sheet metal rings.",
        abouts=_MACHINE,
        guess="boards",
        choices=(
            Choice(value="boards", words="boards"),
            Choice(value="boards with foil", words="boards with a metal foil on or behind them"),
            Choice(value="sheet metal", words="sheet metal"),
        ),
        path="build_ups.wall",
    ),
    Question(
        key="roof",
        text="What is the roof?",
        abouts=_MACHINE,
        guess="boards",
        choices=(
            Choice(value="boards", words="boards or plywood, with felt or nothing on them"),
            Choice(value="sheet metal", words="sheet metal"),
            Choice(value="clear sheet", words="clear plastic"),
        ),
        path="build_ups.roof",
    ),
    Question(
        key="wet",
        text="Are walls and roof dry in the rain, as painted or covered wood is?",
        abouts=_MACHINE,
        guess="dry",
        choices=(
            Choice(value="dry", words="they stay dry"),
            Choice(value="wet", words="they soak"),
        ),
        path="hut.walls.moisture",
    ),
    Question(
        key="band",
        text="Which wireless band does the machine use?",
        abouts=_SIGNALS,
        guess="2.4 GHz",
        choices=(
            Choice(value="2.4 GHz", words="2.4 GHz, as nearly all do"),
            Choice(value="5 GHz", words="5 GHz only"),
            Choice(value="both", words="both"),
        ),
        path="network.bands",
        spared=True,
    ),
)

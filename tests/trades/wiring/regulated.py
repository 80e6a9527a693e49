"""Small descriptions of a board behind regulators, and what the tests of their checks do with them."""

from hutwright import units
from hutwright.assessment import case_of, rebuilder
from hutwright.checks.judging import judge
from hutwright.checks.levering import Workshop, solve
from hutwright.description.build import build
from hutwright.description.changes import changed
from tests.described import described

# Every number is given without a range, so that a check has one value.
HEAD = """
format = 1
name = "regulated"
[site]
air = {{ coldest = "20 degC", warmest = "20 degC" }}
[supplies]
battery = {{ kind = "lead-acid 12 V", voltage = "{voltage}", resistance = "30 mohm", capacity = "18 Ah" }}
"""
FIVE = """
[regulators.five]
kind = "linear 5 V 0.5 A"
output = "5 V"
dropout = "2 V"
quiescent = "5 mA"
input_capacitor = "0.33 uF"
output_capacitor = "0.1 uF"
"""
ELECTRONICS = """
[electronics]
warmest = "40 degC"
logic = {{ fed_by = "five", load = "{load}" }}
"""
# A 9 V regulator on the battery, a 5 V one behind it, and no motor.
NINE = (
    HEAD
    + FIVE
    + """
fed_by = "nine"
[regulators.nine]
kind = "linear 9 V 1 A"
fed_by = "battery"
output = "9 V"
dropout = "2 V"
quiescent = "5 mA"
"""
    + ELECTRONICS.format(load="70 mA").replace("{", "{{").replace("}", "}}")
)


def board(*, feed="6 m", own="", load="70 mA", regulator="", voltage="12 V", running="3 A"):
    """A 5 V regulator at the bridge or on a cable from it, copper of 10 mohm/m, a motor stalling at 9 A."""
    own_cable = (
        f"""[cables.led]
from = "bridge"
to = "five"
core = "1.5 mm2 class 5"
length = "{own}"
resistance_per_length = "10 mohm/m"
"""
        if own
        else ""
    )
    drive = f"""
[drive]
rating = {{ voltage = "12 V", force = "300 N", speed = "20 mm/s", current = "{running}", duty = "25 %" }}
no_load = {{ speed = "26 mm/s", current = "1 A" }}
stall = {{ current = "9 A", force = "700 N", endurance = "5 s" }}
motor = {{ inductance = "2 mH", time_constant = "50 ms" }}
"""
    return (
        HEAD.format(voltage=voltage)
        + f"""
[cables.feed]
from = "battery"
to = "bridge"
core = "1.5 mm2 class 5"
length = "{feed}"
resistance_per_length = "10 mohm/m"

{own_cable}
"""
        + FIVE
        + ("" if own else 'fed_by = "bridge"\n')
        + regulator
        + ELECTRONICS.format(load=load)
        + """
[electronics.bridge]
kind = "dual bipolar"
offset = "1.4 V"
resistance = "1 ohm"
"""
        + drive
    )


def checks(question, text):
    """The checks of a question at nominal values, by subject."""
    return {each.subject: each for each in question.ask(described(text).project)}


def workshop(question, text, subject):
    found = described(text)
    return Workshop(question, subject, case_of(found), rebuilder(found), {})


def levers_of(question, text, subject, words):
    """The verdict, and the solved lever whose words contain some; exactly one does."""
    case = case_of(described(text))
    verdict = next(each for each in judge(question, case) if each.check.subject == subject)
    declared = [each for each in verdict.check.levers if words in each.words]
    assert len(declared) == 1, [each.words for each in verdict.check.levers]
    (lever,) = solve(workshop(question, text, subject), declared)
    return verdict, lever


def apply(text, question, subject, lever, *, exactly=False):
    """The worst check once a lever is pulled in the file: exactly to zero margin, or as one can buy it."""
    exact = {lever.path: units.write(lever.needed, lever.dimension)} if exactly else {}
    changes = exact or lever.option.changes
    case = case_of(build(changed(described_tables(text), changes)))
    return next(each.worst for each in judge(question, case) if each.check.subject == subject)


def described_tables(text):
    return described(text).merged

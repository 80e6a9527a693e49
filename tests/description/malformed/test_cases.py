from __future__ import annotations

import pytest

from hutwright.description.build import build
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.errors import DescriptionError
from tests.description.malformed.cases import BASE, CASES
from tests.patience import patience

SOON = 400  # readings of the orchard demo: what any description at all may take


def built(text):
    return build(whole(parse_sheet(text, "hut.toml")))


def faults_of(text):
    """The faults of a description that must be refused, soon."""
    with patience(SOON), pytest.raises(DescriptionError) as caught:
        built(text)
    return caught.value.faults


def test_the_sound_description_that_all_cases_change_is_sound():
    assert built(BASE).project.name == "Test hut"


def test_every_case_has_a_name_of_its_own():
    names = [case.name for case in CASES]
    assert len(names) >= 80
    assert sorted(set(names)) == sorted(names)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_one_mistake_is_one_fault_with_its_place_and_its_remedy(case):
    (fault,) = faults_of(case.text)
    assert (fault.file, fault.path, fault.line) == ("hut.toml", case.path, case.line)
    for part in (fault.read, fault.wanted, fault.remedy):
        assert part.strip()
    sentence = fault.sentence()
    assert sentence.startswith(f"hut.toml, line {case.line}: {case.path}: read ")
    assert "\n" not in sentence
    assert [word for word in case.words if word not in sentence] == []


SEVERAL = {  # what is changed in the sound description, and what is blamed for it
    'elevation = "210 m"': ('elevation = "210 Km"', "site.place.elevation"),
    'reach = ["adults", "children"]': ('reach = ["adults", "chidren"]', "site.reach.1"),
    'form = "mono_pitch"': ("form = 3", "hut.roof.form"),
    'ice = "60 N"': ('ise = "60 N"', "door.ise"),
    'force = "300 N", ': ("", "drive.rating.force"),
    'rating = "5 A"': ('rating = "-5 A"', "fuses.main.rating"),
    '"16 s"': ('"16 N"', 'limits."door.opening_time"'),
    '"1.5 mm2 class 5"]': ('"1.6 mm2 class 5"]', 'allow."cables.feed.core".1'),
}


def test_several_faults_of_every_kind_come_at_once_in_the_order_of_the_lines():
    text = BASE.replace('"door.ice" = "luggage', '"door.kind" = "luggage')
    for old, (new, _) in SEVERAL.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    faults = faults_of(text)
    assert [fault.path for fault in faults] == [path for _, path in SEVERAL.values()]
    assert [fault.line for fault in faults] == sorted(fault.line for fault in faults)
    assert all(fault.line > 0 for fault in faults)


def test_a_description_without_a_format_is_told_to_name_it():
    (fault,) = faults_of(BASE.replace("format = 1\n", ""))
    assert fault.sentence() == (
        "hut.toml: format: read nothing; wanted version of the file's format; add format = 1"
    )


@pytest.mark.parametrize(
    ("broken", "path"),
    [
        ('[site]\nair = { warmest = "36 N" }\n[electronics]\n', "site.air.warmest"),
        (
            '[drive.rating]\nvoltage = "12 V"\nforce = "300 N"\nspeed = "22 mm/s"\ncurrent = "-2 A"\n'
            "[controller]\n",
            "drive.rating.current",
        ),
        ('[supplies.battery]\nkind = "led-acid"\n', "supplies.battery.kind"),
        (
            '[supplies]\nBattery = { kind = "lead-acid 12 V" }\n'
            '[cables.feed]\nfrom = "Battery"\nto = "bridge"\n'
            'core = "0.75 mm2 class 5"\nlength = "6 m"\n',
            "supplies.Battery",
        ),
        (
            '[build_ups]\nwall = "22 mm plywood"\nleaf = ["15 mm plywood"]\n[hut]\nfacing = "0 deg"\n'
            'inside = { width = "1 m", depth = "1 m", front = "1 m", back = "0.9 m" }\n'
            'roof = { form = "flat", build_up = "leaf" }\nwalls = { build_up = "wall" }\n',
            "build_ups.wall",
        ),
        ('[site]\nwind = { basic = "24 kg" }\n[measured]\n"site.wind.basic" = "mast"\n', "site.wind.basic"),
        ('[site]\nwind = { basic = "-24 m/s" }\n[measured]\n"site.wind.basic" = "mast"\n', "site.wind.basic"),
    ],
)
def test_what_follows_from_a_fault_is_not_told_as_a_fault_of_its_own(broken, path):
    (fault,) = faults_of(f"format = 1\n{broken}")
    assert fault.path == path


def test_of_very_many_faults_the_first_are_told_and_the_rest_is_counted():
    text = "format = 1\n[site]\n" + "".join(f"unknown_{number} = 1\n" for number in range(5000))
    faults = faults_of(text)
    assert [fault.line for fault in faults] == list(range(3, 104))
    assert faults[-1].read == "4900 more faults from here on"


@pytest.mark.parametrize(
    "text",
    [
        "format = 1\n[members]\n"
        + "".join(
            f'm{n} = {{ section = ["1 m", "1 m"], at = [{", ".join(["6"] * 20)}] }}\n' for n in range(400)
        ),
        "format = 1\n[supplies]\n" + "".join(f'S{n} = {{ kind = "lead-acd 12 V" }}\n' for n in range(1500)),
        "format = 1\n[limits]\n" + "".join(f'"door.opening_tim{n}" = "1 s"\n' for n in range(1500)),
        "format = 1\n[allow]\n" + "".join(f'"door.openin{n}" = "1 s"\n' for n in range(1500)),
        "format = 1\n[measured]\n" + "".join(f'"cables.feed.lenght{n}" = "1 s"\n' for n in range(1500)),
        'format = 1\n[regulators]\nr0 = { kind = "linear 5 V 0.5 A", fed_by = "r399" }\n'
        + "".join(f'r{n + 1} = {{ kind = "linear 5 V 0.5 A", fed_by = "r{n}" }}\n' for n in range(399)),
    ],
    ids=["numbers", "rows", "limits", "allow", "measured", "a long loop"],
)
def test_a_flood_of_faults_is_refused_soon(text):
    assert 1 <= len(faults_of(text)) <= 101

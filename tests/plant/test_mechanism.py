"""The force that the drive must give, against energies, mirror images and a rigid-body engine."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import simpson

from hutwright.laws.kinetic import FREE_FALL
from hutwright.model.door import DoorKind, LinkageKind, Point
from hutwright.plant.conditions import Conditions
from hutwright.plant.loads import loads
from hutwright.plant.masses import leaf_mass
from hutwright.plant.mechanism import greatest, most_helping, rod_force
from hutwright.plant.travel import PLACES, travel
from tests.layout.doors import door_of, mirrored, plain, rods, with_pins
from tests.plant.doors import CALM, lifting, sliding, with_door, without_losses

ENGINE = pytest.mark.published("MuJoCo 4.0, rigid-body engine, inverse dynamics at rest")


@given(rods, st.floats(0.0, 4.0))
def test_without_losses_the_work_of_opening_is_the_energy_gained(project, counterweight):
    project = with_door(without_losses(project), counterweight=counterweight)
    over = travel(project)
    assume(not over.dead.any())
    even = np.linspace(0.0, 1.0, PLACES)
    per_share = rod_force(project, CALM, opening=True) * np.abs(over.arm) * 2 * over.full * even
    work = simpson(per_share, x=even)
    gained = leaf_mass(project) * (over.height[-1] - over.height[0]) - counterweight * over.edge_way[-1]
    assert work == pytest.approx(FREE_FALL * gained, abs=1e-4)


@given(rods)
def test_without_losses_closing_gives_back_what_opening_took(project):
    project = without_losses(project)
    opened, shut = (rod_force(project, CALM, opening=opening) for opening in (True, False))
    live = ~travel(project).dead
    np.testing.assert_allclose(opened[live], -shut[live], atol=1e-9)


@given(rods, st.booleans())
def test_mirror_images_need_the_same_force(project, opening):
    assume(door_of(project).kind in (DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED))
    gust = Conditions(280.0, 60.0, ice=True)
    one, other = (rod_force(each, gust, opening=opening) for each in (project, mirrored(project)))
    finite = np.isfinite(one) & np.isfinite(other)
    np.testing.assert_allclose(one[finite], other[finite], rtol=1e-6, atol=1e-6)


@given(rods, st.booleans())
def test_power_at_the_rod_is_power_at_the_leaf(project, opening):
    over, force = travel(project), rod_force(project, CALM, opening=opening)
    load = loads(project, CALM, opening=opening).total * (1.0 if opening else -1.0)
    live = ~over.dead
    np.testing.assert_allclose(force[live] * np.abs(over.arm[live]), load[live], atol=1e-9)


def test_no_force_is_enough_next_to_a_dead_centre():
    # Pins and hinge in one line with the leaf shut: the rod has no arm there.
    project = with_pins(plain(), (0.47, 0.40, 0.57 - 0.2), (0.47, 0.01, 0.57 - 0.008))
    hinge = door_of(project).hinge
    assert hinge is not None
    foot, line = np.array([0.40, 0.37]), np.array([hinge.y, 0.57])
    head = line + 0.3 * (foot - line)
    project = with_pins(project, (0.47, *foot), (0.47, *head))
    assert travel(project).dead[0]
    assert rod_force(project, CALM, opening=True)[0] == np.inf
    assert greatest(project, CALM, opening=True).force == np.inf


def test_a_direct_drive_gives_what_the_leaf_takes():
    project = lifting()
    force = rod_force(project, CALM, opening=True)
    np.testing.assert_allclose(force, loads(project, CALM, opening=True).total)


def test_the_greatest_and_the_most_helping_force_are_at_their_places():
    project = plain()
    forces = rod_force(project, CALM, opening=False)
    most, least = greatest(project, CALM, opening=False), most_helping(project, CALM, opening=False)
    assert (most.force, least.force) == (forces.max(), forces.min())
    assert forces[most.index] == most.force
    assert travel(project).places[least.index] == least.travel
    assert least.force < 0.0 < most.force  # the leaf falls shut, and the seal holds against it


# ---- against a rigid-body engine ------------------------------------------------------------------------


def _engine(xml):
    """Generalised force at rest and the rod's arm at a place, both by the engine."""
    import mujoco

    model = mujoco.MjModel.from_xml_string(xml)
    data = mujoco.MjData(model)

    def at(place):
        data.qpos[:], data.qvel[:] = place, 0.0
        mujoco.mj_forward(model, data)
        data.qacc[:] = 0.0
        mujoco.mj_inverse(model, data)
        return float(data.qfrc_inverse[0]), float(np.ravel(data.ten_J)[0])

    return at


def _scene(joint, middle, size, mass, foot, head):
    leaf_head = " ".join(str(one - other) for one, other in zip(head, middle, strict=True))
    return f"""
    <mujoco><option gravity="0 0 -{FREE_FALL}"/>
      <worldbody>
        <site name="foot" pos="{" ".join(map(str, foot))}"/>
        <body pos="{" ".join(map(str, middle))}">
          {joint}
          <geom type="box" size="{" ".join(map(str, size))}" mass="{mass}" contype="0" conaffinity="0"/>
          <site name="head" pos="{leaf_head}"/>
        </body>
      </worldbody>
      <tendon><spatial name="rod"><site site="foot"/><site site="head"/></spatial></tendon>
    </mujoco>"""


@ENGINE
def test_a_top_hinged_leaf_hangs_in_its_rod_as_in_a_rigid_body_engine():
    project = without_losses(plain())
    mass = leaf_mass(project)
    joint = '<joint type="hinge" axis="-1 0 0" pos="0 -0.0005 0.28"/>'  # the hinge from the leaf's middle
    at = _engine(
        _scene(
            joint,
            (0.47, -0.0075, 0.29),
            (0.37, 0.0075, 0.28),
            mass,
            (0.47, 0.46, 0.27),
            (0.47, 0.03, 0.35),
        )
    )
    over, force = travel(project), rod_force(project, CALM, opening=True)
    for number in range(0, PLACES, 5):
        load, arm = at(over.places[number])
        assert over.arm[number] == pytest.approx(arm, rel=0.01)
        assert force[number] == pytest.approx(load / abs(arm), rel=0.01)


@ENGINE
def test_a_tilted_sliding_leaf_hangs_in_its_rod_as_in_a_rigid_body_engine():
    project = without_losses(sliding())
    track, link = door_of(project).track, project.linkage
    assert track is not None
    assert link is not None
    tilt = 0.15
    foot, head = (2.6, 0.2, 0.3), (0.5, -0.05, 0.5)
    pins = [Point(x=x, y=y, z=z) for x, y, z in (foot, head)]
    project = with_door(project, track=replace(track, tilt=tilt))
    project = replace(project, linkage=replace(link, kind=LinkageKind.ROD, foot=pins[0], head=pins[1]))
    joint = f'<joint type="slide" axis="{np.cos(tilt)} 0 {np.sin(tilt)}"/>'
    at = _engine(_scene(joint, (0.48, -0.006, 0.32), (0.43, 0.006, 0.33), leaf_mass(project), foot, head))
    over, force = travel(project), rod_force(project, CALM, opening=True)
    for number in range(0, PLACES, 5):
        load, arm = at(over.places[number])
        assert over.arm[number] == pytest.approx(arm, rel=0.01)
        assert force[number] == pytest.approx(load / abs(arm), rel=0.01)

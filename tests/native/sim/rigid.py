"""The two bodies in a rigid-body engine: mechanics alone, the motor without current.

The drive is a tube on the foot's pin with two slides in line: the mount's spring, and the rotor as
armature with dry friction. The obstacle is a tendon that is slack until the face and a spring from there.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from tests.native.doors import HATCH_FOOT, HATCH_HEAD, HATCH_HEIGHT, HATCH_MASS, G


def _drive(door: Any) -> tuple[str, str]:
    """Joints of mount and rotor: their springs, damping, friction and mass."""
    dry = float(door["friction_current"] * door["constant"])
    mount = f'stiffness="{door["mount_stiffness"]}" damping="{door["mount_damping"]}"'
    return mount, f'armature="{door["rotor_mass"]}" frictionloss="{dry}"'


def _hinged(door: Any) -> str:
    (fx, fy), (hx, hy) = HATCH_FOOT, HATCH_HEAD
    length = float(np.hypot(hx - fx, hy - fy))
    line = f"{(hx - fx) / length} {(hy - fy) / length} 0"
    mount, rotor = _drive(door)
    mass, half = HATCH_MASS, 0.5 * HATCH_HEIGHT
    return f"""
    <body name="leaf">
      <joint name="q" type="hinge" axis="0 0 1" frictionloss="{door["resist_close"][0]}"/>
      <inertial pos="0 {-half} 0" mass="{mass}" diaginertia="1 1 {float(door["inertia"]) - mass * half**2}"/>
    </body>
    <body name="tube" pos="{fx} {fy} 0">
      <joint name="pin" type="hinge" axis="0 0 1"/>
      <inertial pos="0 0 0" mass="1e-3" diaginertia="1e-6 1e-6 1e-6"/>
      <body name="block"><joint name="mount" type="slide" axis="{line}" {mount}/>
        <inertial pos="0 0 0" mass="1e-3" diaginertia="1e-9 1e-9 1e-9"/>
        <body name="rod"><joint name="rotor" type="slide" axis="{line}" {rotor}/>
          <inertial pos="0 0 0" mass="1e-3" diaginertia="1e-9 1e-9 1e-9"/>
        </body>
      </body>
    </body>"""


def _straight(door: Any) -> str:
    mount, rotor = _drive(door)
    weight = float(
        -door["gravity"][0]
    )  # as a mass of its own, so that the counterweight is in the inertia only
    return f"""
    <body name="leaf"><joint name="q" type="slide" axis="0 1 0" frictionloss="{door["resist_close"][0]}"
         armature="{float(door["inertia"]) - weight / G - 1e-3}"/>
      <inertial pos="0 0 0" mass="{weight / G + 1e-3}" diaginertia="1 1 1"/>
    </body>
    <body name="block" gravcomp="1"><joint name="mount" type="slide" axis="0 1 0" {mount}/>
      <inertial pos="0 0 0" mass="1e-3" diaginertia="1 1 1"/>
      <body name="rod" gravcomp="1"><joint name="rotor" type="slide" axis="0 1 0" {rotor}/>
        <inertial pos="0 0 0" mass="1e-3" diaginertia="1 1 1"/>
      </body>
    </body>"""


def scene(name: str, door: Any, face: float, stiffness: float, step: float) -> str:
    """The engine's model of one of the test doors."""
    bodies = _hinged(door) if name == "hinged" else _straight(door)
    (fx, fy), (hx, hy) = HATCH_FOOT, HATCH_HEAD
    tie, ways = f'<connect body1="rod" body2="leaf" anchor="{hx - fx} {hy - fy} 0"/>', ""
    if name != "hinged":
        tie = '<tendon tendon1="tie" polycoef="0 1 0 0 0"/>'
        ways = (
            '<fixed name="tie"><joint joint="q" coef="1"/><joint joint="mount" coef="-1"/>'
            '<joint joint="rotor" coef="-1"/></fixed>'
        )
    pull = "0 0 0" if name == "sliding" else f"0 {-G} 0"
    return f"""
    <mujoco><compiler inertiagrouprange="0 0" boundmass="0" boundinertia="0"/>
      <option timestep="{step}" gravity="{pull}" integrator="Euler" cone="elliptic"
              tolerance="1e-12" iterations="50"><flag contact="disable"/></option>
      <default><equality solref="{2 * step} 1" solimp="0.9999 0.9999 0.001"/>
        <joint solreffriction="{2 * step} 1" solimpfriction="0.9999 0.9999 0.001"/></default>
      <worldbody>{bodies}</worldbody>
      <tendon>
        <fixed name="obstacle" stiffness="{stiffness}" springlength="{face} 1e3">
          <joint joint="q" coef="{door["edge_radius"]}"/></fixed>{ways}
      </tendon>
      <equality>{tie}</equality>
    </mujoco>"""


def peak_force(name: str, door: Any, *, start: float, rate: float, arm: float, face: float, stiffness: float,
               duration: float, step: float = 1e-5) -> float:  # fmt: skip
    """Greatest spring force on the obstacle, the leaf and the rotor moving at that rate from that place."""
    import mujoco

    model = mujoco.MjModel.from_xml_string(scene(name, door, face, stiffness, step))
    data = mujoco.MjData(model)
    _place(mujoco, model, data, name, door, start)
    data.joint("q").qvel[0] = rate
    if name == "hinged":
        _turn(data, start, rate)
    else:
        data.joint("rotor").qvel[0] = arm * rate
    most = 0.0
    lever = float(door["edge_radius"])
    for _ in range(round(duration / step)):
        mujoco.mj_step(model, data)
        most = max(most, stiffness * (face - lever * float(data.joint("q").qpos[0])))
    return most


def _pose(angle: float) -> tuple[float, float, np.ndarray]:
    """Turn of the tube, length added to the rod, and the rod's direction, with the hatch at that angle."""
    foot, head = np.array(HATCH_FOOT), np.array(HATCH_HEAD)
    cosine, sine = np.cos(angle), np.sin(angle)
    line = np.array([cosine * head[0] - sine * head[1], sine * head[0] + cosine * head[1]]) - foot
    shut = head - foot
    turn = float(np.arctan2(line[1], line[0]) - np.arctan2(shut[1], shut[0]))
    return turn, float(np.hypot(*line) - np.hypot(*shut)), line


def _place(mujoco: Any, model: Any, data: Any, name: str, door: Any, start: float) -> None:
    """Leaf, tube and rotor where they stand, the mount bearing the leaf's load."""
    data.joint("q").qpos[0] = start
    travel, load, arm = start, float(-door["gravity"][0]), 1.0
    if name == "hinged":
        turn, travel, _ = _pose(start)
        data.joint("pin").qpos[0] = turn
        arm = (_pose(start + 1e-6)[1] - _pose(start - 1e-6)[1]) / 2e-6
        load = HATCH_MASS * G * 0.5 * HATCH_HEIGHT * np.sin(start)
    load -= float(door["resist_close"][0])
    bent = load / arm / float(door["mount_stiffness"])
    data.joint("mount").qpos[0] = -bent
    data.joint("rotor").qpos[0] = travel + bent
    mujoco.mj_forward(model, data)


def _turn(data: Any, start: float, rate: float) -> None:
    """Speeds of tube and rotor that go with the leaf's."""
    (one, low, _), (other, high, _) = _pose(start - 1e-6), _pose(start + 1e-6)
    data.joint("pin").qvel[0] = rate * (other - one) / 2e-6
    data.joint("rotor").qvel[0] = rate * (high - low) / 2e-6

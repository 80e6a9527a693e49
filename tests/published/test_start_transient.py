"""The motor's start, its node and its reservoir, held to a general circuit simulator."""

import math
import subprocess

import numpy as np
import pytest

from hutwright.plant.circuit import MotorLoop
from hutwright.plant.start import SETTLED, MotorStart

THERMAL_VOLTAGE = (
    1.380649e-23 * 300.15 / 1.602176634e-19
)  # SI: Boltzmann constant, charge; ngspice's 27 degC [V]
SATURATION = 1e-6  # of the blocking diode in the netlist [A]
AGREES = 0.03  # of the greatest current, and of the voltage at rest
LOAD = 0.075
CAPACITANCE = 800e-6

# Supply, source, feed, bridge, offset, lead, winding; inductance, time constant, running current.
STARTS = {
    "small door drive": MotorStart(MotorLoop(12.7, 0.08, 0.32, 0.575, 1.4, 0.097, 1.6), 1.5e-3, 0.05, 2.6),
    "hardly loaded": MotorStart(MotorLoop(12.7, 0.08, 0.32, 0.575, 1.4, 0.097, 1.6), 1.5e-3, 0.05, 0.4),
    "swings as it runs up": MotorStart(MotorLoop(12.0, 0.05, 0.2, 0.03, 0.0, 0.1, 1.2), 12e-3, 0.02, 1.0),
    "long thin feed": MotorStart(MotorLoop(13.2, 0.03, 1.2, 0.575, 1.4, 0.2, 1.4), 0.5e-3, 0.08, 1.5),
    "cannot start": MotorStart(MotorLoop(11.0, 0.2, 2.0, 1.15, 1.4, 0.2, 1.6), 1.5e-3, 0.05, 2.6),
}


def netlist(start, until, step, data):
    """The same circuit for the simulator: a rotor is a capacitor that the current charges less its load."""
    loop = start.loop
    rest = loop.voltage - (loop.source + loop.feed) * LOAD - drop_of_diode()
    return f"""start of a motor
vsupply supply 0 dc {loop.voltage}
rsource supply behind {loop.source}
rfeed behind node {loop.feed}
voffset node after dc {loop.offset}
rbridge after lead {loop.bridge}
rlead lead winding {loop.lead}
rwinding winding coil {loop.winding}
lwinding coil back {start.inductance} ic=0
vsense back emf dc 0
eback emf 0 rotor 0 1
fdrive 0 rotor vsense 1
iload rotor 0 dc {start.running}
crotor rotor 0 {start.time_constant / loop.winding} ic=0
dstop 0 rotor stop
dblock node kept block
ckept kept 0 {CAPACITANCE} ic={rest}
iboard kept 0 dc {LOAD}
.model stop d(is=1e-14 n=0.01)
.model block d(is={SATURATION} n=1)
.options reltol=1e-5
.tran {step} {until} 0 {step} uic
.control
set wr_singlescale
set wr_vecnames
run
wrdata {data} i(vsense) v(node) v(kept)
.endc
.end
"""


def drop_of_diode():
    """Forward voltage of the netlist's diode at the board's load."""
    return THERMAL_VOLTAGE * math.log(LOAD / SATURATION + 1.0)


@pytest.fixture
def simulated(require_tool, tmp_path):
    """A function from a start to times, current, node and reservoir as the simulator has them."""
    program = require_tool("ngspice")

    def simulate(start, until):
        data, circuit = tmp_path / "start.data", tmp_path / "start.cir"
        circuit.write_text(netlist(start, until, until / 2000, data), "utf-8")
        ran = subprocess.run(
            [program, "-b", circuit], capture_output=True, text=True, timeout=60, check=False
        )
        assert data.is_file(), f"the simulator wrote nothing: {ran.stdout[-500:]} {ran.stderr[-500:]}"
        return np.loadtxt(data, skiprows=1).T

    return simulate


@pytest.mark.published("ngspice, general circuit simulator, transient analysis of the same circuit")
@pytest.mark.parametrize("name", STARTS)
def test_current_and_voltages_of_a_start_agree_with_a_circuit_simulator(name, simulated):
    start = STARTS[name]
    duration = start.duration
    time, current, node, kept = simulated(start, 0.3 if math.isinf(duration) else 2.0 * duration)
    shared = start.loop.source + start.loop.feed
    assert np.max(np.abs(start.current(time) - current)) <= AGREES * current.max()
    assert start.peak == pytest.approx(current.max(), rel=AGREES)
    rest = start.loop.voltage - shared * LOAD
    # Once the diode blocks, the board draws nothing through the feed: far less than what is allowed.
    assert np.max(np.abs(start.node_voltage(time, shared, LOAD) - node)[1:]) <= AGREES * rest
    expected = start.kept(time, shared, LOAD, drop_of_diode(), CAPACITANCE)
    assert np.max(np.abs(expected - kept)) <= AGREES * rest


@pytest.mark.published("ngspice, general circuit simulator, transient analysis of the same circuit")
@pytest.mark.parametrize("name", [name for name in STARTS if name != "cannot start"])
def test_a_start_is_over_in_the_simulator_when_the_closed_form_says_so(name, simulated):
    start = STARTS[name]
    time, current, _, _ = simulated(start, 2.0 * start.duration)
    above = time[current > start.running + SETTLED * start.way]
    assert above.max() == pytest.approx(start.duration, rel=AGREES)

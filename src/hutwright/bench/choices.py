"""What the controller is set to where the description is silent, each with its reason."""

from __future__ import annotations

from hutwright.native.words import Ends

# A soft start of 0.1 to 0.5 s from a fifth of the duty is common: long enough for the rotor to follow, so
# that the current of the start stays below that of a stall. Standing: practice
RAMP = 0.2  # [s]
START_SHARE = 0.2  # of the duty to come [-]
# 20 to 100 ms with both sides off are common before a motor is turned round. Standing: practice
DEAD_TIME = 0.03  # [s]

# The backstop must be reached by a drive held fast, also with a supply that has sagged, and lie well above
# what the detector judges; where a drive stalls below that it never acts before the detector.
# Standing: practice
BACKSTOP_OF_STALL = 0.9  # [-]
BACKSTOP_OF_TRIP = 1.5  # [-]
LEAST_BACKSTOP_OF_TRIP = 1.1  # [-]
# The start of a motor on a soft ramp and the noise of its brushes last less. Standing: practice
BACKSTOP_TIME = 0.02  # [s]
SLOW_MEAN = 0.3  # of the detector that is off until a calibration sets it [s]
START_STEP = 0.05  # of the profile of a start, which is nothing until a calibration [s]
WIDEST_TEMPERATURES = (-600, 900)  # of the profile that knows no weather [0.1 degC]
WIDEST_SUPPLY = (3000, 60000)  # [mV]

# Above the voltage at which the board resets or the bridge no longer switches: a regulator's tolerance, and
# the ripple of a motor. Standing: practice
SUPPLY_MARGIN = 0.5  # [V]
STOP_OF_SUPPLY = 0.6  # of the supply, where neither board nor bridge is described. Standing: practice [-]
# A battery below nine tenths of its middling voltage is empty. Standing: practice
START_OF_SUPPLY = 0.9  # [-]
# With a soft start a motor dips its supply for less. Standing: practice
LOW_SUPPLY_TIME = 0.05  # [s]

# Share of the rod's travel round either end. Inside switches: the place comes from the back-EMF, with
# constants known to a few per cent and a drive colder or warmer than 20 degC. Without any switch the window
# is a hole in the guard - what is caught there counts as the frame -, so that it is as narrow as the place
# allows; with switches at the board it decides nothing. Standing: practice
END_WINDOW = {Ends.SWITCHES: 0.03, Ends.INSIDE: 0.05, Ends.STALL: 0.02}  # [-]
SLIP = 0.15  # of the travel, that the place may be out at a switch: thrice the window. Standing: practice [-]

ZERO_TIME = 0.05  # fifty readings of rest over which the sensor is zeroed. Standing: practice [s]
# Of the sensor's range: three times the total error of a Hall sensor. Standing: practice
ZERO_SHARE = 0.05  # [-]
RANGE_SHARE = 0.98  # a reading at the very end of a sensor's range is no reading. Standing: practice [-]
# Of the least current that moves the free leaf: half way to nothing. Standing: derived here
NO_CURRENT_SHARE = 0.5  # [-]
# Steps of the converter that are no current for sure: one of rounding, one of the zero.
# Standing: derived here
NO_CURRENT_STEPS = 2.0  # [-]
LEAST_NO_CURRENT = 0.02  # for a sensor that is not described: a choice of this project [A]
# Some time constants of motor and filter. The time that the rotor takes to slow down from the normal to the
# last speed, when hardly any current flows, comes on top. Standing: practice
NO_CURRENT_TIME = 0.1  # [s]
# Chance of the same reading again and again in a sensor that is well: 1e9 readings in a season, wrong in one
# of 1e9 seasons. Standing: derived here
STUCK_CHANCE = 1e-18  # [-]
LEAST_STUCK = 0.1  # nobody asks for less: a choice of this project [s]
MOST_STUCK = 2.0  # where chance wants longer the sensor is not watched for it: a choice of this project [s]

# Backing off after an obstruction while opening: until the mount has unwound from the drive's stall, and a
# little more. Standing: practice
RELAX_MORE = 3e-3  # of the rod [m]
BACK_EDGE = 0.1  # way of the edge that it closes back then: room for a hand. Standing: practice [m]
MOST_REVERSALS = 3  # in a row. Standing: practice [-]

# Pulse-echo sensors lose a moving machine for a part of a second. Standing: practice
PRESENT_HOLD = 1.0  # [s]
DEBOUNCE = 0.02  # contacts bounce for 5 to 20 ms. Standing: practice [s]
CLEAR = 3.0  # nobody holds a button so long by mistake. Standing: practice [s]
# Without a whole word for six heart beats of half a second the link is lost. A move under way is finished all
# the same: the far end is no layer of protection, and a half-open door keeps out neither rain nor people.
# A choice of this project
LINK_LOST = 3.0  # [s]

"""How many counts of the converter the trip current comes to."""

from __future__ import annotations

from hutwright.catalogue.boards import BOARDS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Number, Step
from hutwright.laws.hall_sensor import current_per_count
from hutwright.model.project import Project
from hutwright.sources import CONTROLLER_DATA_SHEET_CONVERTER, Source, Standing
from hutwright.trades.wiring.feeding import amperes, volts
from hutwright.trades.wiring.sensing import other_kinds, other_trip, sensitivity, steps_of_converter
from hutwright.units import NUMBER

FEWEST = 20.0  # counts; common practice of the trade: steps of 5 % at the trip; standing: practice
PRACTICE = Source("common practice of the trade", "at least 20 counts at a threshold", Standing.PRACTICE)


def ask(project: Project) -> tuple[Check, ...]:
    """Counts between no current and the trip against twenty.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where sensor, board or controller is not described.
    """
    electronics, controller = project.electronics, project.controller
    if electronics is None or electronics.current_sensor is None or electronics.board is None:
        return ()
    if controller is None:
        return ()
    sensor, board, trip = electronics.current_sensor, electronics.board, controller.detection.trip
    count = current_per_count(board.reference, BOARDS[board.kind].converter_bits, sensor.sensitivity)
    counts = trip / count
    dial = other_trip(project, sensor)
    return (
        Check(
            value=counts,
            limit=FEWEST,
            dimension=NUMBER,
            sense=Sense.AT_LEAST,
            method=CONTROLLER_DATA_SHEET_CONVERTER,
            limit_from=PRACTICE,
            working=(
                Step(
                    symbol="I_count",
                    formula="U_ref / (n_steps * k)",
                    numbers={
                        "U_ref": volts(board.reference),
                        "n_steps": Number(steps_of_converter(board), NUMBER),
                        "k": sensitivity(sensor),
                    },
                    result=amperes(count),
                    words="one count of the converter",
                ),
                Step(
                    symbol="n_trip",
                    formula="I_trip / I_count",
                    numbers={"I_trip": amperes(trip), "I_count": amperes(count)},
                    result=Number(counts, NUMBER),
                    words="counts from no current to the trip",
                ),
            ),
            levers=(other_kinds(sensor), *((dial,) if dial is not None else ())),
            meaning="With few counts the trip can be set only coarsely, and rounding alone moves it.",
        ),
    )


QUESTION = Question(
    key="wiring.sensor_counts",
    title="Counts of the converter at the trip",
    concern=Concern.FUNCTION,
    needs=(("electronics", "current_sensor"), ("electronics", "board"), ("controller",)),
    ask=ask,
)

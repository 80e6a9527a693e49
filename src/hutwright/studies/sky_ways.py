"""What else than roof windows would let the machine start: each way is put into the description and tried."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import pi

from hutwright import units
from hutwright.checks.lever import Effort
from hutwright.description.build import rebuild
from hutwright.description.described import Described
from hutwright.errors import Cancel, DescriptionError, Progress, RequestError
from hutwright.layout.frame import hut_of
from hutwright.model.paths import Keys
from hutwright.plant.sky.inside import Season, State
from hutwright.plant.sky.readiness import RAIN
from hutwright.studies.placement import SCATTER, Readiness, readiness
from hutwright.studies.sky_search import TIE
from hutwright.trades.sky.bettering import better

OPEN_IN_RAIN = State(season=Season.RAIN, is_open=True)
# How the hut may be turned, seen from above: what it is called, and what is added to its facing [rad]
TURNS = (
    ("turn the hut a quarter to the right", pi / 2),
    ("turn the hut a quarter to the left", -pi / 2),
    ("turn the hut half round", pi),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """One thing that was tried, in the wet.

    Attributes
    ----------
    words : str
        What to do, starting with a verb.
    changes : Mapping
        What the description has to be changed by; empty where nothing is built or bought.
    effort : Effort
        What it costs.
    before : Readiness
        As described, the door shut.
    after : Readiness or None
        With it; None where it cannot be done here.
    why_not : str
        Why it cannot be done; "" where it can.
    """

    words: str
    changes: Mapping[Keys, object]
    effort: Effort
    before: Readiness
    after: Readiness | None
    why_not: str

    @property
    def gain(self) -> float:
        """Share of the day by which it is ready for longer [-]."""
        return 0.0 if self.after is None else self.after.ready - self.before.ready

    @property
    def adds(self) -> float:
        """Satellites that it adds, mean over the day [-]."""
        return 0.0 if self.after is None else self.after.count - self.before.count

    @property
    def helps(self) -> bool:
        """Whether it is ready for longer by what can be told apart, or a reading would show it."""
        return self.gain >= TIE or self.adds >= SCATTER


@dataclass(frozen=True, slots=True)
class _Idea:
    words: str
    changes: Mapping[Keys, object]
    effort: Effort
    state: State = RAIN


def other_ways(
    described: Described, *, progress: Progress | None = None, cancel: Cancel | None = None
) -> tuple[Way, ...]:
    """Everything else than windows that was tried on a description, what helps most first.

    Parameters
    ----------
    described : Described
        The description, with the windows that it has.
    progress : Callable or None
        Is told how many of how many are tried.
    cancel : Cancel or None
        Ends it early; what was tried by then is given.

    Raises
    ------
    RequestError
        Where what readiness needs is not described.
    """
    before = readiness(described.project, RAIN)
    ideas = tuple(_ideas(described))
    stopped: Callable[[], bool] = (lambda: False) if cancel is None else cancel.is_set
    found = []
    for number, idea in enumerate(ideas, start=1):
        if stopped():
            break
        found.append(_tried(described, idea, before))
        if progress is not None:
            progress(number, len(ideas))
    return tuple(sorted(found, key=lambda way: (-round(way.gain, 6), -round(way.adds, 6))))


def _ideas(described: Described) -> Iterator[_Idea]:
    project = described.project
    if project.door is not None:
        yield _Idea("open the door before the machine starts", {}, Effort.SETTING, OPEN_IN_RAIN)
    for pick in better(project, RAIN, shared=True):
        for option in pick.options:
            if not any(path[0] == "openings" for path in option.changes):
                yield _Idea(option.words, option.changes, pick.effort)
    facing = hut_of(project).facing
    for words, turn in TURNS:
        turned = units.write_as((facing + turn) % (2.0 * pi), units.ANGLE, "deg")
        yield _Idea(words, {("hut", "facing"): turned}, Effort.REBUILD)


def _tried(described: Described, idea: _Idea, before: Readiness) -> Way:
    after, why_not = None, ""
    try:
        changed = rebuild(described, idea.changes) if idea.changes else described
        after = readiness(changed.project, idea.state)
    except (DescriptionError, RequestError) as error:
        why_not = str(error)
    return Way(
        words=idea.words,
        changes=idea.changes,
        effort=idea.effort,
        before=before,
        after=after,
        why_not=why_not,
    )

"""Where one, two or three roof windows help most, and whether the first alone is wasted.

The places are searched in the wet: soaked walls and a film of water on the panes. What comes out is put into
the description and worked out anew by the plain integral, so that `check` finds the same numbers later.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np

from hutwright.catalogue.roof_windows import SHEETS, WindowSheet
from hutwright.description.build import rebuild
from hutwright.description.described import Described
from hutwright.errors import Cancel, Progress, RequestError, stopped
from hutwright.layout.skin import uncut
from hutwright.model.hut import Opening, Pane
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.sky.coverings import WET
from hutwright.plant.sky.inside import State
from hutwright.plant.sky.readiness import (
    RAIN,
    SHUT,
    THAW,
    accuracy,
    counted,
    doubt_db,
    ready_share,
    rule_of,
)
from hutwright.plant.sky.table import RoofWindow, layout_field, scene, table_of
from hutwright.studies.sky_search import Chosen, Field, Listening, Search
from hutwright.studies.window_places import STEP, WindowPlace, on_the_skin, together, window_places

MOST_WINDOWS = 3  # that are placed at once
MOST_PLACES = 400  # that are tried for each window; with more the places lie wider: ours to choose [-]
WIDER = 1.25  # from one try of a step to the next: ours to choose [-]
SCATTER = 2.0  # satellites by which a receiver's count scatters; standing: practice
PANE: Mapping[str, object] = {"material": "polycarbonate", "thickness": "5 mm"}
NAME = "roof_window_{}"
Changes = dict[Keys, object]


@dataclass(frozen=True, kw_only=True, slots=True)
class Readiness:
    """How ready the machine is in one state of the hut.

    Attributes
    ----------
    ready : float
        Share of the day in which it could start. [-]
    least : float
        The least that the method's accuracy allows. [-]
    most : float
        The most that it allows. [-]
    count : float
        Satellites that count, mean over the day. [-]
    accuracy : str
        How good the method is for such a hut, in words.
    """

    ready: float
    least: float
    most: float
    count: float
    accuracy: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """Some roof windows, and how ready the machine is with them, the door shut.

    Attributes
    ----------
    windows : tuple
        The windows; empty for the roof without any but those that stay.
    changes : Mapping
        What the description has to be changed by, address to value; None takes an opening out.
    dry : Readiness
        In the weather as described.
    wet : Readiness
        In rain: soaked walls, a film of water on the panes.
    thaw : Readiness
        With wet snow on the roof.
    adds_dry : float
        Satellites that it adds to the layout of one window less, in the weather as described. [-]
    adds_wet : float
        The same in rain. [-]
    """

    windows: tuple[WindowPlace, ...]
    changes: Mapping[Keys, object]
    dry: Readiness
    wet: Readiness
    thaw: Readiness
    adds_dry: float
    adds_wet: float

    @property
    def area(self) -> float:
        """Area of all holes [m2]."""
        return sum(each.area for each in self.windows)

    @property
    def seen(self) -> bool:
        """Whether a reading could tell it from the layout of one window less, dry or wet."""
        return max(self.adds_dry, self.adds_wet) >= SCATTER


@dataclass(frozen=True, kw_only=True, slots=True)
class Placement:
    """What came of a search for roof windows.

    Attributes
    ----------
    layouts : tuple
        Without any window first, then the best one, the best two and so on.
    kept : tuple
        Names of described roof windows that stay; of the others the search is free.
    wanted : float
        Share of the day that the start rule asks for. [-]
    places : int
        How many places and sizes there are for each window. [-]
    step : float
        How far apart they lie, at most. [m]
    tried : int
        How many layouts were worked out. [-]
    complete : bool
        Whether the search went to its end; False where it was cancelled.
    """

    layouts: tuple[Layout, ...]
    kept: tuple[str, ...]
    wanted: float
    places: int
    step: float
    tried: int
    complete: bool

    @property
    def first_wasted(self) -> bool:
        """Whether the first window alone adds less than a reading scatters by."""
        return len(self.layouts) > 1 and not self.layouts[1].seen

    @property
    def enough(self) -> Layout | None:
        """The layout with the fewest windows that is ready for as much of the day as wanted, in the wet."""
        return next((each for each in self.layouts if each.wet.ready >= self.wanted), None)


def place_windows(
    described: Described,
    *,
    most: int = MOST_WINDOWS,
    keep: Collection[str] = (),
    sheets: Sequence[WindowSheet] = SHEETS,
    step: float = STEP,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Placement:
    """The best one, two and so on roof windows between the timbers, by readiness in the wet.

    For one window every place is tried; two and more are found by exchange, so that no exchange of one
    window for another makes them better. Readiness counts to a hundredth of the day; where it is the same
    the smaller area is better.

    Parameters
    ----------
    described : Described
        The description; the panes are those of its first roof window, or of plain polycarbonate.
    most : int
        How many windows at most, 1 to 3. [-]
    keep : Collection
        Names of roof windows that are cut already and stay; windows come on top of these.
    sheets : Sequence
        The sheets that one can buy.
    step : float
        Between places, at most; made wider where there would be too many. [m]
    executor : Executor or None
        Where the table is worked out; here without one. The answer is the same.
    progress : Callable or None
        Is told how many parts of how many are done.
    cancel : Cancel or None
        Ends it early; what was found by then is given.

    Raises
    ------
    RequestError
        Where what it needs is not described, or a window that is to stay is not there.
    """
    if not 1 <= most <= MOST_WINDOWS:
        raise RequestError(f"{most} windows were asked for; ask for 1 to {MOST_WINDOWS}")
    told = _Telling(2 + 2 * most, progress, cancel)
    bare = _without_windows(described, keep)
    project = bare.project
    pane = _spelled_pane(described)
    layouts = [_layout(described, bare, (), pane, None)]
    told.part()
    places, used = _places(project, sheets, step)
    found: list[Chosen] = []
    tried = 0
    if places and not told.stopped():
        search = Search(*_prepared(project, bare, places, pane, executor), told.stopped)
        told.part()
        for each in search.best(most):
            if each is None:
                break
            found.append(each[0])
            told.part()
        tried = search.tried
    for chosen in found:
        if told.stopped():
            break
        windows = tuple(places[each] for each in chosen)
        layouts.append(_layout(described, bare, windows, pane, layouts[-1]))
        told.part()
    return Placement(
        layouts=tuple(layouts),
        kept=tuple(each for each in project.openings if _has_pane(project.openings[each])),
        wanted=rule_of(project).share_of_day,
        places=len(places),
        step=used,
        tried=tried,
        complete=not told.stopped(),
    )


class _Telling:
    """Who is told of the progress, and who may end it."""

    def __init__(self, parts: int, progress: Progress | None, cancel: Cancel | None) -> None:
        self.parts, self.done, self.progress, self.cancel = parts, 0, progress, cancel

    def part(self) -> None:
        """One part more is done."""
        self.done += 1
        if self.progress is not None:
            self.progress(self.done, self.parts)

    def stopped(self) -> bool:
        """Whether the answer is no longer wanted."""
        return stopped(self.cancel)


# ---- the description --------------------------------------------------------------------------------------


def _has_pane(opening: Opening) -> bool:
    return opening.pane is not None and opening.place.face.value.startswith("roof")


def _without_windows(described: Described, keep: Collection[str]) -> Described:
    """The description without its roof windows but those that stay."""
    windows = [name for name, each in described.project.openings.items() if _has_pane(each)]
    for name in keep:
        if name not in windows:
            known = ", ".join(windows) or "none"
            raise RequestError(f"'{name}' is no roof window of this hut; described are {known}")
    out: Changes = {("openings", name): None for name in windows if name not in keep}
    return rebuild(described, out) if out else described


def _spelled_pane(described: Described) -> object:
    """The pane of the first roof window as the file spells it; plain polycarbonate where there is none."""
    openings = described.merged.data.get("openings", {})
    for name, each in described.project.openings.items():
        if _has_pane(each) and isinstance(openings, dict):
            return openings[name]["pane"]
    return dict(PANE)


def _with(bare: Described, windows: Sequence[WindowPlace], pane: object) -> tuple[Described, Changes]:
    """The description with windows put in, and what that changes."""
    changes: Changes = {}
    number = 0
    for each in windows:
        number += 1
        while NAME.format(number) in bare.project.openings:
            number += 1
        changes["openings", NAME.format(number)] = each.spelled(pane)
    return (rebuild(bare, changes) if changes else bare), changes


def _layout(
    described: Described,
    bare: Described,
    windows: tuple[WindowPlace, ...],
    pane: object,
    before: Layout | None,
) -> Layout:
    built, added = _with(bare, windows, pane)
    gone = frozenset(described.project.openings) - frozenset(bare.project.openings)
    out: Changes = {("openings", name): None for name in sorted(gone)}
    # without a window the sums of the description serve, which a check has left in the memory
    project, closed = (built.project, frozenset[str]()) if windows else (described.project, gone)
    dry, wet, thaw = (readiness(project, replace(state, closed=closed)) for state in (SHUT, RAIN, THAW))
    return Layout(
        windows=windows,
        changes={**out, **added},
        dry=dry,
        wet=wet,
        thaw=thaw,
        adds_dry=0.0 if before is None else dry.count - before.dry.count,
        adds_wet=0.0 if before is None else wet.count - before.wet.count,
    )


def readiness(project: Project, state: State) -> Readiness:
    """How ready the machine is in a state of the hut.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The state.
    """
    least, most = doubt_db(project, state)
    ready = ready_share(project, state)
    return Readiness(
        ready=ready,
        least=min(ready, ready_share(project, state, least)),
        most=max(ready, ready_share(project, state, most)),
        count=float(counted(project, state).sum(axis=1).mean()),
        accuracy=accuracy(project, state).words,
    )


# ---- the search -------------------------------------------------------------------------------------------


def _places(
    project: Project, sheets: Sequence[WindowSheet], step: float
) -> tuple[tuple[WindowPlace, ...], float]:
    """The places that are tried, not too many, and how far apart they lie at most."""
    if not 0.005 <= step <= 1.0:
        raise RequestError(f"places {step:g} m apart were asked for; ask for 0.005 to 1 m")
    while True:
        found = window_places(project, sheets=sheets, step=step)
        if len(found) <= MOST_PLACES or step > 1.0:
            return found, step
        step *= WIDER


def _prepared(
    project: Project, bare: Described, places: Sequence[WindowPlace], pane: object, executor: Executor | None
) -> tuple[Listening, Field]:
    """The field in the wet and what each window adds to it."""
    table = table_of(project, executor=executor)
    leaf = None if project.door is None else 0
    stage = scene(project, table, _pane(bare, places[0], pane), WET, leaf=leaf)
    base = stage.closed.copy()
    for window, own in _kept(project):
        other = scene(project, table, own, WET, leaf=leaf)
        base += layout_field(other, [window]) - other.closed
    added = np.empty((len(places), base.size), dtype=np.complex64)
    for row, each in zip(added, on_the_skin(project, places), strict=True):
        row[:] = (layout_field(stage, [each]) - stage.closed).reshape(-1)
    areas = np.array([each.area for each in places])
    field = Field(base.reshape(-1), added, areas, together(places))
    return Listening(project, table.sums.antenna.weights), field


def _pane(bare: Described, place: WindowPlace, pane: object) -> Pane:
    """The record of a pane that is spelled as in the file."""
    built, changes = _with(bare, (place,), pane)
    ((_, name),) = changes
    found = built.project.openings[name].pane
    assert found is not None
    return found


def _kept(project: Project) -> Iterator[tuple[RoofWindow, Pane]]:
    """The roof windows that are described, in the measures of the inner skin."""
    whole = uncut(project)
    for face in whole.faces:
        for region in face.regions:
            opening = project.openings.get(whole.coverings[region.covering].name)
            if opening is not None and _has_pane(opening) and opening.pane is not None:
                yield RoofWindow(face.name, region.across, region.along), opening.pane

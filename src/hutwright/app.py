"""The verbs that both faces offer; each loads what no other needs, so that none waits for the rest."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hutwright import units
from hutwright.assessment import TRADES, Assessment, assess, trades
from hutwright.checks.check import Question, Trade
from hutwright.checks.verdict import Tier, Verdict
from hutwright.description import folder as folders
from hutwright.description.build import build
from hutwright.description.described import Described
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.errors import Cancel, Progress, RequestError, shortened, system_words

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from hutwright.bench.scenario import Scenario
    from hutwright.description.questions import Answers
    from hutwright.studies.compare import Comparison
    from hutwright.studies.rehearse import Rehearsed
    from hutwright.studies.sky_look import Look
    from hutwright.studies.trials import Trials


@dataclass(frozen=True, kw_only=True, slots=True)
class Explained:
    """One check, and the description that it rests on.

    Attributes
    ----------
    described : Described
        The description.
    verdict : Verdict
        The check.
    """

    described: Described
    verdict: Verdict


@dataclass(frozen=True, kw_only=True, slots=True)
class Scenarios:
    """The scenarios of a rehearsal.

    Attributes
    ----------
    scenarios : tuple
        The scenarios, in reading order.
    arising : tuple
        Keys of those that arise for the project.
    """

    scenarios: tuple[Scenario, ...]
    arising: tuple[str, ...]


def check(
    folder: Path, trades: Iterable[str] = (), variant: str | None = None, *, tier: Tier = Tier.QUICK
) -> Assessment:
    """Every check of some trades.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    trades : iterable of str
        Names of the trades to ask; all where none is named.
    variant : str or None
        Name of a variant; None for the description as it stands.
    tier : Tier
        Quick looks for two levers a check, full for all.

    Returns
    -------
    Assessment
        Verdicts, open questions, actions, cautions.

    Raises
    ------
    HutwrightError
        Where a name is unknown or the description is at fault.
    """
    chosen = chosen_trades(trades)
    return assess(folders.load(folder, variant), chosen, tier=tier)


def wiring(folder: Path, variant: str | None = None) -> Assessment:
    """The wiring's checks, for its one page of tables and part values.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    variant : str or None
        Name of a variant; None for the description as it stands.

    Returns
    -------
    Assessment
        Of the wiring alone.

    Raises
    ------
    RequestError
        Where the folder describes no cables.
    HutwrightError
        Where the description cannot be read.
    """
    assessment = check(folder, ("wiring",), variant)
    if not assessment.described.project.cables:
        raise RequestError("this folder describes no cables; add [cables], or begin with `hutwright start`")
    return assessment


def why(folder: Path, key: str, variant: str | None = None) -> Explained:
    """One check with all that leads to it.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    key : str
        The check's key; the trade may be left out, and so may the thing it is about where there is but one.
    variant : str or None
        Name of a variant; None for the description as it stands.

    Returns
    -------
    Explained
        The check and its description.

    Raises
    ------
    HutwrightError
        Where the key is unknown, means several checks or is not asked of this description.
    """
    trade, question, subject = _found(key)
    described = folders.load(folder, variant)
    assessment = assess(described, (replace(trade, questions=(question,)),), tier=Tier.FULL)
    if assessment.not_asked:
        lacking = ", ".join(".".join(path) for path in assessment.not_asked[0].lacking)
        raise RequestError(f"{question.key} is not asked yet: describe {lacking} first")
    return Explained(described=described, verdict=_the_one(question, subject, assessment.verdicts))


def compare(folder: Path, names: Sequence[str] = (), trades: Iterable[str] = ()) -> Comparison:
    """Variants beside the description.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    names : sequence of str
        Names of the variants; all where none is named.
    trades : iterable of str
        Names of the trades to ask; all where none is named.

    Returns
    -------
    Comparison
        What each changes, and the checks that differ.

    Raises
    ------
    HutwrightError
        Where a name is unknown, there is no variant, or a file is at fault.
    """
    from hutwright.studies import compare as comparing

    chosen = chosen_trades(trades)
    wanted = tuple(dict.fromkeys(names)) or folders.variants(folder)
    base = folders.load(folder)
    if not wanted:
        raise RequestError(
            f"{folder} has no variants to compare; write one as {folders.VARIANTS}/<name>{folders.SUFFIX} "
            "with only "
            'what is different in it, such as cables.feed.core = "1.5 mm2 class 5"'
        )
    others = [folders.load(folder, name) for name in wanted]
    return comparing.compare(
        assess(base, chosen, tier=Tier.QUICK), [assess(each, chosen, tier=Tier.QUICK) for each in others]
    )


def rehearse(
    folder: Path,
    names: Iterable[str] = (),
    variant: str | None = None,
    *,
    settings: Path | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Rehearsed:
    """Play the door with its controller, and try what would help where a scenario is not met.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    names : iterable of str
        Keys of scenarios, or of families of them; all where none is named.
    variant : str or None
        Name of a variant; None for the description as it stands.
    settings : pathlib.Path or None
        File of the controller's settings (settings.lines); None for those that follow from the description.
    executor : Executor or None
        Where the runs are made; here where none is given. The answer is the same.
    progress : Callable or None
        Is told how many runs of how many are made.
    cancel : Cancel or None
        Ends it early; what was made by then is judged.

    Returns
    -------
    Rehearsed
        Scenarios and findings.

    Raises
    ------
    RequestError
        Where a name is unknown, or what a door needs is not described.
    HutwrightError
        Where the description cannot be read, or its controller cannot be set like that.
    """
    from hutwright.bench.scenarios import chosen
    from hutwright.live.settings_file import settings_of
    from hutwright.studies.rehearse import rehearse_described

    scenarios = chosen(names)
    described, flashed = folders.load(folder, variant), None if settings is None else settings_of(settings)
    return rehearse_described(
        described, scenarios, flashed=flashed, executor=executor, progress=progress, cancel=cancel
    )


def rehearse_often(
    found: Rehearsed,
    runs: int,
    *,
    seed: int = 0,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Trials:
    """Play the same scenarios again and again, with every unsure value of the description drawn anew.

    Parameters
    ----------
    found : Rehearsed
        A rehearsal of the description.
    runs : int
        How often, 1 or more. [-]
    seed : int
        What the values are drawn by. [-]
    executor : Executor or None
        Where the runs are made; here where none is given. The answer is the same.
    progress : Callable or None
        Is told how many of how many are made.
    cancel : Cancel or None
        Ends it early; the runs that were made by then count.

    Returns
    -------
    Trials
        Shares with their intervals, and the spread of every bound.
    """
    from hutwright.studies.trials import trials

    scenarios = [each.scenario for each in found.rehearsal.performances]
    return trials(
        found.described,
        runs,
        seed=seed,
        scenarios=scenarios,
        flashed=found.flashed,
        executor=executor,
        progress=progress,
        cancel=cancel,
    )


def scenarios_of(folder: Path, names: Iterable[str] = (), variant: str | None = None) -> Scenarios:
    """The scenarios that there are, and those that arise for a project.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    names : iterable of str
        Keys of scenarios, or of families of them; all where none is named.
    variant : str or None
        Name of a variant; None for the description as it stands.

    Returns
    -------
    Scenarios
        All of them, and the keys of those that arise.

    Raises
    ------
    RequestError
        Where a name is unknown, or what a door needs is not described.
    """
    from hutwright.bench.rehearsal import cast
    from hutwright.bench.scenarios import chosen
    from hutwright.studies.rehearse import stage_of

    wanted = chosen(names)
    ready, _ = cast(stage_of(folders.load(folder, variant)), wanted)
    return Scenarios(scenarios=wanted, arising=tuple(each.scenario.key for each in ready))


def sky(
    folder: Path,
    variant: str | None = None,
    *,
    windows: int = 3,
    worth: bool = False,
    confirm: bool = False,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Look:
    """Look at the sky over a hut: how ready, from where, what windows would help, what was seen.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder, with readings, incidents and orbits beside the description where there are any.
    variant : str or None
        Name of a variant; None for the description as it stands.
    windows : int
        How many roof windows are placed at most; with 0 none is, and nothing else is tried. [-]
    worth : bool
        Whether to work out what the best window would be worth elsewhere.
    confirm : bool
        Whether to ask the full wave as well.
    executor : Executor or None
        Where slow tables are worked out; here where none is given. The answer is the same.
    progress : Callable or None
        Is told how many parts of how many of the search are done.
    cancel : Cancel or None
        Ends it early; what was found by then is given.

    Returns
    -------
    Look
        All that was found.

    Raises
    ------
    RequestError
        Where what it needs is not described.
    HutwrightError
        Where the description or a file beside it cannot be read.
    """
    from hutwright.evidence.beside import read_beside
    from hutwright.evidence.moments import zone_named
    from hutwright.laws.gnss_time import EPOCH_UNIX, gps_from_utc
    from hutwright.studies.sky_look import look
    from hutwright.studies.sky_prediction import roof_openings

    described = folders.load(folder, variant)
    zone = zone_named(described.project.site.time_zone)
    now = float(gps_from_utc(time.time() - EPOCH_UNIX))
    beside = read_beside(folder, zone, roof_openings(described.project), now)
    return look(
        described,
        beside,
        zone,
        most=windows,
        worth=worth,
        confirm=confirm,
        executor=executor,
        progress=progress,
        cancel=cancel,
    )


def schema() -> dict[str, Any]:
    """The shape of a description for editors, as JSON Schema."""
    from hutwright.description.schema import schema_of_description

    return schema_of_description()


def start(folder: Path, answers: Answers) -> Path:
    """Begin a project: write a small description that can be checked at once.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder; made where it is missing.
    answers : Answers
        What the builder said.

    Returns
    -------
    pathlib.Path
        The file that was written.

    Raises
    ------
    DescriptionError
        Where the answers contradict each other; nothing is written then.
    RequestError
        Where a description is there already, or the file cannot be written.
    """
    from hutwright.description.draft import draft
    from hutwright.description.writing import write_atomic

    refuse_overwriting(folder)
    text = draft(answers)
    build(whole(parse_sheet(text, folders.DESCRIPTION)))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise RequestError(
            f"{shortened(str(folder))} cannot be made: the system said {system_words(error)}; "
            "wanted a folder where you may write; choose another"
        ) from error
    path = folder / folders.DESCRIPTION
    write_atomic(path, text)
    return path


def refuse_overwriting(folder: Path) -> None:
    """Raise a RequestError where a description is there already, so that none is ever lost."""
    path = folder / folders.DESCRIPTION
    try:
        there = path.exists() or path.is_symlink()
    except (OSError, ValueError):
        return  # making the folder will say what is wrong with it
    if there:
        raise RequestError(
            f"{path} is there already and stays as it is; change it with an editor, look at it with "
            f"'hutwright check {folder}', or begin in another folder"
        )


def chosen_trades(names: Iterable[str]) -> tuple[Trade, ...]:
    """The trades of those names in reading order; all where none is named."""
    wanted, known = list(names), list(TRADES)
    for name in wanted:
        if name not in known:
            near = units.nearest(name, known)
            remedy = f'did you mean "{near}"?' if near else "name one of these"
            raise RequestError(
                f"no trade is called {shortened(name)}; there are: {', '.join(known)}; {remedy}"
            )
    return trades(wanted)


def _found(key: str) -> tuple[Trade, Question, str]:
    """The question that a key means, and the thing it is asked about, "" where none is named."""
    known: list[str] = []
    for trade, question in _questions():
        name = question.key.split(".", 1)[1]
        for form in (question.key, name):
            if key == form:
                return trade, question, ""
            if key.startswith(f"{form}."):
                return trade, question, key[len(form) + 1 :]
        known += [question.key, name]
    near = units.nearest(key, known)
    remedy = f'did you mean "{near}"?' if near else "`hutwright check` prints the keys"
    raise RequestError(f"no check is called {shortened(key)}; {remedy}")


def _questions() -> Iterator[tuple[Trade, Question]]:
    for trade in trades():
        for question in trade.questions:
            yield trade, question


def _the_one(question: Question, subject: str, verdicts: Sequence[Verdict]) -> Verdict:
    keys = [verdict.key for verdict in verdicts]
    if not verdicts:
        raise RequestError(f"{question.key} does not arise here: nothing in this description calls for it")
    if subject:
        one = next((verdict for verdict in verdicts if verdict.check.subject == subject), None)
        if one is None:
            near = units.nearest(f"{question.key}.{subject}", keys)
            remedy = f'did you mean "{near}"?' if near else "name one of these"
            raise RequestError(
                f"{question.key} knows no {shortened(subject)}; there are: {', '.join(keys)}; {remedy}"
            )
        return one
    if len(verdicts) > 1:
        raise RequestError(f"{question.key} means several checks; name one of: {', '.join(keys)}")
    return verdicts[0]

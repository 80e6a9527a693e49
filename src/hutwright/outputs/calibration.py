"""A calibration as text: the answer first, then what it rests on, promises, and presses with."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from hutwright.evidence.trace import Way
from hutwright.laws.copper import CELSIUS_ZERO
from hutwright.laws.force_trace import LASTING_FORCE, LASTING_TIME, REST_FORCE, REST_TIME
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.phrasing import cited, columns, heading, several, shortlist, width_within, wrapped
from hutwright.sources import EN_12453_LIMITS
from hutwright.studies.calibrate import Calibration, TrainingTime
from hutwright.studies.calibrate_claim import CONFIDENCE, SEASON, Basis, Branch, Threshold
from hutwright.studies.calibrate_forces import Press
from hutwright.studies.force_trials import WIDE

WAYS = {Way.OPENING: "opening", Way.CLOSING: "closing"}
BRANCHES = {Branch.RESIDUAL: "beyond the expected current", Branch.RISE: "beyond its own mean just before"}


def training_text(times: Sequence[TrainingTime], *, width: int = 100) -> str:
    """How long training takes, before it starts.

    Parameters
    ----------
    times : sequence of TrainingTime
        For some numbers of cycles.
    width : int
        Columns of the screen. [-]
    """
    told = ", ".join(f"{each.cycles} cycles {_time(each.time)}" for each in times)
    lines = wrapped(
        f"Recording takes its time, because the drive must rest between moves and may run "
        f"{100 * times[0].duty:.0f} % of the time, as its listing says: {told}. "
        "With 10 clean cycles a first, wide threshold can be set; it is narrowed as more come in.",
        width_within(width),
    )
    return "\n".join(lines) + "\n"


def _time(seconds: float) -> str:
    return f"{seconds / 3600:.1f} h" if seconds >= 3600.0 else f"{seconds / 60:.0f} min"


def calibration_text(found: Calibration, *, width: int = 100) -> str:
    """A calibration as text.

    Parameters
    ----------
    found : Calibration
        What was found.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    lines = [f"{found.described.project.name}: calibration of the reversal"]
    lines += wrapped(verdict_text(found), width)
    for title, body in (
        ("Recorded", _recorded(found)),
        ("Needless reversals", (claim_text(found),)),
        ("To be known beside it", found.warnings),
        ("What a current means at the closing edge, calm, 20 degC", _sensed(found)),
        ("Levers that were tried", _levers(found)),
        ("Runs with something in the way", _verified(found)),
        ("Left out", shortlist(found.left_out)),
    ):
        sentences = list(body)
        if sentences:
            lines += heading(title)
            for sentence in sentences:
                lines += wrapped(sentence, width, "  - ")
        if title == "Recorded":
            lines += _thresholds(found, width)
        if title == "To be known beside it":
            lines += _forces(found, width)
            lines += _trials(found, width)
    lines += [*heading("What more clean cycles would buy"), *_bought(found, width)]
    lines += heading("Cautions")
    for caution in STANDING:
        lines += wrapped(caution, width, "  - ")
    return "\n".join(lines) + "\n"


def verdict_text(found: Calibration) -> str:
    """The answer in a sentence or two.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    worst = found.worst
    if worst is None:
        return "OFFERED: the travel has no gap of a force test, so that no force was simulated. Measure it."
    if found.refused:
        return (
            f"REFUSED: {several(len(found.over), 'simulated contact is', 'simulated contacts are')} over a "
            "limit with the thresholds that these moves need; the worst "
            f"{press_text(worst)}. Lower thresholds would reverse needlessly, so that none is set: pull a "
            "lever below, or record what makes the moves differ."
        )
    return (
        f"OFFERED: every simulated contact keeps its limits; the nearest {press_text(worst)}. Simulated, not "
        "measured: measure before anybody relies on it."
    )


def press_text(press: Press) -> str:
    """A contact with its figures, as a part of a sentence."""
    met = press.contact
    told = (
        f"{_newtons(met.peak_seen)} of {_newtons(press.limit)}, above 150 N for {met.above_150:.2f} s "
        f"of {LASTING_TIME:.2f} s"
    )
    if not math.isnan(met.at_5s):
        told += f", {_newtons(met.at_5s)} of {_newtons(REST_FORCE)} after 5 s"
    if not press.decided:
        told += ", and the controller never decides"
    return f"({press.weather}, gap {1e3 * press.gap:.0f} mm, {press.stiffness / 1e3:.0f} N/mm): {told}"


def _newtons(force: float) -> str:
    return "unknown" if math.isnan(force) else f"{force:.0f} N"


def _recorded(found: Calibration) -> Iterator[str]:
    trained = found.trained
    counts = " and ".join(f"{len(each.moves)} moves {WAYS[each.way]}" for each in found.learnt)
    yield f"{counts}, none of them disturbed as far as can be told"
    if trained.temperature is not None:
        low, high = (each - CELSIUS_ZERO for each in trained.temperature)
        yield (
            f"trained from {low:.0f} to {high:.0f} degC; outside of that needless reversals become many "
            "times as frequent"
        )
    if trained.supply is not None:
        low, high = trained.supply
        yield f"trained from {low:.1f} to {high:.1f} V at the bridge"
    for each in found.learnt:
        profile = each.profile
        yield (
            f"{WAYS[each.way]}: {1e3 * profile.per_kelvin:+.1f} mA for a kelvin, "
            f"{1e3 * profile.per_volt:+.0f} mA for a volt (0 where it cannot be told from nothing)"
        )
    yield (
        f"the recorded closing profile lies {1e3 * found.apart:.0f} mA from that of the simulated leaf on "
        "the mean; the forces below are the simulated leaf's"
    )


def _thresholds(found: Calibration, width: int) -> list[str]:
    rows: list[Sequence[str]] = [("detector", "threshold", "greatest seen", "rests on")]
    rows += [_threshold(each) for one in found.learnt for each in one.thresholds]
    return ["", *_table(rows, (30, 9, 13, 32), width)]


def _threshold(each: Threshold) -> tuple[str, ...]:
    most = float(each.maxima.max()) if len(each.maxima) else math.nan
    basis = "the law, 99.95 % of moves" if each.basis is Basis.LAW else "counting: the greatest seen"
    if each.basis is Basis.COUNT and each.law is not None:
        basis += "; the law does not fit"
    name = f"{WAYS[each.way]}, {BRANCHES[each.branch]}"
    return name, f"{each.value:.3f} A", f"{most:.3f} A" if math.isfinite(most) else "none", basis


def claim_text(found: Calibration) -> str:
    """The claim as a sentence, with what kind it is."""
    claim = found.claim
    kind = (
        "by a law that the maxima fit (its tail beyond them is an assumption)"
        if claim.basis is Basis.LAW
        else "by counting, without any law for the detectors that no law fits"
    )
    told = (
        f"at most {_number(1e3 * claim.share)} of 1000 cycles, at {100 * CONFIDENCE:.0f} % confidence, "
        f"{kind}; {_number(1e3 * claim.expected)} of 1000 on the average; from {claim.cycles} clean "
        "cycles, within the trained range"
    )
    if claim.per_season is None:
        return told + "; nothing is described of how often the door moves"
    return (
        told
        + f"; at most {_number(claim.per_season)} in a season of {SEASON:.0f} days, as often as described"
    )


def _table(rows: Sequence[Sequence[str]], widths: Sequence[int], width: int) -> list[str]:
    """Columns of those widths, and narrower ones on a narrow screen."""
    room = width - 2 - 2 * (len(widths) - 1)
    narrow = min(1.0, room / sum(widths))
    return columns(rows, [max(4, int(narrow * each)) for each in widths], "  ")


def _number(value: float) -> str:
    """Two digits, never as a power."""
    if value < 0.01:
        return "less than 0.01"
    return f"{value:.0f}" if value >= 10.0 else f"{value:.2g}"


def worst_presses(found: Calibration) -> list[Press]:
    """Of each gap and stiffness the contact that comes nearest to its limits."""
    kinds = dict.fromkeys((each.gap, each.stiffness) for each in found.presses)
    return [
        max(
            (each for each in found.presses if (each.gap, each.stiffness) == kind),
            key=lambda each: each.worst_share,
        )
        for kind in kinds
    ]


def _forces(found: Calibration, width: int) -> list[str]:
    head = ("gap", "stiffness", "peak, limit", "above 150 N", "after 5 s", "hardest in this weather")
    rows: list[Sequence[str]] = [head]
    for each in worst_presses(found):
        met = each.contact
        rows.append(
            (
                f"{1e3 * each.gap:.0f} mm",
                f"{each.stiffness / 1e3:.0f} N/mm",
                f"{_newtons(met.peak_seen)}, {_newtons(each.limit)}",
                f"{met.above_150:.2f} s",
                _newtons(met.at_5s),
                each.weather + ("" if each.kept else ": OVER"),
            )
        )
    if len(rows) == 1:
        return []
    title = "Simulated contacts while closing, the hardest of each kind"
    limits = (
        f"limits of the peak, of {LASTING_TIME:.2f} s above {LASTING_FORCE:.0f} N and of {REST_FORCE:.0f} N "
        f"after {REST_TIME:.0f} s: {cited(EN_12453_LIMITS)}"
    )
    table = _table(rows, (6, 9, 12, 11, 9, 35), width)
    return [*heading(title), *table, *wrapped(limits, width, "  ")]


def _trials(found: Calibration, width: int) -> list[str]:
    if not found.compared:
        return []
    rows: list[Sequence[str]] = [("line", "way, gap", "block", "scale", "simulated", "what it says")]
    for each in found.compared:
        trial = each.trial
        remark = "; pressed by more than half: stiffer than that" if trial.too_far else ""
        rows.append(
            (
                f"{trial.line}",
                f"{WAYS[trial.way]}, {1e3 * trial.gap:.0f} mm",
                f"{trial.stiffness / 1e3:.2g} N/mm",
                f"{_newtons(trial.force)}{'' if trial.reversed else ', stayed'}",
                f"{_newtons(each.predicted)}{'' if each.reverses else ', stays'}",
                each.told.value + remark,
            )
        )
    told = (
        "An indication, not the force test: a household scale is slow and shows less than a short peak, and "
        f"foam is no spring. What agrees is within a factor of {1.0 + WIDE:.2g}, with the thresholds above, "
        "on a mild day; make the trials with those on the board. Whatever they say, have the finished door "
        "measured."
    )
    title = "Trials with a household scale, beside the simulation"
    return [*heading(title), *_table(rows, (4, 16, 9, 13, 13, 30), width), *wrapped(told, width, "  - ")]


def _sensed(found: Calibration) -> Iterator[str]:
    for each in found.sensed:
        told = f"gap {1e3 * each.gap:.0f} mm: {each.an_ampere:.0f} N for an ampere"
        if not math.isnan(each.a_count):
            told += f", {each.a_count:.2g} N for a step of the converter"
        trip = (
            "the controller never decides"
            if math.isnan(each.at_trip)
            else f"{each.at_trip:.0f} N when it decides"
        )
        yield f"{told}; {trip}, against 500 N/mm"


def _levers(found: Calibration) -> Iterator[str]:
    for each in found.helped:
        told = "helps" if each.holds else "is not enough"
        anew = "; the door moves otherwise with it: record anew" if each.anew else ""
        yield f"{each.option.words}: {told}; the worst contact then {press_text(each.worst)}{anew}"
    if found.refused and found.complete and not any(each.holds for each in found.helped):
        yield "none of these is enough by itself: a threshold cannot make this door gentle"


def _verified(found: Calibration) -> Iterator[str]:
    if found.verified is None:
        return
    each = found.verified
    yield (
        f"{each.told} of {each.runs} would have been told; "
        f"at most {100 * each.missed_at_most:.2g} % are missed, "
        "at 95 % confidence, if they are like these. They verify, and set nothing"
    )
    yield from (f"not told: {missed}" for missed in each.missed)


def _bought(found: Calibration, width: int) -> list[str]:
    rows: list[Sequence[str]] = [
        ("clean cycles", "closing threshold by the law", "by counting, of 1000 at most")
    ]
    for each in found.bought:
        law = "no law" if math.isnan(each.threshold) else f"{each.threshold:.3f} A"
        rows.append((f"{each.cycles}", law, _number(1e3 * each.counted)))
    return _table(rows, (12, 30, 30), width)

"""The sky over a hut as pictures: tracks, what the hut leaves by direction, what windows are worth.

The drawing library is loaded only when a picture is wanted. The sky is drawn as on a map: north up, east to
the right, overhead in the middle, the horizon at the rim.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from hutwright.errors import RequestError, shortened, system_words
from hutwright.layout.frame import Floats, true_skyline
from hutwright.outputs.plots import DEEP, DOTS, FAINT, INK, MIDDLE, PALE
from hutwright.outputs.sky_look_text import WEATHER, clock_text, date_text
from hutwright.outputs.sky_text import NUMBERS
from hutwright.plant.sky.inside import FLOOR_DB, Season
from hutwright.studies.placement import Placement, Readiness
from hutwright.studies.sky_look import NOON, Look
from hutwright.studies.sky_views import (
    COMPASS,
    Outline,
    Tracks,
    band_of_sky,
    level_map,
    skyline_around,
)
from hutwright.studies.window_places import WindowPlace
from hutwright.studies.window_worth import Worth

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap
    from matplotlib.figure import Figure
    from matplotlib.projections.polar import PolarAxes

ROUND_SIZE, PAIR_SIZE, FLAT_SIZE = (7.4, 8.0), (10.4, 6.4), (7.4, 5.2)  # of pictures [in]
LEVELS_DB = (FLOOR_DB, -15.0, -10.0, -6.0, -3.0, 0.0)  # of the contour lines
RIM = 0.02  # round a roof's inside [m]
RINGS = (30, 60)  # elevations that are marked [deg]
HATCH = "////"


def plot_sky(look: Look, folder: Path) -> tuple[Path, ...]:
    """Draw all pictures of a look at the sky.

    Parameters
    ----------
    look : Look
        What was found.
    folder : pathlib.Path
        Where the pictures go; made where it is missing.

    Returns
    -------
    tuple of pathlib.Path
        The files that were written.

    Raises
    ------
    RequestError
        Where they cannot be written.
    """
    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, figure in _pictures(look):
            path = folder / f"{name}.png"
            figure.savefig(path, format="png", dpi=DOTS, metadata={"Software": None})
            written.append(path)
    except OSError as error:
        told = system_words(error)
        raise RequestError(
            f"{shortened(str(folder))} cannot be written to: the system said {told}; choose another folder"
        ) from error
    return tuple(written)


def _pictures(look: Look) -> Iterator[tuple[str, Figure]]:
    yield "sky", draw_tracks(look)
    yield "loss", draw_levels(look)
    for each in look.worth:
        yield f"worth_{each.face}", draw_worth(each, look.placement)
    if look.placement is not None and len(look.placement.layouts) > 1:
        yield "windows", draw_windows(look.placement)


# ---- the sky as a disc ------------------------------------------------------------------------------------


def _from_middle(elevation: Floats) -> Floats:
    """Where an elevation lies on the disc, from its middle [deg]."""
    return np.asarray(90.0 - np.degrees(elevation))


def _disc(axes: PolarAxes) -> None:
    axes.set_theta_zero_location("N")
    axes.set_theta_direction(-1)
    axes.set_rlim(0.0, 90.0)
    axes.set_rgrids([90.0 - ring for ring in RINGS], [f"{ring}°" for ring in RINGS], angle=22.5)
    axes.set_thetagrids(np.arange(len(COMPASS)) * (360.0 / len(COMPASS)), COMPASS)
    axes.tick_params(colors=INK, labelsize=8)
    axes.grid(visible=True, color=FAINT, linewidth=0.6)
    axes.spines["polar"].set_color(INK)


def draw_tracks(look: Look) -> Figure:
    """The tracks of a day, the skyline, the empty part of the sky and the openings as the antenna sees them.

    Of a real day where there are orbits, else of the constellations as planned.

    Parameters
    ----------
    look : Look
        What was found.
    """
    from matplotlib.figure import Figure

    project, real = look.described.project, look.real
    over = look.over if real is None else real.over
    figure = Figure(figsize=ROUND_SIZE, layout="constrained")
    axes: Any = figure.add_subplot(projection="polar")
    _disc(axes)
    azimuth, up = skyline_around(true_skyline(project, project.site.skyline))
    axes.fill_between(azimuth, _from_middle(up), 90.0, color=PALE, linewidth=0.0, label="skyline", zorder=2.5)
    empty = band_of_sky(project)
    _empty(axes, empty.azimuth, empty.low, empty.high)
    _draw_tracks(axes, over)
    moment = len(over.sky.epochs) * NOON // 24
    _marks(axes, over, moment)
    _outlines(axes, look.outlines)
    when = "constellations as planned, one moment of a day"
    if real is not None:
        when = f"{date_text(real.start)}, marks at {clock_text(real.clock(float(over.sky.epochs[moment])))}"
    figure.suptitle(f"Satellites of a day over {project.name}\n{when}", fontsize=10, color=INK)
    figure.legend(fontsize=8, frameon=False, loc="outside lower center", ncols=3)
    return figure


def _empty(axes: Axes, azimuth: Floats, low: Floats, high: Floats) -> None:
    """The part of the sky that never holds a satellite, hatched."""
    turn = (azimuth + np.pi) % (2 * np.pi) - np.pi  # as one piece to both sides of north
    order = np.argsort(turn) if np.isnan(low[len(low) // 2]) else np.argsort(azimuth)
    around = (turn if np.isnan(low[len(low) // 2]) else azimuth)[order]
    if np.isnan(low).all():
        return
    axes.fill_between(
        around,
        _from_middle(high[order]),
        _from_middle(low[order]),
        where=~np.isnan(low[order]),
        facecolor="none",
        edgecolor=PALE,
        hatch=HATCH,
        linewidth=0.0,
        label="never a satellite",
    )


def _draw_tracks(axes: Axes, over: Tracks) -> None:
    sky = over.sky
    up = sky.elevation > 0.0
    for wanted, colour, width, label in (
        (up, PALE, 0.5, "track, too weak or hidden"),
        (over.heard, MIDDLE, 1.1, "track, heard by the machine"),
    ):
        around = np.unwrap(np.nan_to_num(sky.azimuth), axis=0)
        lines = [
            np.vstack([np.where(wanted, values, np.nan), np.full(wanted.shape[1], np.nan)]).T.reshape(-1)
            for values in (around, _from_middle(sky.elevation))
        ]
        axes.plot(*lines, color=colour, linewidth=width, label=label)


def _marks(axes: Axes, over: Tracks, moment: int) -> None:
    heard = over.heard[moment]
    weak = over.clear[moment] & ~heard
    azimuth, away = over.sky.azimuth[moment], _from_middle(over.sky.elevation[moment])
    for flags, face, label in (
        (heard, DEEP, f"heard at that moment, {int(heard.sum())}"),
        (weak, "white", f"too weak then, {int(weak.sum())}"),
    ):
        axes.plot(
            azimuth[flags],
            away[flags],
            "o",
            markersize=6,
            markerfacecolor=face,
            markeredgecolor=DEEP,
            label=label,
            zorder=4,
        )


def _outlines(axes: Axes, seen: Sequence[Outline]) -> None:
    for each in seen:
        axes.plot(np.unwrap(each.azimuth), _from_middle(each.elevation), color=INK, linewidth=1.3, zorder=3.5)
        on_disc = _from_middle(each.elevation) * np.exp(1j * each.azimuth)  # north along the real axis
        top = on_disc.real.max() + 0.5j * (on_disc.imag.min() + on_disc.imag.max())
        axes.annotate(
            each.name,
            (float(np.angle(top)), float(np.abs(top))),
            xytext=(0, 3),
            textcoords="offset points",
            fontsize=8,
            color=INK,
            ha="center",
            va="bottom",
            zorder=5,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
        )


def _shades(*colours: str) -> Colormap:
    from matplotlib.colors import LinearSegmentedColormap

    return LinearSegmentedColormap.from_list("hue", colours)


def draw_levels(look: Look) -> Figure:
    """What the hut leaves by direction, as described and in rain, the door shut.

    Parameters
    ----------
    look : Look
        What was found.
    """
    from matplotlib.figure import Figure

    project = look.described.project
    figure = Figure(figsize=PAIR_SIZE, layout="constrained")
    shades = _shades(DEEP, MIDDLE, PALE, FAINT, "#ffffff")
    pair: Any = figure.subplots(1, 2, subplot_kw={"projection": "polar"})
    filled = None
    for axes, season in zip(pair, (Season.DESCRIBED, Season.RAIN), strict=True):
        found = level_map(project, season)
        away, levels = _from_middle(found.elevation), np.maximum(found.levels_db, LEVELS_DB[0] + 1e-3)
        filled = axes.contourf(found.azimuth, away, levels, levels=LEVELS_DB, cmap=shades, extend="max")
        lines = axes.contour(
            found.azimuth,
            away,
            levels,
            levels=LEVELS_DB[1:],
            colors=INK,
            linewidths=0.5,
            linestyles="solid",
        )
        axes.clabel(lines, fontsize=7, fmt="%.0f")
        _disc(axes)
        axes.grid(visible=False)
        _outlines(axes, look.outlines)
        axes.set_title(WEATHER[season], fontsize=9, color=INK)
    assert filled is not None
    bar = figure.colorbar(filled, ax=list(pair), orientation="horizontal", shrink=0.6, aspect=40)
    bar.set_label(f"level inside over that with no hut [dB]; {FLOOR_DB:.0f} means that or less", fontsize=8)
    bar.ax.tick_params(labelsize=8, colors=INK)
    figure.suptitle(f"What {project.name} leaves of satellites, the door shut", fontsize=10, color=INK)
    return figure


# ---- windows ----------------------------------------------------------------------------------------------


def draw_worth(worth: Worth, placement: Placement | None) -> Figure:
    """What the best window would be worth elsewhere on a roof face, with timbers and the windows found.

    Parameters
    ----------
    worth : Worth
        The map.
    placement : Placement or None
        What was found; the largest layout is drawn.
    """
    from matplotlib.figure import Figure
    from matplotlib.ticker import MaxNLocator

    figure = Figure(figsize=ROUND_SIZE, layout="constrained")
    axes = figure.subplots()
    top = max(1.0, float(worth.adds.max()))
    steps = MaxNLocator(7).tick_values(min(0.0, float(worth.adds.min())), top)
    shades = _shades("#ffffff", FAINT, PALE, MIDDLE, DEEP)
    filled = axes.contourf(worth.across, worth.along, worth.adds.T, levels=steps, cmap=shades)
    lines = axes.contour(
        worth.across,
        worth.along,
        worth.adds.T,
        levels=steps[1:-1],
        colors=INK,
        linewidths=0.5,
        linestyles="solid",
    )
    axes.clabel(lines, fontsize=7, fmt="%g")
    (left, right), (low, high) = worth.inside
    label = "timber"
    for timber in worth.timbers:
        span = axes.axvspan if timber.runs_along else axes.axhspan
        ends = (timber.start, timber.end)
        span(*ends, facecolor="none", edgecolor=INK, hatch=HATCH, alpha=0.35, linewidth=0.0, label=label)
        label = "_"
    for each in worth.described:
        _window(axes, each, "--", f"{each.sheet.name}, as described")
    if placement is not None and len(placement.layouts) > 1:
        largest = placement.layouts[-1].windows
        words = NUMBERS[len(largest)]
        for each in (one for one in largest if one.face == worth.face):
            _window(axes, each, "-", words)
            words = "_"
    axes.set_xlim(left - RIM, right + RIM)
    axes.set_ylim(low - RIM, high + RIM)
    axes.set_aspect("equal")
    axes.tick_params(colors=INK, labelsize=8)
    axes.set_xlabel("from the left, seen from the low side [m]", fontsize=9, color=INK)
    axes.set_ylabel("from the low edge, up the slope [m]", fontsize=9, color=INK)
    bar = figure.colorbar(filled, ax=axes, shrink=0.8)
    bar.set_label("satellites that it adds in rain, its middle there", fontsize=8)
    bar.ax.tick_params(labelsize=8, colors=INK)
    wide, long = (round(1e3 * each) for each in worth.size)
    figure.suptitle(
        f"What one window of {wide} x {long} mm alone would be worth, {worth.face}", fontsize=10, color=INK
    )
    figure.legend(fontsize=8, frameon=False, loc="outside lower center", ncols=3)
    return figure


def _window(axes: Axes, window: WindowPlace, style: str, label: str) -> None:
    (left, right), (low, high) = window.across, window.along
    axes.plot(
        [left, right, right, left, left],
        [low, low, high, high, low],
        style,
        color=INK,
        linewidth=1.6,
        label=label,
    )


def draw_windows(placement: Placement) -> Figure:
    """Readiness by number of windows, in each weather, with what the method leaves open.

    Parameters
    ----------
    placement : Placement
        What was found.
    """
    from matplotlib.figure import Figure

    figure = Figure(figsize=FLAT_SIZE, layout="constrained")
    axes = figure.subplots()
    numbers = np.arange(len(placement.layouts))
    series: tuple[tuple[str, list[Readiness], str, str, str], ...] = (
        ("dry", [each.dry for each in placement.layouts], "o", "white", DEEP),
        ("thaw", [each.thaw for each in placement.layouts], "s", PALE, MIDDLE),
        ("rain", [each.wet for each in placement.layouts], "o", DEEP, DEEP),
    )
    for shift, (label, found, mark, face, colour) in zip((-0.12, 0.0, 0.12), series, strict=True):
        ready = 100.0 * np.array([each.ready for each in found])
        low, high = (100.0 * np.array([getattr(each, end) for each in found]) for end in ("least", "most"))
        axes.errorbar(
            numbers + shift,
            ready,
            yerr=[ready - low, high - ready],
            fmt=mark,
            color=colour,
            markerfacecolor=face,
            markersize=7,
            elinewidth=1.4,
            capsize=4,
            label=label,
        )
    axes.axhline(100.0 * placement.wanted, color=MIDDLE, linestyle="--", linewidth=1.1)
    axes.annotate(
        f"wanted, {100.0 * placement.wanted:.0f} %",
        (0.0, 100.0 * placement.wanted),
        xycoords=("axes fraction", "data"),
        xytext=(4, -4),
        textcoords="offset points",
        fontsize=8,
        color=INK,
        va="top",
    )
    axes.set_xticks(numbers)
    axes.set_xlim(-0.5, len(numbers) - 0.5)
    axes.set_ylim(-4.0, 104.0)
    axes.set_xlabel("roof windows at their best places, in place of those described", fontsize=9, color=INK)
    axes.set_ylabel("share of the day ready, door shut [%]", fontsize=9, color=INK)
    axes.tick_params(colors=INK, labelsize=8)
    axes.grid(visible=True, axis="y", color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.legend(fontsize=8, frameon=False, loc="lower right", bbox_to_anchor=(1.0, 1.0), ncols=3)
    figure.suptitle("Readiness by number of roof windows", fontsize=10, color=INK, x=0.02, ha="left")
    return figure

"""A look at the sky over a hut as plain values for JSON: angles in radians, levels in dB, shares 0 to 1."""

from __future__ import annotations

from typing import Any

from hutwright.outputs.contract import FORMAT, finite
from hutwright.outputs.sky_confirm_values import confirmation_values
from hutwright.outputs.sky_look_text import WEATHER
from hutwright.outputs.sky_values import (
    explanation_values,
    placement_values,
    readiness_values,
    readings_values,
)
from hutwright.plant.sky.inside import FLOOR_DB
from hutwright.studies.sky_look import Look, RealDay, StateReady
from hutwright.studies.sky_views import Band, Outline, Sector
from hutwright.trades.sky import cautions

Plain = dict[str, Any]


def sky_look_values(look: Look) -> Plain:
    """A look at the sky as plain values.

    Parameters
    ----------
    look : Look
        What was found.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    described, incidents = look.described, look.incidents
    return {
        "format": FORMAT,
        "project": described.project.name,
        "variant": described.variant or None,
        "wanted": {"share_of_day": finite(look.wanted), "satellites": look.least},
        "room_db": finite(look.room_db),
        "states": [_state(each) for each in look.states],
        "empty_band": None if look.band is None else _band(look.band),
        "floor_db": FLOOR_DB,
        "sectors": [_sector(each) for each in look.sectors],
        "openings_seen": [_outline(each) for each in look.outlines],
        "real_day": None if look.real is None else _real(look.real),
        "placement": None if look.placement is None else _part(placement_values(look.placement, look.ways)),
        "full_wave": None if look.confirmation is None else confirmation_values(look.confirmation),
        "readings": None if look.readings is None else _part(readings_values(look.readings)),
        "readings_why_not": look.readings_why_not or None,
        "incidents": None if incidents is None else _part(explanation_values(incidents)),
        "complete": look.complete,
        "cautions": list(cautions(described.project)),
    }


def _part(values: Plain) -> Plain:
    """Values that stand inside others, whose version is that of the whole."""
    return {name: value for name, value in values.items() if name != "format"}


def _state(state: StateReady) -> Plain:
    return {
        "door": "open" if state.is_open else "shut",
        "weather": WEATHER[state.season],
        "readiness": None if state.readiness is None else readiness_values(state.readiness),
        "why_not": state.why_not or None,
    }


def _band(band: Band) -> Plain:
    return {
        "share": finite(band.share),
        "low": finite(band.low),
        "high": finite(band.high),
        "left": finite(band.left),
        "right": finite(band.right),
        "around": band.around,
    }


def _sector(sector: Sector) -> Plain:
    described, rain, thaw = sector.levels_db
    return {
        "towards": sector.towards,
        "low": finite(sector.low),
        "high": finite(sector.high),
        "level_db": finite(described),
        "level_rain_db": finite(rain),
        "level_thaw_db": finite(thaw),
        "satellites": finite(sector.satellites),
        "heard": finite(sector.heard),
    }


def _outline(outline: Outline) -> Plain:
    return {
        "name": outline.name,
        "towards": outline.towards,
        "azimuth": [finite(float(each)) for each in outline.azimuth],
        "elevation": [finite(float(each)) for each in outline.elevation],
    }


def _real(real: RealDay) -> Plain:
    mean, low, high = real.counts
    return {
        "origin": real.origin,
        "date": real.start.date().isoformat(),
        "mean": finite(mean),
        "fewest": low,
        "most": high,
        "lacking": [each.value for each in real.lacking],
        "too_few": [
            {"from": real.clock(first).isoformat(), "to": real.clock(last).isoformat()}
            for first, last in real.short
        ],
    }

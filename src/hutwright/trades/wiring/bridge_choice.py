"""The levers that the questions about the bridge share."""

from __future__ import annotations

from hutwright.catalogue.bridges import BRIDGES
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.model.circuit import BRIDGE, Bridge
from hutwright.model.project import Project
from hutwright.sources import Source

PATH = ("electronics", "bridge")
LIMITS = ("current_limit", "peak_limit")
# What the catalogue says of a kind; a value of the file's own would outlive the change.
OF_KIND = (*LIMITS, "offset", "resistance", "junction_limit", "lowest_supply", "quiescent", "cooling")


def limits_source(bridge: Bridge) -> Source:
    """Where the bridge's limits stand."""
    return BRIDGES[bridge.kind].limits_source


def second_channel(bridge: Bridge) -> Pick | None:
    """The choice of letting a second channel share the motor's current; None where there is none."""
    if bridge.paralleled > 1 or BRIDGES[bridge.kind].channels < 2:
        return None
    changes: dict[tuple[str, ...], object] = {(*PATH, "paralleled"): 2}
    changes |= {(*PATH, name): None for name in LIMITS}
    words = "join the bridge's two channels, paired as its data sheet says"
    return Pick(words="both channels for one motor", options=(Option(words, changes),), effort=Effort.REWIRE)


def other_bridge(project: Project, bridge: Bridge) -> Pick | None:
    """The choice of another kind of bridge, the one that loses least first."""
    on_it = [name for name, each in project.regulators.items() if each.fed_by == BRIDGE]
    also = f", and a board of its own for {' and '.join(on_it)}" if on_it else ""
    others = sorted(
        (kind for kind in BRIDGES.values() if kind.name != bridge.kind),
        key=lambda kind: kind.offset.nominal + kind.resistance.nominal,
    )
    options = tuple(
        Option(
            f"fit a bridge of the kind '{kind.name}'{also if not kind.carries_regulator else ''}",
            {
                (*PATH, "kind"): kind.name,
                (*PATH, "paralleled"): kind.channels,
                **{(*PATH, name): None for name in OF_KIND},
            },
        )
        for kind in others
    )
    return Pick(words="another bridge", options=options, effort=Effort.BUY_SMALL) if options else None


def choices(project: Project, bridge: Bridge) -> tuple[Pick, ...]:
    """A second channel and another bridge, as far as there are any."""
    return tuple(pick for pick in (second_channel(bridge), other_bridge(project, bridge)) if pick is not None)

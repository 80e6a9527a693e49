"""Which protective layers really stand, and the choice of more of them."""

from __future__ import annotations

from collections.abc import Iterable

from hutwright.checks.lever import Effort, Option, Pick
from hutwright.model.circuit import PresentKind
from hutwright.model.controller import ProtectiveLayer
from hutwright.model.door import EdgeKind
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.trades.guard.softening import SOFT_EDGES

PATH: Keys = ("controller", "layers")
WORDS = {
    ProtectiveLayer.PRESENT_SENSOR: "let a sensor of its own look whether something stands in the way",
    ProtectiveLayer.SOFT_EDGE: "fit a soft edge",
    ProtectiveLayer.PRESSURE_EDGE: "fit a pressure-sensitive edge that reverses the leaf",
    ProtectiveLayer.BEAM: "set a light beam across the gap that keeps the leaf from closing",
}


def stands(project: Project) -> tuple[ProtectiveLayer, ...]:
    """The layers beside reversing on current, in a fixed order; two of the same type count once.

    A soft edge stands where the door has one. The present sensor stands where one is described, or no
    electronics are, and is the beam itself where it is of that kind.
    """
    if project.controller is None:
        return ()
    listed = set(project.controller.layers)
    listed.discard(ProtectiveLayer.SOFT_EDGE)
    if project.door is not None and project.door.edge.kind is EdgeKind.SOFT:
        listed.add(ProtectiveLayer.SOFT_EDGE)
    if ProtectiveLayer.PRESENT_SENSOR in listed and project.electronics is not None:
        sensor = project.electronics.present_sensor
        twice = sensor is not None and sensor.kind is PresentKind.BEAM and ProtectiveLayer.BEAM in listed
        if sensor is None or twice:
            listed.discard(ProtectiveLayer.PRESENT_SENSOR)
    return tuple(layer for layer in ProtectiveLayer if layer in listed)


def more_layers(project: Project, layers: Iterable[ProtectiveLayer]) -> Pick:
    """The choice of one more of some layers, or of the first two of them."""
    missing = [layer for layer in layers if layer not in stands(project)]
    sets = [*([layer] for layer in missing), missing[:2]]
    options = tuple(_option(project, each) for each in sets if each)
    return Pick(words="one more layer of protection", options=options, effort=Effort.BUY_SMALL)


def _option(project: Project, added: list[ProtectiveLayer]) -> Option:
    described = () if project.controller is None else project.controller.layers
    listed = [*described, *(layer for layer in added if layer not in described)]
    changes: dict[Keys, object] = {PATH: [layer.value for layer in listed]}
    if ProtectiveLayer.SOFT_EDGE in added:
        stiffness, depth = SOFT_EDGES[1]
        edge: Keys = ("door", "edge")
        changes |= {(*edge, "kind"): "soft", (*edge, "stiffness"): stiffness, (*edge, "depth"): depth}
    return Option(" and ".join(WORDS[layer] for layer in added), changes)

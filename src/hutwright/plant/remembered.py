"""Facts of a project that are worked out once: many questions ask for the same ones of one project object."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, wraps
from typing import TypeVar

from hutwright.model.project import Project

KEPT = 256  # answers that are remembered of each fact: a choice of this project [-]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Same:
    """One and the same project object; projects do not change once they are made."""

    project: Project

    def __hash__(self) -> int:
        """Of the object, not of what it holds."""
        return id(self.project)

    def __eq__(self, other: object) -> bool:
        """Whether it is the same object."""
        return isinstance(other, Same) and other.project is self.project


def once_a_project(work: Callable[[Project], T]) -> Callable[[Project], T]:
    """A function of a project that is worked out once for each of the last few project objects.

    Parameters
    ----------
    work : Callable
        The function, which depends on nothing but the project.
    """

    @lru_cache(maxsize=KEPT)
    def kept(same: Same) -> T:
        return work(same.project)

    @wraps(work)
    def asked(project: Project) -> T:
        return kept(Same(project))

    return asked

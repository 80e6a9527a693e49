"""Facts of a project that are worked out once: many questions ask for the same ones."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, update_wrapper
from typing import Any, Concatenate, ParamSpec, TypeVar

from hutwright.model.project import Project
from hutwright.model.watched import book_of

KEPT = 256  # answers that are remembered of each fact: a choice of this project [-]
T = TypeVar("T")
P = ParamSpec("P")


@dataclass(frozen=True, slots=True)
class Same:
    """One and the same project object; projects do not change once they are made.

    Attributes
    ----------
    project : Project
        The project.
    """

    project: Project

    def __hash__(self) -> int:
        """Of the object, not of what it holds."""
        return id(self.project)

    def __eq__(self, other: object) -> bool:
        """Whether it is the same object."""
        return isinstance(other, Same) and other.project is self.project


def once_a_project(
    work: Callable[Concatenate[Project, P], T],
) -> Callable[Concatenate[Project, P], T]:
    """A function of a project that is worked out once, and again only where a value that it reads has moved.

    Of a project that nobody watches (see `hutwright.model.watched`) the answer is kept by the project object.

    Parameters
    ----------
    work : Callable
        The function, which depends on nothing but the project and hashable arguments, given by place; its
        answer holds no record of the project.
    """
    by_place: Callable[..., T] = work

    @lru_cache(maxsize=KEPT)
    def kept(same: Same, *arguments: Any) -> T:
        return by_place(same.project, *arguments)

    def asked(project: Project, /, *arguments: P.args, **named: P.kwargs) -> T:
        if named:
            raise TypeError(f"{work.__name__} takes its arguments by place, because it is kept by them")
        book = book_of(project)
        return kept(Same(project), *arguments) if book is None else book.recall(work, project, arguments)

    return update_wrapper(asked, work)

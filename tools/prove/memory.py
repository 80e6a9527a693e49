"""What is where: objects by path, pointers as guarded paths, and two states made one where ways meet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from tools.prove.source import Kind, RefusedError, Row, Struct, Whole, fields_of
from tools.prove.sums import Truth, Value, both, choose, nay

# An object's name, then fields and indices.
Path = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Ref:
    """A pointer: where it points under which condition; no path is null."""

    ways: tuple[tuple[Truth, Path | None], ...]
    to: Kind | None
    const: bool


@dataclass(slots=True)
class State:
    """Everything that is known at one point of the reading.

    Attributes
    ----------
    memory : dict
        Path of a plain field to its value.
    returned : Truth
        Whether the function has returned, and with what.
    broken, skipped : Truth
        Whether a loop or switch has been left, or a turn of the loop.
    """

    memory: dict[Path, Value | Ref]
    returned: Truth = False
    result: Value | Ref | None = None
    broken: Truth = False
    skipped: Truth = False

    def copy(self) -> State:
        """Another with the same in it."""
        return State(dict(self.memory), self.returned, self.result, self.broken, self.skipped)


def meet(truth: Truth, yes: State, no: State) -> State:
    """One state that is the first where the truth holds, and else the other."""
    memory = yes.memory
    for path, value in no.memory.items():
        mine = memory.get(path)
        if mine is None:
            memory[path] = value
        elif mine is not value:
            memory[path] = pick(truth, mine, value)
    result = yes.result if no.result is None else no.result if yes.result is None else None
    if result is None and yes.result is not None and no.result is not None:
        result = pick(truth, yes.result, no.result)
    flags = (_flag(truth, one, other) for one, other in (
        (yes.returned, no.returned), (yes.broken, no.broken), (yes.skipped, no.skipped)))  # fmt: skip
    returned, broken, skipped = flags
    return State(memory, returned, result, broken, skipped)


def _flag(truth: Truth, yes: Truth, no: Truth) -> Truth:
    if yes is no:
        return yes
    return nay(both(nay(both(truth, yes)), nay(both(nay(truth), no))))


def pick(truth: Truth, yes: Value | Ref, no: Value | Ref) -> Value | Ref:
    """One value or the other."""
    if isinstance(yes, Value) and isinstance(no, Value):
        return choose(truth, yes, no)
    if isinstance(yes, Ref) and isinstance(no, Ref):
        if yes.ways == no.ways:
            return yes
        if isinstance(truth, bool):
            return yes if truth else no
        ways = [(both(truth, guard), path) for guard, path in yes.ways]
        ways += [(both(nay(truth), guard), path) for guard, path in no.ways]
        return Ref(tuple(way for way in ways if way[0] is not False), yes.to or no.to, yes.const or no.const)
    raise RefusedError(None, "a pointer and a number for one thing")


@dataclass(slots=True)
class Places:
    """The objects: name to kind, and what is within them."""

    kinds: dict[str, Kind] = field(default_factory=dict)

    def kind(self, path: Path, node: Any = None) -> Kind:
        """The kind of what is there."""
        kind: Kind = self.kinds[path[0]]
        for step in path[1:]:
            if isinstance(kind, Struct):
                kind = kind.kind(step, node)
            elif isinstance(kind, Row):
                kind = kind.item
            else:
                raise RefusedError(node, f"{step} of something that has no parts")
        return kind

    def fill(self, state: State, name: str, kind: Kind, make: Any) -> None:
        """A new object, each plain field made by `make(path, kind)`."""
        self.kinds[name] = kind
        for path, inner in fields_of(kind, (name,)):
            if isinstance(inner, Whole):
                state.memory[path] = make(path, inner)
            else:
                state.memory[path] = Ref((), inner.to, inner.const)

    def drop(self, state: State, name: str) -> None:
        """Forget an object."""
        for path, _ in fields_of(self.kinds[name], (name,)):
            state.memory.pop(path, None)


def decays(path: Path, kind: Row, *, const: bool) -> Ref:
    """An array as a pointer to its first item."""
    return Ref(((True, (*path, 0)),), kind.item, const)

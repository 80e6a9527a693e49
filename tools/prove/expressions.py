"""Reads expressions of the core as terms: objects, places that are written to and read, operators."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pycparser import c_ast

from tools.prove.memory import Path, Places, Ref, State, decays, meet, pick
from tools.prove.source import (
    Kind,
    Pointer,
    Program,
    RefusedError,
    Row,
    Struct,
    Unit,
    Whole,
    fields_of,
    number,
    size_of,
)  # fmt: skip
from tools.prove.sums import (
    Duty,
    Sums,
    Truth,
    Value,
    both,
    choose,
    clamped,
    compare,
    either,
    known,
    nay,
    of_truth,
    truth_of,
    unknown,
)  # fmt: skip

# A place that can be written to or read: under which condition it is meant, and where it is.
Spots = list[tuple[Truth, Path]]


class Expressions:
    """Objects, and expressions on them.

    Parameters
    ----------
    program : Program
        What is read.
    sums : Sums
        The arithmetic.
    """

    def __init__(self, program: Program, sums: Sums) -> None:
        self.program, self.sums = program, sums
        self.places = Places()
        self.state = State({})
        self.unit: Unit | None = None
        self.scopes: list[dict[str, str]] = []
        self._objects = 0

    def _call(self, node: Any) -> Value | Ref | None:
        """Read a call; statements are not known here."""
        raise NotImplementedError

    # ---- objects --------------------------------------------------------------------------------------

    def take(self, name: str, kind: str) -> None:
        """An object of a named type that is anything at all: its fields are called by their paths."""
        self.places.fill(self.state, name, self.program.named(kind), lambda path, inner: unknown(
            ".".join(map(str, path)), inner))  # fmt: skip

    def pointer(self, *path: Any, const: bool = False) -> Ref:
        """A pointer to it."""
        return Ref(((True, path),), self.places.kind(path), const)

    def at(self, *path: Any) -> Value:
        """The value of a plain field."""
        value = self.state.memory[path]
        assert isinstance(value, Value)
        return value

    def _new(self, name: str, kind: Kind) -> str:
        self._objects += 1
        return f"{name}#{self._objects}"

    def _find(self, node: Any) -> Path:
        for scope in reversed(self.scopes):
            if node.name in scope:
                return (scope[node.name],)
        if self.unit is not None and node.name in self.unit.tables:
            return (self._table(node.name),)
        raise RefusedError(node, f"{node.name} is not known here")

    def _table(self, name: str) -> str:
        assert self.unit is not None
        called = f"{self.unit.name}:{name}"
        if called not in self.places.kinds:
            declared = self.unit.tables[name]
            kind = self._kind_of(declared)
            self.places.fill(self.state, called, kind, lambda _, inner: known(0, inner))
            if declared.init is not None:
                self._initialise((called,), kind, declared.init)
        return called

    def _kind_of(self, declared: Any) -> Kind:
        node = declared.type
        if isinstance(node, c_ast.ArrayDecl) and node.dim is None and declared.init is not None:
            item = self.program.kind(node.type)
            assert item is not None
            return Row(item, len(declared.init.exprs))
        kind = self.program.kind(node)
        if kind is None:
            raise RefusedError(declared, "an object of no type")
        return kind

    def _leave(self, scope: dict[str, str]) -> None:
        for called in scope.values():
            self.places.drop(self.state, called)

    # ---- declarations ---------------------------------------------------------------------------------

    def _declare(self, name: str, kind: Kind, value: Value | Ref | None, node: Any) -> Path:
        called = self._new(name, kind)
        self.scopes[-1][name] = called
        fresh = self.sums.fresh
        self.places.fill(self.state, called, kind, lambda _, inner: fresh(f"unset.{name}", inner))
        if value is not None:
            self._put((called,), self._fitted(value, kind, node))
        return (called,)

    def _fitted(self, value: Value | Ref, kind: Kind, node: Any) -> Value | Ref:
        if isinstance(kind, Whole) and isinstance(value, Value):
            return self.sums.convert(value, kind, node)
        if isinstance(kind, Pointer) and isinstance(value, Ref):
            return Ref(value.ways, kind.to or value.to, kind.const)
        if isinstance(kind, Pointer) and isinstance(value, Value) and value.fixed and value.low == 0:
            return Ref(((True, None),), kind.to, kind.const)
        raise RefusedError(node, "what is put there is of another sort")

    def _declaration(self, node: Any) -> None:
        if "static" in node.storage and "const" not in node.quals:
            raise RefusedError(node, "a variable that stays between calls is not read")
        kind = self._kind_of(node)
        if node.init is None:
            self._declare(node.name, kind, None, node)
        elif isinstance(node.init, c_ast.InitList):
            path = self._declare(node.name, kind, None, node)
            for inner, plain in fields_of(kind, path):
                if isinstance(plain, Whole):
                    self._put(inner, known(0, plain))
            self._initialise(path, kind, node.init)
        elif isinstance(kind, Struct):
            source = self._spots(node.init)
            self._copy([(True, self._declare(node.name, kind, None, node))], source, node)
        else:
            self._declare(node.name, kind, self._value(node.init), node)

    def _initialise(self, path: Path, kind: Kind, init: Any) -> None:
        if not isinstance(init, c_ast.InitList):
            self._put(path, self._fitted(self._value(init), kind, init))
            return
        following = 0
        for each in init.exprs:
            if isinstance(each, c_ast.NamedInitializer):
                if len(each.name) != 1:
                    raise RefusedError(each, "a name of more than one step is not read here")
                label, each = each.name[0], each.expr
                if isinstance(kind, Struct):
                    following = [name for name, _ in kind.fields].index(label.name)
                else:
                    following = self.program.constant(label)
            step: Any = kind.fields[following][0] if isinstance(kind, Struct) else following
            inner = (*path, step)
            self._initialise(inner, self.places.kind(inner), each)
            following += 1

    def _under(self, truth: Truth, yes: Callable[[], None], no: Callable[[], None] | None = None) -> None:
        """Read one thing where the truth holds, and perhaps another where not."""
        if isinstance(truth, bool):
            if truth:
                yes()
            elif no is not None:
                no()
            return
        before = self.state.copy()
        self.sums.path.append(truth)
        yes()
        self.sums.path[-1] = nay(truth)
        after, self.state = self.state, before
        if no is not None:
            no()
        self.sums.path.pop()
        self.state = meet(truth, after, self.state)

    # ---- places ---------------------------------------------------------------------------------------

    def _spots(self, node: Any) -> Spots:
        match node:
            case c_ast.ID():
                return [(True, self._find(node))]
            case c_ast.StructRef(type="."):
                return [(guard, (*path, node.field.name)) for guard, path in self._spots(node.name)]
            case c_ast.StructRef():
                return [
                    (g, (*path, node.field.name)) for g, path in self._pointed(self._value(node.name), node)
                ]
            case c_ast.UnaryOp(op="*"):
                return self._pointed(self._value(node.expr), node)
            case c_ast.ArrayRef():
                return self._indexed(node)
            case c_ast.CompoundLiteral():
                kind = self.program.kind(node.type)
                assert kind is not None
                path = self._declare("literal", kind, None, node)
                for inner, plain in fields_of(kind, path):
                    if isinstance(plain, Whole):
                        self._put(inner, known(0, plain))
                self._initialise(path, kind, node.init)
                return [(True, path)]
        raise RefusedError(node, f"{type(node).__name__} names no place that is read")

    def _pointed(self, ref: Value | Ref | None, node: Any) -> Spots:
        if not isinstance(ref, Ref) or not ref.ways:
            raise RefusedError(node, "this pointer points nowhere that is known")
        null = either(*(guard for guard, path in ref.ways if path is None))
        if null is not False:
            self.sums.owe(Duty.POINTER, node, nay(null))
        return [(guard, path) for guard, path in ref.ways if path is not None]

    def _indexed(self, node: Any) -> Spots:
        base = self._value(node.name)
        index = self._number(node.subscript)
        found: Spots = []
        for guard, path in self._pointed(base, node):
            row = self.places.kind(path[:-1], node)
            if not isinstance(row, Row):
                raise RefusedError(node, "an index into something that is no array")
            first = path[-1]
            low, high = max(index.low, -first), min(index.high, row.length - 1 - first)
            if low > index.low or high < index.high:
                ends = (known(bound, index.kind) for bound in (low, high))
                least, most = ends
                self.sums.owe(Duty.INDEX, node, both(compare("<=", least, index), compare("<=", index, most)))
            if low > high:
                low = high = -first  # owed above, and broken whenever this is reached
            for at in range(low, high + 1):
                here = True if low == high else compare("==", index, known(at, index.kind))
                found.append((both(guard, here), (*path[:-1], first + at)))
        return [spot for spot in found if spot[0] is not False]

    def _load(self, spots: Spots, node: Any) -> Value | Ref:
        kind = self.places.kind(spots[0][1], node)
        if isinstance(kind, Row):
            refs = [decays(path, kind, const=False) for _, path in spots]
            return Ref(tuple((guard, ref.ways[0][1]) for (guard, _), ref in zip(spots, refs, strict=True)),
                       kind.item, const=False)  # fmt: skip
        if isinstance(kind, Struct):
            raise RefusedError(node, "a whole struct as a value is read in an assignment only")
        value = self.state.memory[spots[-1][1]]
        for guard, path in reversed(spots[:-1]):
            value = pick(guard, self.state.memory[path], value)
        return value

    def _put(self, path: Path, value: Value | Ref) -> None:
        self.state.memory[path] = value

    def _store(self, spots: Spots, value: Value | Ref, node: Any) -> Value | Ref:
        kind = self.places.kind(spots[0][1], node)
        fitted = self._fitted(value, kind, node)
        for guard, path in spots:
            self._put(path, fitted if guard is True else pick(guard, fitted, self.state.memory[path]))
        return fitted

    def _copy(self, spots: Spots, sources: Spots, node: Any) -> None:
        """A whole struct."""
        for inner, _ in fields_of(self.places.kind(spots[0][1], node), ()):
            taken = self._load([(guard, (*path, *inner)) for guard, path in sources], node)
            self._store([(guard, (*path, *inner)) for guard, path in spots], taken, node)

    # ---- expressions ------------------------------------------------------------------------------------

    def _truth(self, node: Any) -> Truth:
        value = self._value(node)
        if isinstance(value, Ref):
            return either(*(guard for guard, path in value.ways if path is not None))
        return truth_of(value)

    def _number(self, node: Any) -> Value:
        value = self._value(node)
        if not isinstance(value, Value):
            raise RefusedError(node, "a number was wanted, and a pointer came")
        return value

    def _value(self, node: Any) -> Value | Ref:  # noqa: C901 - a line for each sort of node
        match node:
            case c_ast.Constant():
                return self._literal(node)
            case c_ast.ID() if not self._is_variable(node) and node.name in self.program.enums:
                return known(self.program.enums[node.name], self.program.int)
            case c_ast.ID() | c_ast.StructRef() | c_ast.ArrayRef() | c_ast.CompoundLiteral():
                return self._load(self._spots(node), node)
            case c_ast.UnaryOp():
                return self._unary(node)
            case c_ast.BinaryOp(op="&&" | "||"):
                return self._joined(node)
            case c_ast.BinaryOp():
                return self._binary(node)
            case c_ast.TernaryOp():
                return self._ternary(node)
            case c_ast.Assignment():
                return self._assignment(node)
            case c_ast.Cast():
                return self._cast(node)
            case c_ast.FuncCall():
                result = self._call(node)
                if result is None:
                    raise RefusedError(node, "a function that gives nothing is used as a value")
                return result
        raise RefusedError(node, f"{type(node).__name__} is not read")

    def _is_variable(self, node: Any) -> bool:
        return any(node.name in scope for scope in self.scopes)

    def _literal(self, node: Any) -> Value:
        value, suffix = number(node), node.value.lower().lstrip("0123456789abcdefx")
        unsigned = "u" in node.value.lower()
        other_base = node.value.startswith("0") and node.value not in ("0", "0u", "0U")
        for bits in (self.program.int_bits, 32, 64):
            kinds = [Whole(bits, signed=False)] if unsigned else [Whole(bits, signed=True)]
            if other_base and not unsigned:
                kinds.append(Whole(bits, signed=False))
            if "l" in suffix and bits < 32:
                continue
            for kind in kinds:
                if value <= kind.high:
                    return known(value, kind)
        raise RefusedError(node, "a literal beyond 64 bits")

    def _unary(self, node: Any) -> Value | Ref:
        if node.op == "&":
            return Ref(
                tuple(self._spots(node.expr)), self.places.kind(self._spots(node.expr)[0][1]), const=False
            )
        if node.op == "*":
            return self._load(self._spots(node), node)
        if node.op == "!":
            return of_truth(nay(self._truth(node.expr)), self.program.int)
        if node.op == "sizeof":
            kind = self.program.kind(node.expr) if isinstance(node.expr, c_ast.Typename) else None
            return known(size_of(kind, node), self.program.uint)
        if node.op in ("++", "--", "p++", "p--"):
            spots = self._spots(node.expr)
            before = self._load(spots, node)
            if not isinstance(before, Value):
                raise RefusedError(node, "a pointer that is moved is not read")
            one = known(1, self.program.int)
            after = self._store(
                spots, self.sums.binary("+" if "+" in node.op else "-", before, one, node), node
            )
            return before if node.op.startswith("p") else after
        return self.sums.unary(node.op, self._number(node.expr), node)

    def _joined(self, node: Any) -> Value:
        """The right side of && and || is read only where the left has not decided."""
        left = self._truth(node.left)
        goes_on = left if node.op == "&&" else nay(left)
        found: list[Truth] = []
        self._under(goes_on, lambda: found.append(self._truth(node.right)))
        if not found:
            return of_truth(left, self.program.int)
        joined = both(left, found[0]) if node.op == "&&" else either(left, found[0])
        return of_truth(joined, self.program.int)

    def _binary(self, node: Any) -> Value | Ref:
        left, right = self._value(node.left), self._value(node.right)
        if isinstance(left, Ref) or isinstance(right, Ref):
            return self._with_pointers(node, left, right)
        return self.sums.binary(node.op, left, right, node)

    def _with_pointers(self, node: Any, left: Value | Ref, right: Value | Ref) -> Value | Ref:
        ref, other = (left, right) if isinstance(left, Ref) else (right, left)
        assert isinstance(ref, Ref)
        if not isinstance(other, Value) or not other.fixed:
            raise RefusedError(node, "this sum or comparison of pointers is not read")
        if node.op in ("==", "!=") and other.low == 0:
            null = either(*(guard for guard, path in ref.ways if path is None))
            return of_truth(null if node.op == "==" else nay(null), self.program.int)
        if node.op == "+" and all(path is not None for _, path in ref.ways):
            moved = tuple((g, (*path[:-1], path[-1] + other.low)) for g, path in ref.ways if path is not None)
            return Ref(moved, ref.to, ref.const)
        raise RefusedError(node, "this sum or comparison of pointers is not read")

    def _ternary(self, node: Any) -> Value | Ref:
        truth = self._truth(node.cond)
        found: dict[bool, Value | Ref] = {}
        self._under(truth, lambda: found.update({True: self._value(node.iftrue)}),
                    lambda: found.update({False: self._value(node.iffalse)}))  # fmt: skip
        yes, no = found.get(True), found.get(False)
        if isinstance(truth, bool):
            only = found[truth]
            if isinstance(only, Value) and not self._has_effects(node.iftrue if not truth else node.iffalse):
                return self._as_if_balanced(only, node.iffalse if truth else node.iftrue, node)
            return only
        assert yes is not None
        assert no is not None
        if isinstance(yes, Value) and isinstance(no, Value):
            yes = self._clamped(node.cond, node.iftrue, yes, holds=True)
            no = self._clamped(node.cond, node.iffalse, no, holds=False)
            yes, no = self.sums.balanced(yes, no, node)
            return choose(truth, yes, no)
        if isinstance(yes, Value) or isinstance(no, Value):
            ref = no if isinstance(no, Ref) else yes
            assert isinstance(ref, Ref)
            yes, no = (self._fitted(each, Pointer(ref.to, ref.const), node) for each in (yes, no))
        return pick(truth, yes, no)

    def _clamped(self, condition: Any, node: Any, value: Value, *, holds: bool) -> Value:
        """In `x < 50 ? 50 : x` the last x is 50 or more."""
        if not isinstance(condition, c_ast.BinaryOp) or not isinstance(node, c_ast.ID):
            return value
        left, right = condition.left, condition.right
        same = isinstance(left, c_ast.ID) and left.name == node.name
        if not same or not isinstance(right, c_ast.Constant | c_ast.ID):
            return value
        bound = self._value(right)
        return clamped(condition.op, value, bound, holds=holds) if isinstance(bound, Value) else value

    def _as_if_balanced(self, only: Value, unread: Any, node: Any) -> Value:
        """The kind is that of both sides together, also where one is never read."""
        path, owed, state = self.sums.path, len(self.sums.owed), self.state.copy()
        other = self._value(unread)
        del self.sums.owed[owed:]
        self.sums.path, self.state = path, state
        return self.sums.balanced(only, other, node)[0] if isinstance(other, Value) else only

    def _has_effects(self, node: Any) -> bool:
        if isinstance(node, c_ast.FuncCall | c_ast.Assignment):
            return True
        return any(self._has_effects(child) for _, child in node.children())

    def _assignment(self, node: Any) -> Value | Ref:
        spots = self._spots(node.lvalue)
        if node.op == "=" and isinstance(self.places.kind(spots[0][1], node), Struct):
            self._copy(spots, self._spots(node.rvalue), node)
            return known(0, self.program.int)
        value = self._value(node.rvalue)
        if node.op != "=":
            before = self._load(spots, node)
            if not isinstance(before, Value) or not isinstance(value, Value):
                raise RefusedError(node, "a pointer that is moved is not read")
            value = self.sums.binary(node.op[:-1], before, value, node)
        return self._store(spots, value, node)

    def _cast(self, node: Any) -> Value | Ref:
        kind = self.program.kind(node.to_type)
        value = self._value(node.expr)
        if isinstance(kind, Whole) and isinstance(value, Value):
            return self.sums.convert(value, kind, node)
        if isinstance(kind, Pointer) and isinstance(value, Value):
            return self._fitted(value, kind, node)
        raise RefusedError(node, "a pointer that is cast is not read")

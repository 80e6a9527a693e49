"""Reads functions of the core as terms: every way through them at once, calls inlined, loops unrolled.

Understood: whole numbers of fixed width and int, structs, arrays, pointers to objects (also one of several by
a condition), bit fields, constant tables; assignments of every sort, if, switch, for, while, do, break,
continue, return; all operators but the comma; calls of functions of the core. A loop whose end does not
follow from constants, a recursion, a cast of a pointer, floating point, goto, unions and pointers to
functions are refused with the place and a sentence.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from pycparser import c_ast

from tools.prove.expressions import Expressions
from tools.prove.memory import Path, Ref
from tools.prove.source import Kind, Pointer, Program, RefusedError, Whole, fields_of, layout
from tools.prove.sums import Sums, Truth, Value, both, choose, compare, either, known, nay, unknown

MOST_TURNS = 4096
DEEPEST = 40
# Sets every byte of an object to 0; it is taken at its word, since bytes of structs are not read.
BLANKS = "door_blank"
# The field of 16 bits that begins with a byte of an object: read through its layout, for the same reason.
FIELD = "field_at"


class Reader(Expressions):
    """Reads one program.

    Parameters
    ----------
    program : Program
        What is read.
    sums : Sums
        The arithmetic.
    free : collection of str
        Functions that are not read: what they return, and whatever they could write, is anything at all.
    """

    def __init__(self, program: Program, sums: Sums, free: Collection[str] = ()) -> None:
        super().__init__(program, sums)
        self.free = free
        self._depth = 0
        self._backs: list[Kind | None] = []

    # ---- calls ----------------------------------------------------------------------------------------

    def call(self, name: str, given: Sequence[Value | Ref], node: Any = None) -> Value | Ref | None:
        """Read a function with these arguments."""
        unit, definition = self.program.function(name, self.unit, node)
        if self._depth >= DEEPEST:
            raise RefusedError(node, f"{name}() is called too deeply: recursion is not read")
        kept = self.unit, self.scopes, self.sums.function, self.state.returned, self.state.result
        kept_loop = self.state.broken, self.state.skipped
        self.unit, self.scopes, self.sums.function = unit, [{}], name
        self.state.returned, self.state.result, self.state.broken, self.state.skipped = (
            False,
            None,
            False,
            False,
        )
        self._depth += 1
        for declared, value in zip(_parameters(definition), given, strict=True):
            self._declare(declared.name, self._parameter_kind(declared), value, declared)
        self._backs.append(self.program.kind(definition.decl.type.type))
        self._compound(definition.body)
        result = self.state.result
        self._backs.pop()
        self._leave(self.scopes[0])
        self.unit, self.scopes, self.sums.function, self.state.returned, self.state.result = kept
        self.state.broken, self.state.skipped = kept_loop
        self._depth -= 1
        return result

    def _parameter_kind(self, declared: Any) -> Kind:
        if isinstance(declared.type, c_ast.ArrayDecl):
            return Pointer(self.program.kind(declared.type.type), "const" in declared.quals)
        return self._kind_of(declared)

    def _blank(self, argument: Any) -> None:
        plain = argument.expr if isinstance(argument, c_ast.Cast) else argument
        for guard, path in self._pointed(self._value(plain), argument):
            for inner, kind in fields_of(self.places.kind(path), path):
                if isinstance(kind, Whole):
                    self._put(inner, choose(guard, known(0, kind), self.at(*inner)))

    def _call_free(self, name: str, node: Any) -> Value | None:
        """Anything may come back, and whatever it could write to is anything."""
        _, definition = self.program.function(name, self.unit, node)
        for declared, argument in zip(_parameters(definition), node.args.exprs, strict=True):
            kind = self._parameter_kind(declared)
            if not isinstance(kind, Pointer) or kind.const:
                continue
            ref = self._value(argument)
            assert isinstance(ref, Ref)
            for guard, path in ref.ways:
                if path is not None:
                    self._free_object(guard, path, f"{name}.{declared.name}")
        back = self.program.kind(definition.decl.type.type)
        return unknown(f"{name}()", back) if isinstance(back, Whole) else None

    def _free_object(self, guard: Truth, path: Path, called: str) -> None:
        for inner, kind in fields_of(self.places.kind(path), path):
            if isinstance(kind, Whole):
                name = ".".join(map(str, (called, *inner[len(path) :])))
                self._put(inner, choose(guard, unknown(name, kind), self.at(*inner)))

    def _call(self, node: Any) -> Value | Ref | None:
        name = node.name.name if isinstance(node.name, c_ast.ID) else ""
        if name in self.free:
            return self._call_free(name, node)
        if name == BLANKS:
            self._blank(node.args.exprs[0])
            return None
        if name == FIELD:
            return self._field(node)
        return self.call(name, [self._value(each) for each in (node.args.exprs if node.args else ())], node)

    def _field(self, node: Any) -> Value:
        """What two bytes of an object mean, low byte first, where a field of 16 bits begins there."""
        ref, at = self._value(node.args.exprs[0]), self._number(node.args.exprs[1])
        bits = Whole(16, signed=False)
        if not isinstance(ref, Ref) or not at.fixed or len(ref.ways) != 1 or ref.ways[0][1] is None:
            raise RefusedError(node, "a field is read at a byte that is known, of one object")
        path = ref.ways[0][1]
        inner = layout(self.places.kind(path, node), node).get(at.low)
        if inner is None:
            raise RefusedError(node, f"no field of 16 bits begins with byte {at.low}")
        value = self.at(*path, *inner)
        return Value(bits, bits.low, bits.high, value.term) if value.kind.signed else value

    # ---- statements -----------------------------------------------------------------------------------

    def _compound(self, node: Any) -> None:
        self.scopes.append({})
        self._statements(list(node.block_items or ()))
        self._leave(self.scopes.pop())

    def _statements(self, nodes: Sequence[Any]) -> None:
        for at, node in enumerate(nodes):
            stopped = either(self.state.returned, self.state.broken, self.state.skipped)
            if stopped is True:
                return
            if stopped is not False:
                rest = nodes[at:]
                self._under(nay(stopped), lambda rest=rest: self._resumed(rest))  # type: ignore[misc]
                return
            self._statement(node)

    def _resumed(self, nodes: Sequence[Any]) -> None:
        """What comes where nothing has stopped."""
        self.state.returned = self.state.broken = self.state.skipped = False
        self._statements(nodes)

    def _statement(self, node: Any) -> None:  # noqa: C901 - a line for each sort of node
        match node:
            case c_ast.Compound():
                self._compound(node)
            case c_ast.Decl():
                self._declaration(node)
            case c_ast.DeclList():
                for each in node.decls:
                    self._declaration(each)
            case c_ast.If():
                no = node.iffalse
                truth = self._truth(node.cond)
                self._under(truth, lambda: self._statement(node.iftrue),
                            (lambda: self._statement(no)) if no is not None else None)  # fmt: skip
            case c_ast.Return():
                self.state.result = self._returned(node)
                self.state.returned = True
            case c_ast.Break():
                self.state.broken = True
            case c_ast.Continue():
                self.state.skipped = True
            case c_ast.For() | c_ast.While() | c_ast.DoWhile():
                self._loop(node)
            case c_ast.Switch():
                self._switch(node)
            case c_ast.EmptyStatement():
                pass
            case c_ast.Goto() | c_ast.Label():
                raise RefusedError(node, "goto is not read")
            case _:
                self._effect(node)

    def _effect(self, node: Any) -> None:
        if isinstance(node, c_ast.FuncCall):
            self._call(node)
        elif isinstance(node, c_ast.Cast):
            self._effect(node.expr)  # (void)f();
        else:
            self._value(node)

    def _returned(self, node: Any) -> Value | Ref | None:
        """What is returned, as the kind that the function returns."""
        value, back = self._value(node.expr) if node.expr is not None else None, self._backs[-1]
        if isinstance(back, Whole) and isinstance(value, Value):
            return self.sums.convert(value, back, node)
        return value

    def _loop(self, node: Any) -> None:
        self.scopes.append({})
        if isinstance(node, c_ast.For) and node.init is not None:
            self._statement(node.init)
        first = isinstance(node, c_ast.DoWhile)
        for _ in range(MOST_TURNS):
            goes_on = True if first or node.cond is None else self._truth(node.cond)
            first = False
            if not isinstance(goes_on, bool):
                raise RefusedError(node, "this loop's end does not follow from constants: it is not unrolled")
            if not goes_on:
                break
            self._statements([node.stmt])
            if either(self.state.returned, self.state.broken) is True:
                break
            self._turned(node)
        else:
            raise RefusedError(node, f"this loop turns more than {MOST_TURNS} times")
        self.state.broken = False
        self._leave(self.scopes.pop())

    def _turned(self, node: Any) -> None:
        """The step of a for; a loop that may have been left is gone on with where it was not."""
        self.state.skipped = False
        if either(self.state.returned, self.state.broken) is not False:
            raise RefusedError(node, "a loop that is left by what is not constant is not unrolled")
        if isinstance(node, c_ast.For) and node.next is not None:
            self._effect(node.next)

    def _switch(self, node: Any) -> None:
        chosen = self.sums.promote(self._number(node.cond), node)
        items = node.stmt.block_items or ()
        matches = []
        for item in items:
            if isinstance(item, c_ast.Case):
                label = self.sums.convert(self._number(item.expr), chosen.kind, item)
                matches.append(compare("==", chosen, label))
            elif not isinstance(item, c_ast.Default):
                raise RefusedError(item, "a statement in a switch before its first case is not read")
            else:
                matches.append(None)
        none = nay(either(*(match for match in matches if match is not None)))
        entered: Truth = False
        self.scopes.append({})
        for item, match in zip(items, matches, strict=True):
            entered = either(entered, none if match is None else match)
            runs = both(entered, nay(either(self.state.returned, self.state.broken, self.state.skipped)))
            self._under(runs, lambda item=item: self._resumed(item.stmts or ()))  # type: ignore[misc]
        self._leave(self.scopes.pop())
        self.state.broken = False


def _parameters(definition: Any) -> list[Any]:
    listed = definition.decl.type.args
    return [each for each in (listed.params if listed else ()) if getattr(each, "name", None)]

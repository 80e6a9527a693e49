"""The controller's C as syntax trees: through the compiler's own preprocessor, types and names looked up.

What is read is the text in `native/core`; a mutant is that text with one line changed.
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from pycparser import c_ast, c_parser

CORE = Path(__file__).resolve().parents[2] / "src" / "hutwright" / "native" / "core"


class RefusedError(Exception):
    """The reader met C that it does not understand, and will not guess."""

    def __init__(self, node: Any, what: str) -> None:
        """Say where, and what."""
        super().__init__(f"{getattr(node, 'coord', None) or 'somewhere'}: {what}")


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number of so many bits."""

    bits: int
    signed: bool

    @property
    def low(self) -> int:
        """The least value."""
        return -(1 << (self.bits - 1)) if self.signed else 0

    @property
    def high(self) -> int:
        """The greatest value."""
        return (1 << (self.bits - 1)) - 1 if self.signed else (1 << self.bits) - 1


@dataclass(frozen=True, slots=True)
class Struct:
    """Fields by name, in their order."""

    fields: tuple[tuple[str, Kind], ...]

    def kind(self, name: str, node: Any) -> Kind:
        """The kind of one field."""
        for each, kind in self.fields:
            if each == name:
                return kind
        raise RefusedError(node, f"there is no field {name}")


@dataclass(frozen=True, slots=True)
class Row:
    """An array."""

    item: Kind
    length: int


@dataclass(frozen=True, slots=True)
class Pointer:
    """A pointer; `const`: nothing is written through it."""

    to: Kind | None
    const: bool


Kind = Whole | Struct | Row | Pointer

FIXED = {f"{sign}int{bits}_t": Whole(bits, not sign) for sign in ("", "u") for bits in (8, 16, 32, 64)}
STDINT = (
    "typedef signed char int8_t; typedef unsigned char uint8_t; typedef short int16_t;\n"
    "typedef unsigned short uint16_t; typedef long int32_t; typedef unsigned long uint32_t;\n"
    "typedef long long int64_t; typedef unsigned long long uint64_t;\n"
)
# What the system's headers would bring: the reader knows the fixed widths by name, not by these.
HEADERS = {"stdint.h": STDINT, "stddef.h": "#define NULL ((void *)0)\n", "stdbool.h": ""}


def preprocessed(text: str, name: str) -> str:
    """The text of a C file of the core after its preprocessor, comments and macros gone, lines marked.

    Raises
    ------
    RuntimeError
        There is no C compiler, or it does not like the text.
    """
    compiler = shlex.split(os.environ.get("CC", "cc"))
    if shutil.which(compiler[0]) is None:
        raise RuntimeError(f"{compiler[0]} is not on PATH; the core is built with it, and read through it")
    with tempfile.TemporaryDirectory() as folder:
        for header, body in HEADERS.items():
            (Path(folder) / header).write_text(body, encoding="ascii")
        command = [*compiler, "-E", "-x", "c", "-nostdinc", "-I", folder, "-I", str(CORE), "-"]
        done = subprocess.run(command, input=text, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(f"{name} does not pass the preprocessor: {done.stderr.strip()}")
    return done.stdout.replace('"<stdin>"', f'"{name}"')


@lru_cache(maxsize=64)
def parsed(text: str, name: str) -> Any:
    """The syntax tree of one file of the core."""
    return c_parser.CParser().parse(preprocessed(text, name), filename=name)


@dataclass(slots=True)
class Unit:
    """What one file defines.

    Attributes
    ----------
    name : str
        The file.
    functions : dict
        Every function with a body.
    tables : dict
        Constant tables outside of functions: name to declaration.
    """

    name: str
    functions: dict[str, Any] = field(default_factory=dict)
    tables: dict[str, Any] = field(default_factory=dict)


class Program:
    """All files of the core together.

    Parameters
    ----------
    int_bits : int
        How many bits an int has: 16 or 32. [bit]
    changed : mapping
        File to text, where a file shall not be read as it stands.
    """

    def __init__(self, int_bits: int, changed: Mapping[str, str] | None = None) -> None:
        self.int_bits = int_bits
        self.int = Whole(int_bits, signed=True)
        self.uint = Whole(int_bits, signed=False)
        self.types: dict[str, Any] = {}
        self.tags: dict[str, Any] = {}
        self.enums: dict[str, int] = {}
        self.words: dict[str, dict[int, str]] = {}
        self.units: dict[str, Unit] = {}
        self.shared: dict[str, tuple[Unit, Any]] = {}
        self._kinds: dict[int, Kind] = {}
        texts = {path.name: path.read_text("utf-8") for path in sorted(CORE.glob("*.c"))}
        self.texts = texts | dict(changed or {})
        for name, text in self.texts.items():
            self._take(name, parsed(text, name))

    def _take(self, name: str, tree: Any) -> None:  # noqa: C901 - a line for each sort of node
        unit = self.units[name] = Unit(name)
        for node in tree.ext:
            match node:
                case c_ast.Typedef():
                    self.types[node.name] = node.type
                    self._take_enums(node.type, node.name)
                case c_ast.FuncDef():
                    unit.functions[node.decl.name] = node
                    if "static" not in node.decl.storage:
                        self.shared[node.decl.name] = (unit, node)
                case c_ast.StaticAssert():
                    pass  # the compilers hold it
                case c_ast.Decl(type=c_ast.FuncDecl()):
                    pass
                case c_ast.Decl() if node.name is None:
                    self._take_enums(node, "")
                case c_ast.Decl() if "const" in node.quals or "const" in getattr(node.type, "quals", ()):
                    unit.tables[node.name] = node
                case c_ast.Decl(type=c_ast.ArrayDecl()):
                    if "const" not in _innermost(node.type).quals:
                        raise RefusedError(node, f"{node.name} can be written to: the core has no globals")
                    unit.tables[node.name] = node
                case _:
                    raise RefusedError(node, f"{type(node).__name__} outside of functions is not read")

    def _take_enums(self, node: Any, name: str) -> None:
        inner = node.type if isinstance(node, c_ast.TypeDecl | c_ast.Decl) else node
        if isinstance(inner, c_ast.Struct) and inner.name and inner.decls:
            self.tags[inner.name] = inner
        if not isinstance(inner, c_ast.Enum) or inner.values is None:
            return
        following = 0
        for each in inner.values.enumerators:
            if each.value is not None:
                following = self.constant(each.value)
            self.enums[each.name] = following
            self.words.setdefault(name, {})[following] = each.name
            following += 1

    def function(self, name: str, unit: Unit | None, node: Any = None) -> tuple[Unit, Any]:
        """A function's file and definition: of the file that asks, else one that all files know."""
        if unit is not None and name in unit.functions:
            return unit, unit.functions[name]
        if name in self.shared:
            return self.shared[name]
        raise RefusedError(node, f"{name}() is called, and defined nowhere in the core")

    def constant(self, node: Any) -> int:
        """The value of a constant expression such as an array's length."""
        match node:
            case c_ast.Constant():
                return number(node)
            case c_ast.ID() if node.name in self.enums:
                return self.enums[node.name]
            case c_ast.UnaryOp(op="-"):
                return -self.constant(node.expr)
            case c_ast.BinaryOp(op="+" | "-" | "*" | "<<"):
                left, right = self.constant(node.left), self.constant(node.right)
                return {"+": left + right, "-": left - right, "*": left * right, "<<": left << right}[node.op]
        raise RefusedError(node, "a constant was wanted here")

    def kind(self, node: Any) -> Kind | None:
        """The kind that a declaration means; None is void."""
        match node:
            case c_ast.Typename() | c_ast.Decl():
                return self.kind(node.type)
            case c_ast.PtrDecl():
                return Pointer(self.kind(node.type), "const" in getattr(node.type, "quals", ()))
            case c_ast.ArrayDecl():
                item = self.kind(node.type)
                if node.dim is None or item is None:
                    raise RefusedError(node, "an array without a length is not read")
                return Row(item, self.constant(node.dim))
            case c_ast.TypeDecl():
                return self._base(node.type)
        raise RefusedError(node, f"{type(node).__name__} is no type that is read")

    def _base(self, node: Any) -> Kind | None:
        if isinstance(node, c_ast.Struct):
            full = node if node.decls else self.tags.get(node.name)
            if full is None:
                raise RefusedError(node, f"struct {node.name} is not known")
            return self._struct(full)
        if isinstance(node, c_ast.Enum):
            raise RefusedError(node, "an object of an enum's type: every compiler gives it another size")
        name = " ".join(node.names)
        if name in FIXED:
            return FIXED[name]
        if name == "void":
            return None
        if name in self.types:
            return self.kind(self.types[name])
        plain = {"int": self.int, "unsigned int": self.uint, "unsigned": self.uint}
        plain |= {"char": Whole(8, signed=True), "unsigned char": Whole(8, signed=False)}
        if name in plain:
            return plain[name]
        raise RefusedError(node, f"the type {name} has no width of its own")

    def _struct(self, node: Any) -> Kind:
        if id(node) not in self._kinds:
            fields = []
            for each in node.decls:
                kind = self.kind(each.type)
                if each.bitsize is not None and isinstance(kind, Whole):
                    kind = Whole(self.constant(each.bitsize), kind.signed)
                if each.name is None or kind is None:
                    raise RefusedError(each, "a field without name or kind is not read")
                fields.append((each.name, kind))
            self._kinds[id(node)] = Struct(tuple(fields))
        return self._kinds[id(node)]

    def named(self, name: str) -> Kind:
        """The kind of that name."""
        kind = self.kind(self.types[name])
        assert kind is not None
        return kind


def _innermost(node: Any) -> Any:
    while not isinstance(node, c_ast.TypeDecl):
        node = node.type
    return node


def number(node: Any) -> int:
    """The value of a literal number."""
    if "int" not in node.type and node.type != "char":
        raise RefusedError(node, f"a literal of type {node.type} is not read")
    text = node.value.rstrip("uUlL")
    if text.startswith("'"):
        raise RefusedError(node, "a character is not read")
    return int(text, 0) if text.lower().startswith("0x") or text == "0" or text[0] != "0" else int(text, 8)


TOKEN = re.compile(r"\w+|->|\+\+|--|<<|>>|[<>=!]=|&&|\|\||\S")


def pattern(text: str) -> re.Pattern[str]:
    r"""A piece of C as a pattern that spaces and line breaks do not matter to.

    Examples
    --------
    >>> bool(pattern("a = b + 1u;").search("a  =\n   b+1u ;"))
    True
    """
    return re.compile(r"\s*".join(_token(token) for token in TOKEN.findall(text)))


def _token(token: str) -> str:
    return rf"\b{token}\b" if token[0].isalnum() or token[0] == "_" else re.escape(token)


def fields_of(kind: Kind, path: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], Whole | Pointer]]:
    """Every plain field in an object of that kind, with its path."""
    match kind:
        case Struct():
            for name, inner in kind.fields:
                yield from fields_of(inner, (*path, name))
        case Row():
            for index in range(kind.length):
                yield from fields_of(kind.item, (*path, index))
        case _:
            yield path, kind


def layout(kind: Kind, node: Any) -> dict[int, tuple[Any, ...]]:
    """Byte to path of the fields of 16 bits; a kind that some compiler would pad is refused."""
    at, found = 0, {}
    for path, plain in fields_of(kind, ()):
        size = size_of(plain, node)
        if at % size:
            raise RefusedError(
                node, f"before {path[-1]} there may be padding: where it is is the compiler's own"
            )
        if size == 2:
            found[at] = path
        at += size
    return found


def size_of(kind: Kind | None, node: Any) -> int:
    """Bytes of a kind without padding; a struct's may have some, so it is refused."""
    if isinstance(kind, Whole):
        return kind.bits // 8
    if isinstance(kind, Row):
        return kind.length * size_of(kind.item, node)
    raise RefusedError(node, "the size of this is the compiler's own")

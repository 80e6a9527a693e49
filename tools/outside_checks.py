"""Writes the handbook's page of the tests that are held to something outside this project.

Run as ``python -m tools.outside_checks``.  Reads the tests as text (nothing is imported or run), so a mark
must stand where it can be read: as a decorator of a test or its class, in ``pytestmark``, in ``marks=`` of a
``pytest.param``, or as a name given to one of these at the top of the same file.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent
PAGE = TOP / "docs" / "handbook" / "outside-checks.md"

# Mark, heading, and a sentence for the reader, in the order of the page.
SECTIONS = (
    ("published", "Published values", "Held to a value, table or worked example printed in a document."),
    ("practice", "Common practice", "Held to what is commonly done, where no document is cited."),
    (
        "recalled",
        "Recalled values",
        "Held to a value from memory, with the reason to believe it. None of these may stand behind a "
        "safety check alone.",
    ),
)
MARKS = tuple(mark for mark, _, _ in SECTIONS)

Function = ast.FunctionDef | ast.AsyncFunctionDef


class UnreadableMarkError(Exception):
    """A mark whose test or text cannot be found by reading the file."""


@dataclass(frozen=True, order=True)
class OutsideCheck:
    """One mark of one test.

    Attributes
    ----------
    mark : str
        Name of the mark.
    source : str
        What the mark says: the document, the practice, or the reason.
    test : str
        pytest's name of the test, without the parameters.
    """

    mark: str
    source: str
    test: str


class _File:
    """One file of tests, and the marks in it that have been accounted for."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.tree = ast.parse(text, filename=name)
        self.named: dict[str, ast.expr] = {}
        for node in self.tree.body:
            if (
                isinstance(node, ast.Assign)
                and len(node.targets) == 1
                and isinstance(node.targets[0], ast.Name)
            ):
                self.named[node.targets[0].id] = node.value
            elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.value:
                self.named[node.target.id] = node.value
        self.calls = {id(node.func): node for node in ast.walk(self.tree) if isinstance(node, ast.Call)}
        self.used: set[int] = set()

    def checks(self) -> Iterator[OutsideCheck]:
        """Every mark of every test, and a refusal where one belongs to none."""
        outer = self.marks_in(self.named["pytestmark"]) if "pytestmark" in self.named else []
        yield from self._below(self.tree.body, (self.name,), outer)
        for node in ast.walk(self.tree):
            if _mark_name(node) is not None and id(node) not in self.used:
                raise UnreadableMarkError(
                    f"{self._place(node)}: this mark belongs to no test that can be read here"
                )

    def _below(
        self, body: Sequence[ast.stmt], names: tuple[str, ...], outer: list[tuple[str, str]]
    ) -> Iterator[OutsideCheck]:
        for node in body:
            if isinstance(node, Function) and node.name.startswith("test"):
                found = outer + [mark for each in node.decorator_list for mark in self.marks_in(each)]
                test = "::".join((*names, node.name))
                yield from (OutsideCheck(mark, source, test) for mark, source in found)
            elif isinstance(node, ast.ClassDef) and node.name.startswith("Test"):
                found = outer + [mark for each in node.decorator_list for mark in self.marks_in(each)]
                for statement in node.body:
                    if isinstance(statement, ast.Assign) and _assigns(statement, "pytestmark"):
                        found += self.marks_in(statement.value)
                yield from self._below(node.body, (*names, node.name), found)

    def marks_in(self, node: ast.expr, seen: frozenset[str] = frozenset()) -> list[tuple[str, str]]:
        """The marks in a decorator or a list of marks, through names given at the top of the file."""
        found = []
        for part in ast.walk(node):
            mark = _mark_name(part)
            if mark is not None:
                self.used.add(id(part))
                found.append((mark, self._source_of(part)))
            elif isinstance(part, ast.Name) and part.id in self.named and part.id not in seen:
                found += self.marks_in(self.named[part.id], seen | {part.id})
        return found

    def _source_of(self, node: ast.AST) -> str:
        call = self.calls.get(id(node))
        if call is not None and len(call.args) == 1 and not call.keywords:
            text = self._text_of(call.args[0])
            if text is not None and text.strip():
                return " ".join(text.split())
        raise UnreadableMarkError(
            f"{self._place(node)}: a mark wants one text, written out or named at the top of the file"
        )

    def _text_of(self, node: ast.expr) -> str | None:
        parts: list[str | None]
        match node:
            case ast.Constant(value=str(text)):
                return text
            case ast.Name(id=name) if name in self.named:
                return self._text_of(self.named[name])
            case ast.BinOp(left=left, op=ast.Add(), right=right):
                parts = [self._text_of(left), self._text_of(right)]
            case ast.JoinedStr(values=values):
                parts = [self._text_of(each) for each in values]
            case ast.FormattedValue(value=value, conversion=-1, format_spec=None):
                return self._text_of(value)
            case _:
                return None
        return None if None in parts else "".join(filter(None, parts))

    def _place(self, node: ast.AST) -> str:
        return f"{self.name}, line {getattr(node, 'lineno', 0)}"


def _mark_name(node: ast.AST) -> str | None:
    """The mark's name where the node is ``pytest.mark.published`` or ``mark.published``."""
    match node:
        case ast.Attribute(value=ast.Attribute(attr="mark") | ast.Name(id="mark"), attr=name) if (
            name in MARKS
        ):
            return name
        case _:
            return None


def _assigns(node: ast.Assign, name: str) -> bool:
    return any(isinstance(target, ast.Name) and target.id == name for target in node.targets)


def checks_in(name: str, text: str) -> list[OutsideCheck]:
    """Every check against the outside in the text of one file of tests, in the file's order.

    Parameters
    ----------
    name : str
        The file's path from the project's top, as pytest writes it.
    text : str
        What stands in it.
    """
    return list(_File(name, text).checks())


def all_checks(top: Path = TOP) -> list[OutsideCheck]:
    """Every check against the outside in the project's tests."""
    found: list[OutsideCheck] = []
    for path in sorted((top / "tests").rglob("test_*.py")):
        found += checks_in(path.relative_to(top).as_posix(), path.read_text(encoding="utf-8"))
    return found


def page(checks: Sequence[OutsideCheck]) -> str:
    """The handbook's page."""
    lines = [
        "# Checks against the outside",
        "",
        "Each of these tests holds the code to something that this project did not make; all others hold it",
        "to theory or to a property. This page is generated: `make handbook` writes it anew.",
    ]
    for mark, heading, sentence in SECTIONS:
        of_mark = sorted({check for check in checks if check.mark == mark})
        lines += ["", f"## {heading}", "", f"{sentence} Marks: {len(of_mark)}."]
        source = None
        for check in of_mark:
            if check.source != source:
                source = check.source
                lines += ["", f"{source}", ""]
            lines.append(f"- `{check.test}`")
    return "\n".join(lines) + "\n"


def main() -> int:
    """Write the page; the exit status is 2 where a mark cannot be read."""
    try:
        text = page(all_checks())
    except UnreadableMarkError as fault:
        print(fault, file=sys.stderr)
        return 2
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(text, encoding="utf-8")
    print(f"wrote {PAGE.relative_to(TOP)}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())

"""Answers to the first questions in a file, a line each: `door_width = 0,74 m`."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from pathlib import Path

from hutwright import units
from hutwright.errors import RequestError, shortened
from hutwright.evidence.side_file import Findings, read_text

LARGEST_FILE = 100_000  # bytes; ours to choose
_LINE = re.compile(r"\s*([A-Za-z0-9_-]+)\s*[=:]\s*([^#]*?)\s*(?:#.*)?")


def parse_answers(
    text: str, name: str, known: Collection[str], understood: Callable[[str, str], str]
) -> dict[str, str]:
    """The answers in a text.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in faults.
    known : Collection
        Names of the questions.
    understood : Callable
        From a question's name and an answer to the answer's plain form; raises RequestError.

    Returns
    -------
    dict
        Answer by question; what is left empty, or is not known, is not in it.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit.
    """
    findings = Findings(name)
    found: dict[str, tuple[int, str]] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        bare = line.strip()
        if not bare or bare.startswith("#"):
            continue
        match = _LINE.fullmatch(line)
        key = "" if match is None else match[1].replace("-", "_").lower()
        if match is None:
            findings.add(number, "", shortened(bare), "a line like door_width = 0.74 m", "write it so")
        elif key not in known:
            near = units.nearest(key, list(known))
            remedy = f'did you mean "{near}"?' if near else "`hutwright start --help` lists them"
            findings.add(number, "", shortened(key), "the name of a question", remedy)
        elif key in found:
            read, wanted = "the same question again", f"one answer (line {found[key][0]} has one)"
            findings.add(number, key, read, wanted, "keep the one that is right")
        else:
            found[key] = number, match[2]
            _try(number, key, match[2], understood, findings)
    findings.raise_any()
    return {key: said for key, (_, said) in found.items() if said}


def _try(line: int, key: str, said: str, understood: Callable[[str, str], str], findings: Findings) -> None:
    try:
        understood(key, said)
    except RequestError as error:
        read, _, rest = str(error).partition("; wanted ")
        wanted, _, remedy = rest.partition("; ")
        findings.add(line, key, read.removeprefix("read "), wanted or "an answer", remedy or "correct it")


def read_answers(path: Path, known: Collection[str], understood: Callable[[str, str], str]) -> dict[str, str]:
    """The answers in a file; parameters and faults as of `parse_answers`.

    Parameters
    ----------
    path : pathlib.Path
        The file.
    known : Collection
        Names of the questions.
    understood : Callable
        From a question's name and an answer to the answer's plain form; raises RequestError.
    """
    return parse_answers(read_text(path, path.name, LARGEST_FILE), path.name, known, understood)

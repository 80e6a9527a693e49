"""The verb ``compare`` of the command line: variants, or candidates of a table, side by side."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hutwright import app as verbs
from hutwright.cli.answering import ExitCode, say, screen_width, waiting
from hutwright.errors import RequestError
from hutwright.evidence.candidates import read_candidates
from hutwright.outputs.candidates import candidates_text, candidates_values
from hutwright.outputs.comparison import comparison_text, comparison_values
from hutwright.outputs.json_text import json_text
from hutwright.studies.candidates import try_candidates
from hutwright.studies.next_reading import suggestions


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    variants : tuple of str
        Names of variants; all where none is named.
    candidates : pathlib.Path or None
        A table of candidates, which are compared in place of variants.
    trades : tuple of str
        Names of the trades to ask; all where none is named.
    as_json : bool
        Whether JSON is printed.
    """

    folder: Path
    variants: tuple[str, ...]
    candidates: Path | None
    trades: tuple[str, ...]
    as_json: bool


def put_side_by_side(asked: Asked) -> ExitCode:
    """Compare what was asked for."""
    if asked.candidates is not None:
        return _candidates(asked, asked.candidates)
    with waiting("comparing"):
        found = verbs.compare(asked.folder, asked.variants, asked.trades)
    say(
        json_text(comparison_values(found)) if asked.as_json else comparison_text(found, width=screen_width())
    )
    return ExitCode.SHORT if found.short else ExitCode.HOLDS


def _candidates(asked: Asked, path: Path) -> ExitCode:
    if asked.variants:
        raise RequestError(
            f"read variants ({', '.join(asked.variants)}) and --candidates; wanted one of the two; ask one "
            "after the other"
        )
    candidates = read_candidates(path)
    chosen = verbs.chosen_trades(asked.trades)
    with waiting("trying candidates") as count:
        base = verbs.check(asked.folder, asked.trades)
        tried = try_candidates(base.described, candidates, chosen, progress=count)
        best = next((each.assessment for each in tried if each.assessment is not None), None)
        next_up = () if best is None else suggestions(best, most=2)
    say(
        json_text(candidates_values(base, tried, next_up))
        if asked.as_json
        else candidates_text(base, tried, next_up, width=screen_width())
    )
    return ExitCode.HOLDS if best is not None and not best.short else ExitCode.SHORT

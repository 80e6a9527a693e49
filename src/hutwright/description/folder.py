"""A project's folder: hut.toml, and the variants that are laid over it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from hutwright import units
from hutwright.description.build import build
from hutwright.description.described import Described
from hutwright.description.overlay import overlay, whole
from hutwright.description.reading import Sheet, read_sheet
from hutwright.errors import DescriptionError, RequestError, shortened, system_words

DESCRIPTION = "hut.toml"
VARIANTS = "variants"
SUFFIX = ".toml"


@dataclass(frozen=True, kw_only=True, slots=True)
class Summary:
    """What lies in a folder, at a glance.

    Attributes
    ----------
    name : str
        The project's name.
    tables : tuple
        The tables that its description holds, in the order of the file.
    variants : Mapping
        Name of every variant to its title, "" where it has none or cannot be read.
    """

    name: str
    tables: tuple[str, ...]
    variants: Mapping[str, str]


def load(folder: Path, variant: str | None = None) -> Described:
    """The description in a folder, with a variant laid over it where one is named.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    variant : str or None
        Name of a file in its folder of variants, without the ending; None for the description as it stands.

    Returns
    -------
    Described
        The project, with origin and range of every value.

    Raises
    ------
    DescriptionError
        With every fault of the files.
    RequestError
        Where there is no such folder or variant.
    """
    base = _sheet(folder)
    if variant is None:
        return build(whole(base))
    merged = overlay(base, _variant_sheet(folder, variant))
    return build(merged, variant=variant, title=merged.title)


def variants(folder: Path) -> tuple[str, ...]:
    """Names of the variants in a folder, in alphabetical order.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.

    Returns
    -------
    tuple of str
        What `load` takes as a variant; empty where there are none.

    Raises
    ------
    RequestError
        Where the folder cannot be looked into.
    """
    _require_folder(folder)
    place = folder / VARIANTS
    try:
        if not place.is_dir():
            return ()
        found = [each.stem for each in place.iterdir() if each.suffix == SUFFIX and each.name[0] not in ".~"]
    except OSError as error:
        raise RequestError(
            f"{place} cannot be looked into: the system said {system_words(error)}; "
            "wanted a folder that you may read; allow it, or move it away"
        ) from error
    return tuple(sorted(found))


def summary(folder: Path) -> Summary:
    """What lies in a folder; the description is read, but not judged.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.

    Returns
    -------
    Summary
        Name, tables and variants.

    Raises
    ------
    DescriptionError
        Where the description cannot be read at all.
    RequestError
        Where there is no such folder.
    """
    data = _sheet(folder).data
    titles: dict[str, str] = {}
    for name in variants(folder):
        try:
            title = _variant_sheet(folder, name).data.get("title")
        except DescriptionError:
            title = None
        titles[name] = title if isinstance(title, str) else ""
    tables = tuple(key for key, value in data.items() if isinstance(value, dict))
    return Summary(name=str(data.get("name", folder.name)), tables=tables, variants=titles)


def _sheet(folder: Path) -> Sheet:
    _require_folder(folder)
    return read_sheet(folder / DESCRIPTION, DESCRIPTION)


def _require_folder(folder: Path) -> None:
    try:
        found, is_file = folder.is_dir(), folder.is_file()
    except (
        OSError,
        ValueError,
    ):  # a name too long or with a NUL character, or a folder that may not be entered
        found, is_file = False, False
    if found:
        return
    if is_file:
        raise RequestError(
            f"{shortened(str(folder))} is a file; wanted the folder that holds {DESCRIPTION}; "
            f"name the folder, such as {folder.parent}"
        )
    raise RequestError(
        f"{shortened(str(folder))} is no folder that can be opened; wanted a project's folder "
        f"with {DESCRIPTION} in it; correct the name, or begin one there with 'hutwright start {folder}'"
    )


def _variant_sheet(folder: Path, variant: str) -> Sheet:
    known = variants(folder)
    if variant not in known:
        near = units.nearest(variant, known)
        there = f"there are: {', '.join(known)}" if known else f"none is described under {VARIANTS}/ yet"
        remedy = (
            f'did you mean "{near}"?' if near else f"write {VARIANTS}/<name>{SUFFIX} or name one of these"
        )
        raise RequestError(f"no variant is called {shortened(variant)}; {there}; {remedy}")
    name = f"{VARIANTS}/{variant}{SUFFIX}"
    return read_sheet(folder / VARIANTS / f"{variant}{SUFFIX}", name)

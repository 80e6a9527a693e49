"""Writing a change of the description that was agreed to: never over what somebody else has changed."""

from __future__ import annotations

from pathlib import Path

from hutwright.description.folder import DESCRIPTION
from hutwright.description.writing import write_atomic
from hutwright.errors import RequestError, system_words


def description_text(folder: Path) -> str:
    """The description of a folder with its line ends as they are.

    Raises
    ------
    RequestError
        Where it cannot be read.
    """
    path = folder / DESCRIPTION
    try:
        return path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise RequestError(
            f"{path} cannot be read: the system said {system_words(error)}; wanted the file as "
            "it was read before; ask again"
        ) from error


def write_agreed(folder: Path, before: str, after: str) -> None:
    """Write a changed description, where it still is what the change was made from.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    before : str
        What the change was made from.
    after : str
        The changed text.

    Raises
    ------
    RequestError
        Where somebody else has changed it meanwhile, or it cannot be written.
    """
    path = folder / DESCRIPTION
    if description_text(folder) != before:
        raise RequestError(
            f"{path} was changed by somebody else in the meantime, and stays as it is now; ask again"
        )
    write_atomic(path, after)

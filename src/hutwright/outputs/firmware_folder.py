"""Writing a folder that somebody may have worked in: nothing of theirs is lost.

A manifest beside the files holds the digest of each as it was written. A file that still has that digest is
ours and may be replaced; one that has another was changed by somebody, and is kept and named; one that the
manifest does not know is somebody's own.
"""

from __future__ import annotations

import hashlib
import secrets
import shutil
from collections.abc import Collection, Generator, Iterable, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from hutwright.description.writing import write_atomic_bytes
from hutwright.errors import RequestError, shortened, system_words

MANIFEST = "manifest.sha256"
Digests = dict[str, set[str]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Written:
    """What became of a folder.

    Attributes
    ----------
    folder : pathlib.Path
        The folder.
    files : tuple of str
        Paths that hold what was wanted.
    kept : tuple of str
        Paths that somebody changed; they are as they were.
    removed : tuple of str
        Paths that were written earlier and no longer belong there.
    """

    folder: Path
    files: tuple[str, ...]
    kept: tuple[str, ...]
    removed: tuple[str, ...]


def digest(raw: bytes) -> str:
    """The SHA-256 of some bytes, in hexadecimal."""
    return hashlib.sha256(raw).hexdigest()


def manifest_text(found: Mapping[str, Iterable[str]]) -> str:
    """The manifest, as ``sha256sum -c`` reads it.

    Parameters
    ----------
    found : Mapping
        Digests by path.
    """
    return "".join(f"{each}  {path}\n" for path in sorted(found) for each in sorted(found[path]))


def write_folder(folder: Path, files: Mapping[str, bytes], built: Collection[str] = ()) -> Written:
    """Put files into a folder.

    Parameters
    ----------
    folder : pathlib.Path
        The folder; made where it is missing.
    files : Mapping
        Content by path, with ``/`` between folders.
    built : collection of str
        Paths of what is made from the other files: replaced whoever made them.

    Returns
    -------
    Written
        What was written, kept and taken away.

    Raises
    ------
    RequestError
        Where something of other origin is in the way, and nothing is changed; or where the folder cannot be
        written: what the system cut off half way goes on with the next try.
    """
    with _in_sentences(folder):
        if folder.is_dir() and any(folder.iterdir()):
            return _renewed(folder, files, built)
        if folder.exists() and not folder.is_dir():
            raise RequestError(f"{folder} is a file; wanted a folder to write to; name another")
        return _begun(folder, files)


@contextmanager
def _in_sentences(folder: Path) -> Generator[None]:
    """What the system says against a folder, as a sentence."""
    try:
        yield
    except (OSError, ValueError) as error:
        raise RequestError(
            f"{shortened(str(folder))} cannot be written or read: the system said {system_words(error)}; "
            "wanted a folder where you may write; choose another, or make room"
        ) from error


def _begun(folder: Path, files: Mapping[str, bytes]) -> Written:
    """A folder that is not there yet: made beside, and put in its place whole."""
    place = folder.resolve()
    place.parent.mkdir(parents=True, exist_ok=True)
    beside = place.with_name(f".{place.name[:100]}.{secrets.token_hex(6)}.part")
    beside.mkdir()
    try:
        for name, raw in files.items():
            _put(beside, name, raw)
        _put(beside, MANIFEST, manifest_text({name: [digest(raw)] for name, raw in files.items()}).encode())
        with suppress(FileNotFoundError):
            place.rmdir()  # an empty one
        beside.rename(place)
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)
        raise
    return Written(folder=folder, files=tuple(files), kept=(), removed=())


def _renewed(folder: Path, files: Mapping[str, bytes], built: Collection[str]) -> Written:
    """A folder of an earlier time."""
    ours = _read_manifest(folder)
    kept = _changed(folder, ours, built)
    strange = [
        name
        for name, raw in files.items()
        if name not in ours
        and name not in built
        and (folder / name).exists()
        and _digest_at(folder / name) != digest(raw)
    ]
    if strange:
        raise RequestError(
            f"{folder}: {', '.join(strange)} is there and was not written by hutwright; nothing was changed; "
            "move it away, or name another folder"
        )
    wanted = {name: raw for name, raw in files.items() if name not in kept}
    both = {name: {*ours.get(name, ()), digest(raw)} for name, raw in files.items()}
    # Old and new digests first: whatever is cut off in between is known as ours the next time.
    _put(folder, MANIFEST, manifest_text(ours | both).encode())
    for name, raw in wanted.items():
        _put(folder, name, raw)
    gone = tuple(name for name in ours if name not in files and name not in kept and (folder / name).exists())
    for name in gone:
        (folder / name).unlink()
    # A kept file keeps the digest that was ours, so that it is known as changed the next time too.
    rest = {name: ours[name] for name in kept} | {name: {digest(raw)} for name, raw in wanted.items()}
    _put(folder, MANIFEST, manifest_text(rest).encode())
    return Written(folder=folder, files=tuple(wanted), kept=kept, removed=gone)


def changed_in(folder: Path, built: Collection[str] = ()) -> tuple[str, ...]:
    """Paths of a folder's manifest that somebody changed; none where there is no folder yet.

    Parameters
    ----------
    folder : pathlib.Path
        The folder.
    built : collection of str
        Paths of what is made from the other files, which are not looked at.

    Raises
    ------
    RequestError
        Where the folder is somebody's own.
    """
    with _in_sentences(folder):
        if not folder.is_dir() or not any(folder.iterdir()):
            return ()
        return _changed(folder, _read_manifest(folder), built)


def _changed(folder: Path, ours: Digests, built: Collection[str]) -> tuple[str, ...]:
    return tuple(
        name
        for name, digests in ours.items()
        if name not in built and (folder / name).exists() and _digest_at(folder / name) not in digests
    )


def _put(folder: Path, name: str, raw: bytes) -> None:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    write_atomic_bytes(path, raw)


def _digest_at(path: Path) -> str:
    return digest(path.read_bytes()) if path.is_file() else ""


def _read_manifest(folder: Path) -> Digests:
    path = folder / MANIFEST
    if not path.is_file():
        raise RequestError(
            f"{folder} has files in it that hutwright did not write: it has no {MANIFEST}; nothing was "
            "changed; name an empty folder, or one that is not there yet"
        )
    found: Digests = {}
    for number, line in enumerate(path.read_text("utf-8", errors="replace").splitlines(), 1):
        sum_, blank, name = line.partition("  ")
        inside = not Path(name).is_absolute() and ".." not in Path(name).parts
        if not blank or len(sum_) != 64 or set(sum_) - set("0123456789abcdef") or not name or not inside:
            raise RequestError(
                f"{path}, line {number}: read {shortened(line)}; wanted a digest, two blanks and a path "
                "within the folder; nothing was changed; name another folder"
            )
        found.setdefault(name, set()).add(sum_)
    return found

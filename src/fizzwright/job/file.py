"""One job, one TOML file: read with every fault at once.

Quantities stand in the file as text with a unit; nothing is guessed. A file that cannot be used raises
one InputError whose faults name the field, the line, what was written, what is allowed and what to do.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from fizzwright.errors import Fault, InputError
from fizzwright.job.locate import locate
from fizzwright.job.model import Job
from fizzwright.job.refusals import faults_of, standing_faults
from fizzwright.job.spelling import respell

__all__ = ["file_text", "load_job", "read_job", "sibling_paths"]

_BARE_QUANTITY = re.compile(r"=\s*[+\-]?\d+(?:[.,]\d+)?\s*[A-Za-z°µ%]")


def load_job(path: str | Path) -> Job:
    """The job kept in a file; InputError lists everything wrong with it at once.

    Parameters
    ----------
    path : str or pathlib.Path
        A TOML job file.

    Returns
    -------
    Job
        The frozen model every stage starts from.
    """
    path = Path(path)
    return read_job(file_text(path), name=path.name)


def file_text(path: str | Path) -> str:
    """The text of a job file; InputError where it is not there or is no UTF-8 text."""
    path = Path(path)
    try:
        return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        fault = Fault(path.name, "", "is not UTF-8 text", "Save it as plain text, UTF-8")
        raise InputError([fault]) from error
    except OSError as error:
        reason = "is not there" if isinstance(error, FileNotFoundError) else "cannot be read"
        raise InputError([Fault(str(path), "", reason, "Give the path of a job file")]) from error


def read_job(text: str, *, name: str = "job file") -> Job:
    """The job written in TOML text; InputError lists everything wrong with it at once.

    Parameters
    ----------
    text : str
        A job file's text.
    name : str
        The file's name, for messages, and to notice a file that lists itself.

    Returns
    -------
    Job
        The frozen model every stage starts from.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    data = _toml(text, name)
    respelled = respell(data, locate(text))
    values, lines = respelled.values, respelled.lines
    faults = [*respelled.faults, *standing_faults(values, lines, name=name)]
    try:
        job = Job.model_validate(values)
    except ValidationError as error:
        faults.extend(faults_of(error, values, lines))
    if faults:
        raise InputError(sorted(faults, key=lambda fault: (fault.line is None, fault.line or 0)))
    return job


def sibling_paths(path: str | Path, job: Job) -> tuple[Path, ...]:
    """The job files of the other tanks on this job's bottle, beside the file it was read from.

    InputError lists every one that is missing or leads out of the folder (through a link, say).
    """
    folder = Path(path).resolve().parent
    faults, found = [], []
    for name in job.gasline.bottle.shared_with:
        sibling = (folder / name).resolve()
        if not sibling.is_relative_to(folder):
            faults.append(Fault("gasline.bottle.shared_with", name, "leads out of the folder"))
        elif not sibling.is_file():
            step = "Put it beside this one, or take it off the list"
            faults.append(Fault("gasline.bottle.shared_with", name, f"is not in {folder}", step))
        else:
            found.append(sibling)
    if faults:
        raise InputError(faults)
    return tuple(found)


def _toml(text: str, name: str) -> dict[str, Any]:
    """The file's tables; a slip in the TOML itself is one fault with its line."""
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise InputError([Fault(name, "", "nests brackets too deeply to be a job file")]) from error
    except ValueError as error:
        raise InputError([_syntax_fault(text, name, str(error))]) from error


def _syntax_fault(text: str, name: str, message: str) -> Fault:
    rows = text.splitlines() or [""]
    place = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)$", message)
    line = int(place[1]) if place and place[1] else len(rows) if place else None
    said = message[: place.start()] if place else message
    row = rows[min(line, len(rows)) - 1] if line else ""
    step = ""
    if _BARE_QUANTITY.search(row):
        step = 'Write a quantity in quotes, for instance kh = "4 dKH"'
    elif "overwrite" in said or "twice" in said:
        step = "The same key or table stands higher up; keep one of them"
    return Fault(name, row.strip()[:60], f"is not valid TOML: {said[:1].lower()}{said[1:]}", step, line)

"""A job file to fill in, and the questions that fill it, both drawn from the model's own fields.

Help, units, ranges and words come from the model, so that neither the blank file nor the interview can
say anything the reader of files does not hold to.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import tomlkit

from fizzwright.errors import Fault, InputError
from fizzwright.job.fields import FieldNote, Path, dotted, notes, range_text, words_text
from fizzwright.job.file import read_job
from fizzwright.job.model import Job, Part
from fizzwright.job.refusals import note_at, value_faults
from fizzwright.job.spelling import nearest
from fizzwright.job.write import file_value
from fizzwright.units import unit_text

__all__ = ["Question", "answers_text", "blank_text", "interview", "read_answer"]

_HEAD = """\
# One tank, one file. Text in quotes carries its unit: "120 cm", "48 in", "4 dKH", "77 °F".
# Lines that start with # are not read; take the # away to use them. What they show is the default.
# Advisory only: the figures are estimates, and the animals have the last word.
"""

# What the interview asks, in the order a surveyor walks round a tank. Everything required is among it.
_ASKED = (
    "job.name", "job.timezone", "job.units",
    "tank.length", "tank.width", "tank.height", "tank.water_depth", "tank.substrate_depth",
    "tank.hardscape_volume", "tank.extra_volume", "tank.lid",
    "water.kh", "water.kh_step", "water.temperature", "water.ec",
    "water_change.share", "water_change.every",
    "surface.looks",
    "light.on", "light.off", "light.par",
    "plants.grows", "plants.cover", "plants.density",
    "animals.group", "animals.count", "animals.mass",
    "gasline.bottle.charge", "gasline.bottle.water_capacity", "gasline.bottle.remaining",
    "gasline.regulator.stages", "gasline.regulator.set_pressure",
    "gasline.counter.tip", "gasline.counter.fluid",
    "gasline.tube.material", "gasline.tube.length", "gasline.tube.bore", "gasline.tube.outer",
    "gasline.diffuser.kind", "gasline.diffuser.condition", "gasline.diffuser.depth",
    "room.volume", "room.air_changes", "room.altitude", "room.co2", "room.temperature",
    "target.low", "target.high",
)  # fmt: skip


@dataclass(frozen=True)
class Question:
    """One question of the interview.

    `field` is the key in the file with dots; `group` is the table it fills, asked again for each bed or
    group of animals where `repeats`; a group that is `optional` may be passed over as a whole. `default`
    is what an empty answer means ("" for no value); an empty answer to a `required` one is refused.
    """

    field: str
    group: str
    prompt: str
    default: str
    required: bool
    words: tuple[str, ...]
    allowed: str
    repeats: bool
    optional: bool


def interview() -> tuple[Question, ...]:
    """The questions that make a job file, in the order to ask them."""
    return tuple(_question(tuple(field.split("."))) for field in _ASKED)


def _question(path: Path) -> Question:
    note = note_at(path)
    table = note_at(path[:1])
    repeats = table.many
    return Question(
        field=dotted(path),
        group=dotted(path[:-1]),
        prompt=_prompt(path, note),
        default="" if note.required or note.default is None else _answer_text(note),
        required=note.required,
        words=note.words,
        allowed=range_text(note),
        repeats=repeats,
        optional=not table.required and any(n.required for n in notes(table.part or Part).values()),
    )


def _prompt(path: Path, note: FieldNote) -> str:
    """Table and key as words, then what to measure, then the unit."""
    place = [str(step).replace("_", " ") for step in path if step not in {"gasline", "job"}]
    unit = unit_text(note.suffix) if note.suffix and note.suffix != "ph" else "hh:mm" if note.clock else ""
    return f"{' '.join(place)}: {note.help}" + (f" [{unit}]" if unit else "")


def _answer_text(note: FieldNote) -> str:
    return str(file_value(note.default, note))


def _form(note: FieldNote) -> str:
    """What an answer looks like where there is no default to show."""
    unit = unit_text(note.suffix) if note.suffix and note.suffix != "ph" else ""
    return "hh:mm" if note.clock else f"? {unit}" if unit else "?"


def read_answer(question: Question, text: str) -> str | int | float | None:
    """An answer as the file takes it; None for an empty one. InputError says what would do.

    Where the question lists words, their number in the list will do as well, and any start of a word
    that fits only one of them.

    Examples
    --------
    >>> lid = next(q for q in interview() if q.field == "tank.lid")
    >>> read_answer(lid, "3")
    'closed hood'
    """
    text = text.strip()
    path: Path = tuple(question.field.split("."))
    if not text:
        if question.required:
            raise InputError(
                [Fault(question.field, "", f"needs an answer, {question.allowed or 'not blank'}")]
            )
        return None
    if question.words:
        text = _word(text, question.words)
    value: str | int | float = text
    if (
        note_at(path).suffix in {"", "ph", "count"}
        and re.fullmatch(r"[0-9]{1,12}", text)
        and not question.words
    ):
        value = int(text) if question.field != "job.name" else text
    if faults := value_faults(path, value):
        raise InputError(faults)
    return value


def _word(text: str, words: tuple[str, ...]) -> str:
    if text.isdecimal() and 1 <= int(text) <= len(words):
        return words[int(text) - 1]
    fits = [word for word in words if word.startswith(text.lower())]
    return fits[0] if len(fits) == 1 else text


def blank_text() -> str:
    """A job file with every key there is: required ones open, optional ones commented with their default.

    Read as it stands it is refused once for every required value, with its line: the list of what to
    measure.
    """
    return _layout({})


def answers_text(answers: Mapping[str, Any]) -> str:
    """The job file that answers make, with every key not answered left in it as a comment.

    Parameters
    ----------
    answers : mapping of str to value
        Key in the file with dots, `tank.length` or `animals[2].mass`, to the value `read_answer` gave;
        None is no answer.

    Returns
    -------
    str
        TOML text, already read back: InputError lists everything wrong with the answers together.
    """
    given = {key: value for key, value in answers.items() if value is not None}
    known = _keys(Job, ())
    plain = {re.sub(r"\[\d+\]", "", key): key for key in given}
    strange = [
        Fault(
            key,
            "",
            "is no key of a job file",
            f'The nearest is "{near}"' if (near := nearest(name, known)) else "",
        )
        for name, key in plain.items()
        if name not in known
    ]
    if strange:
        raise InputError(strange)
    text = _layout(given)
    read_job(text)
    return text


def _keys(model: type[Part], path: Path) -> list[str]:
    found = []
    for key, note in notes(model).items():
        found.extend(_keys(note.part, (*path, key)) if note.part else [dotted((*path, key))])
    return found


def _layout(given: Mapping[str, Any]) -> str:
    """The whole file: every table, every key, what is given filled in."""
    blocks = [_HEAD]
    for key, note in notes(Job).items():
        blocks.extend(_blocks((key,), note, given))
    return "\n".join(blocks)


def _blocks(path: Path, note: FieldNote, given: Mapping[str, Any], *, used: bool = True) -> list[str]:
    """The text of a table, of its tables, or of all its repeats; commented out where it is not used."""
    inner = notes(note.part or Part)
    if note.many:
        count = max((_number(key, str(path[0])) for key in given), default=0)
        rows = [_table((*path, at), note, given) for at in range(count)]
        return rows or [_commented(_table(path, note, {}))]
    tables = [(key, field) for key, field in inner.items() if field.part is not None]
    given_here = any(key.startswith(dotted(path) + ".") for key in given)
    if tables:
        # A part nobody needs stays out whole until one of its keys is given.
        used = used and (given_here or note.default is not None or note.required)
        return [block for key, field in tables for block in _blocks((*path, key), field, given, used=used)]
    started = (note.required and used) or given_here
    needed = any(field.required for field in inner.values())
    text = _table(path, note, given)
    return [text if started or not needed else _commented(text)]


def _number(key: str, table: str) -> int:
    match = re.match(rf"{table}\[(\d+)\]\.", key)
    return int(match[1]) if match else 0


def _table(path: Path, note: FieldNote, given: Mapping[str, Any]) -> str:
    name = dotted(tuple(step for step in path if isinstance(step, str)))
    rows = [f"[[{name}]]  # {note.help}" if note.many else f"[{name}]  # {note.help}"]
    for key, field in notes(note.part or Part).items():
        rows.extend(textwrap.wrap(_says(field), 100, initial_indent="# ", subsequent_indent="#   "))
        where = dotted((*path, key))
        if where in given:
            rows.append(f"{key} = {_literal(given[where])}")
        elif field.required:
            rows.append(f"{key} = {_literal('')}")
        elif field.default is None:
            rows.append(f"# {key} = {_literal(_form(field))}  # no default")
        else:
            rows.append(f"# {key} = {_literal(file_value(field.default, field))}")
    return "\n".join(rows) + "\n"


def _says(field: FieldNote) -> str:
    """Help, unit and range, or the words to choose from, on one line."""
    if field.words:
        return f"{field.help}: {words_text(field.words)}"
    limits = range_text(field)
    form = "time of day, hh:mm" if field.clock else limits
    return f"{field.help} ({form})" if form else field.help


def _literal(value: Any) -> str:
    """A value as TOML writes it."""
    return str(tomlkit.item(value).as_string())


def _commented(text: str) -> str:
    """The same lines, none of them read."""
    return "".join(row if row.startswith("#") else f"# {row}" for row in text.splitlines(keepends=True))

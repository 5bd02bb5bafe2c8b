"""A file of readings of any form that is understood, told apart by how it begins."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fizzwright.readings.importer import read_log
from fizzwright.readings.log import Log
from fizzwright.readings.mqtt import read_mqtt_lines
from fizzwright.readings.senml import read_senml
from fizzwright.readings.sheet import text_of

__all__ = ["read_readings"]


def read_readings(
    path: str | Path | bytes, *, timezone: str, channels: Mapping[str, str] | None = None
) -> Log:
    """The readings in a file: CSV, a SenML pack in JSON, or captured MQTT messages line by line.

    Parameters
    ----------
    path : str, pathlib.Path or bytes
        A file; a string with a line break in it is taken as the text itself.
    timezone : str
        IANA zone of the tank.
    channels : mapping of str to str, optional
        What headings, SenML names or topics mean where they do not say so.

    Returns
    -------
    Log

    Raises
    ------
    InputError
        Where no reading can be got from the file.
    """
    text, _, _ = text_of(path)
    begins = text.lstrip()[:1]
    if begins == "[":
        return read_senml(path, timezone=timezone, channels=channels)
    if begins == "{":
        return read_mqtt_lines(path, timezone=timezone, channels=channels)
    return read_log(path, timezone=timezone, columns=channels)

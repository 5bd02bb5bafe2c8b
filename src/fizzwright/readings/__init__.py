"""Logs of readings: CSV as loggers write it, every row kept or set aside with the reason."""

from fizzwright.readings.importer import read_log
from fizzwright.readings.log import Decision, Log, LogEvent, night_readings

__all__ = ["Decision", "Log", "LogEvent", "night_readings", "read_log"]

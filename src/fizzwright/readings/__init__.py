"""Logs of readings: CSV, SenML and captured MQTT messages, every row kept or set aside with the reason."""

from fizzwright.readings.importer import read_log
from fizzwright.readings.log import Decision, Log, LogEvent, night_readings
from fizzwright.readings.mqtt import read_mqtt_lines
from fizzwright.readings.senml import read_senml
from fizzwright.readings.source import read_readings

__all__ = [
    "Decision", "Log", "LogEvent", "night_readings", "read_log", "read_mqtt_lines", "read_readings",
    "read_senml",
]  # fmt: skip

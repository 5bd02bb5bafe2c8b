"""The record: jobs with their history, readings and ticked work, in SQLite or PostgreSQL.

The only room that speaks SQL. Texts go in and come out as they are; what they mean is for others to say.
"""

from fizzwright.store.book import Store
from fizzwright.store.names import slug_of
from fizzwright.store.records import AddedReadings, JobHead, JobKept, Reading, Tick
from fizzwright.store.sheet import events_and_readings, readings_csv
from fizzwright.store.where import data_folder, where_kept

__all__ = [
    "AddedReadings", "JobHead", "JobKept", "Reading", "Store", "Tick", "data_folder", "events_and_readings",
    "readings_csv", "slug_of", "where_kept",
]  # fmt: skip

"""Jobs in the record, with everything that can be asked of them; plans are worked out once a revision."""

from fizzwright.workshop.bench import Planned, Workshop
from fizzwright.workshop.beside import Beside, Given, ReadRow, beside_of, readings_from
from fizzwright.workshop.today import Attention, Bottle, JobSeen, attention_of, bottles_of, job_seen

__all__ = [
    "Attention", "Beside", "Bottle", "Given", "JobSeen", "Planned", "ReadRow", "Workshop", "attention_of",
    "beside_of", "bottles_of", "job_seen", "readings_from",
]  # fmt: skip

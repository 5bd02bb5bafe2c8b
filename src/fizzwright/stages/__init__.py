"""The stages of the job, in the order it is done."""

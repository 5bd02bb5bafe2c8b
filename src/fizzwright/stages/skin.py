"""The skin of a tank's bubbles as draws: from timed beads where the job has them, else all that waters "
"show."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.errors import Fault, InputError
from fizzwright.inference.beads import SkinFit
from fizzwright.inference.draws import Scores
from fizzwright.job.model import Diffuser

__all__ = ["UNKNOWN_NAME", "skin_changes", "skin_draws_frac"]

Array = NDArray[np.float64]
UNKNOWN_NAME = "bubble surface"
# Beads whose spread was not noted (judgement).
SPREAD_FRAC = 0.15


def skin_draws_frac(diffuser: Diffuser, scores: Scores) -> Array:
    """Places between the stiffest skin (0) and the most mobile (1), one for each draw, shape (draws,).

    Parameters
    ----------
    diffuser : Diffuser
        Its `skin_frac` and `skin_spread_frac` where beads were timed.
    scores : Scores
        With a row "bubble surface".
    """
    if diffuser.skin_frac is None:
        return scores.uniform(UNKNOWN_NAME)
    spread = SPREAD_FRAC if diffuser.skin_spread_frac is None else diffuser.skin_spread_frac
    drawn: Array = np.clip(diffuser.skin_frac + spread * scores.of(UNKNOWN_NAME), 0.0, 1.0)
    return drawn


def skin_changes(fit: SkinFit | None) -> dict[str, str]:
    """What to write into a job's file so that its plans use the skin that beads told.

    Raises
    ------
    InputError
        Where there is no fit, or one that says no more than was known before.
    """
    if fit is None or not fit.usable:
        verdict = "no beads were given" if fit is None else fit.verdict
        raise InputError([Fault("--keep", "", f"there is nothing to keep: {verdict}")])
    return {
        "gasline.diffuser.skin": f"{100 * fit.skin_frac.value:.0f} %",
        "gasline.diffuser.skin_spread": f"{max(100 * fit.spread_frac, 1.0):.0f} %",
    }

"""One step of amounts that decay towards what their surroundings allow: dn/dt = gain - loss x n.

Loss and gain may change over the step, in a way only known while stepping. All bubble integrations use
these pieces; none can make an amount negative for a constant loss and gain, and a loss too quick for the
step costs nothing.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["heun_end", "mean_decay", "relax"]

# The unit of the step (time or height) is the caller's; loss is one over it, gain is amount over it.
State = NDArray[np.float64]
Step = State | float
Pair = tuple[State, State]


def mean_decay(x: State) -> State:
    """(1 - exp(-x)) / x, for x over zero."""
    x = np.maximum(x, 1e-12)
    ratio: State = -np.expm1(-x) / x
    return ratio


def relax(amount: State, loss: State, *, gain: State, step: Step) -> State:
    """Amounts after a step at fixed loss rate and gain."""
    x = np.maximum(loss * step, 1e-12)
    end: State = amount + np.expm1(-x) * (amount - gain / x * step)
    return end


def heun_end(amount: State, start: Pair, *, late: Pair, step: Step) -> tuple[State, State]:
    """Amounts after a step from the (loss, gain) at its start and at two thirds of it, third order.

    The mean of loss and gain is exact to third order at Heun's nodes; because the two do not commute,
    a drift term makes up for the gain that comes late against the loss that comes early. Its weight is
    1/12 for short steps and 1/(2 x^2) for long ones, as the exact one for a gain that grows evenly.

    Returns the amounts and the mean decay, which an error estimate can use again.
    """
    (loss0, gain0), (loss2, gain2) = start, late
    x = np.maximum((0.25 * loss0 + 0.75 * loss2) * step, 1e-12)
    gone = -np.expm1(-x)
    mean = gone / x
    swing = (loss0 * gain2 - loss2 * gain0) * (1.5 * step) / (12.0 + x * (6.0 + 2.0 * x))
    end = amount - gone * amount + ((0.25 * gain0 + 0.75 * gain2) * mean + swing) * step
    return np.maximum(end, 0.0), mean

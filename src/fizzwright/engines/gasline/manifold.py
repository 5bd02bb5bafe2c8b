"""Several tanks on one regulator: what each branch gets, and what it gets when another one shuts.

All branches share the regulator's outlet. When one shuts, less flows, the outlet rises, and the others get
more. Each branch needs its own needle valve, counter and check valve: a tee behind one needle feeds
whichever diffuser opens first and leaves the rest without.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.gasline.gas import ATM_BARA, Floats
from fizzwright.engines.gasline.needle_fit import NeedleLaw, blend_flow_mg_h
from fizzwright.engines.gasline.regulator_rest import LOCK_UP_MID_BARG
from fizzwright.errors import Fault, InputError
from fizzwright.sources import equation

__all__ = [
    "TEE_REASON",
    "Branch",
    "BranchFlow",
    "Manifold",
    "ManifoldState",
    "cross_talk_factors",
    "manifold_state",
    "outlet_at_flow_barg",
]

TEE_REASON = (
    "a tee behind one needle valve feeds whichever diffuser opens at the lower pressure, and the rest get "
    "nothing: give each tank its own needle valve, counter and check valve from the block"
)


@dataclass(frozen=True)
class Branch:
    """One branch: its needle as fitted, the pressure behind it, and how many diffusers hang on the needle.

    `back_barg` is opening pressure, head and check valve together.
    """

    name: str
    needle: NeedleLaw
    back_barg: Floats
    diffusers_count: int = 1


@dataclass(frozen=True)
class Manifold:
    """A regulator and the branches on it.

    `set_barg` is its outlet while every branch flows, `design_mg_h` the flow it then gives; with no flow the
    outlet stands `lock_up_barg` higher.
    """

    branches: tuple[Branch, ...]
    set_barg: Floats
    design_mg_h: Floats
    lock_up_barg: Floats = LOCK_UP_MID_BARG
    ambient_bara: Floats = ATM_BARA
    room_c: Floats = 20.0


@dataclass(frozen=True)
class BranchFlow:
    """What one branch gets; nil where it is shut or its diffuser asks for more than the outlet has."""

    name: str
    flow_mg_h: Floats


@dataclass(frozen=True)
class ManifoldState:
    """The manifold in steady flow."""

    outlet_barg: Floats
    total_mg_h: Floats
    branches: tuple[BranchFlow, ...]

    def flow_of_mg_h(self, name: str) -> Floats:
        """The flow of a branch by its name. [mg/h]"""
        return next(branch.flow_mg_h for branch in self.branches if branch.name == name)


@equation("manifold-node", where="outlet falls in a straight line from lock-up to the set flow")
def outlet_at_flow_barg(
    total_mg_h: Floats, *, set_barg: Floats, design_mg_h: Floats, lock_up_barg: Floats
) -> Floats:
    """The regulator's outlet at a total flow, from its set point and its rise on closing.

    Parameters
    ----------
    total_mg_h : float or array
        What all branches take. [mg/h]
    set_barg : float or array
        Outlet at the flow it was set at. [bar g]
    design_mg_h : float or array
        That flow. [mg/h]
    lock_up_barg : float or array
        Rise with no flow at all. [bar]

    Returns
    -------
    float or array
        Outlet. [bar g]

    Examples
    --------
    >>> round(outlet_at_flow_barg(500.0, set_barg=2.0, design_mg_h=1000.0, lock_up_barg=0.2), 2)
    2.1
    """
    return set_barg + lock_up_barg * (1.0 - total_mg_h / design_mg_h)


def manifold_state(manifold: Manifold, shut: Collection[str] = ()) -> ManifoldState:
    """What every branch gets, with some of them shut.

    The outlet falls with the flow and each flow rises with the outlet, so one pressure fits; it is halved in.

    Parameters
    ----------
    manifold : Manifold
        Numbers, or arrays of draws that fit each other.
    shut : collection of str
        Names of branches that are shut.

    Returns
    -------
    ManifoldState

    Raises
    ------
    InputError
        Where a branch has a tee behind its needle, two branches share a name, or `shut` names none.
    """
    _refuse(manifold, shut)
    low = np.asarray(manifold.set_barg, dtype=float) - np.asarray(manifold.lock_up_barg) * 10.0
    high = np.asarray(manifold.set_barg, dtype=float) + np.asarray(manifold.lock_up_barg)
    low, high = np.maximum(low, 0.0), high + 0.0
    for _ in range(48):
        middle = 0.5 * (low + high)
        total = sum((flow.flow_mg_h for flow in _flows(manifold, middle, shut)), start=np.zeros(()))
        offered = outlet_at_flow_barg(
            total,
            set_barg=manifold.set_barg,
            design_mg_h=manifold.design_mg_h,
            lock_up_barg=manifold.lock_up_barg,
        )
        over = np.asarray(offered) > middle
        low, high = np.where(over, middle, low), np.where(over, high, middle)
    outlet = 0.5 * (low + high)
    flows = _flows(manifold, outlet, shut)
    total_mg_h: Floats = np.asarray(sum((flow.flow_mg_h for flow in flows), start=np.zeros(())))[()]
    return ManifoldState(outlet[()], total_mg_h, flows)


def _refuse(manifold: Manifold, shut: Collection[str]) -> None:
    names = [branch.name for branch in manifold.branches]
    faults = [
        Fault(f"branch {branch.name}", f"{branch.diffusers_count} diffusers", TEE_REASON)
        for branch in manifold.branches
        if branch.diffusers_count > 1
    ]
    faults += [
        Fault(f"branch {name}", "", "is named twice") for name in sorted(set(names)) if names.count(name) > 1
    ]
    faults += [
        Fault("shut", name, f"is none of the branches, {', '.join(names)}")
        for name in sorted(shut)
        if name not in names
    ]
    if not names:
        faults.append(Fault("branches", "", "at least one branch is needed"))
    if faults:
        raise InputError(faults)


def _flows(manifold: Manifold, outlet_barg: Floats, shut: Collection[str]) -> tuple[BranchFlow, ...]:
    before = np.asarray(outlet_barg) + manifold.ambient_bara
    return tuple(
        BranchFlow(
            branch.name,
            np.zeros(())
            if branch.name in shut
            else blend_flow_mg_h(
                branch.needle,
                before,
                after_bara=np.minimum(branch.back_barg + manifold.ambient_bara, before),
                temperature_c=manifold.room_c,
            ),
        )
        for branch in manifold.branches
    )


def cross_talk_factors(manifold: Manifold, shut: Collection[str]) -> dict[str, Floats]:
    """How many times more each open branch gets once the named ones shut, by branch."""
    before, after = manifold_state(manifold), manifold_state(manifold, shut)
    return {
        branch.name: after.flow_of_mg_h(branch.name) / np.maximum(before.flow_of_mg_h(branch.name), 1e-12)
        for branch in manifold.branches
        if branch.name not in shut
    }

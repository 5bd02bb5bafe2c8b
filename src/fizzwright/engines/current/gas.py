"""Dissolved CO2 in a settled current: what the mist gives, what leaves and surface take, what is left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.scalar import Solver, Transport

__all__ = ["Exchange", "GasField", "GasSolver"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Exchange:
    """Everything besides the diffuser that gives CO2 to the water or takes it, cell by cell.

    Uptake is `uptake_mg_l_h` at `level_mg_l` and changes with CO2 by `slope_per_h`; `surface_per_h` is the
    loss rate of the cells under the surface, nil elsewhere; `breathing_mg_l_h` comes from animals, ground
    and plants.
    """

    level_mg_l: float
    uptake_mg_l_h: Array
    slope_per_h: Array
    surface_per_h: Array
    air_mg_l: float
    breathing_mg_l_h: Array


@dataclass(frozen=True, eq=False)
class GasField:
    """The steady CO2 of every cell, the supply that keeps its mean at the level, and how well it balances.

    `supply_mg_l_h` is what dissolves, over the whole tank's volume; `residual_frac` what comes in less what
    goes out, over what comes in.
    """

    co2_mg_l: Array
    supply_mg_l_h: float
    residual_frac: float


class GasSolver:
    """The CO2 balance of one current and one exchange, ready for the mist of any diffuser."""

    def __init__(self, transport: Transport, exchange: Exchange) -> None:
        self.transport, self.exchange = transport, exchange
        self.loss_per_s = (exchange.slope_per_h + exchange.surface_per_h) / 3600.0
        self.solver = Solver(transport, self.loss_per_s)
        self.wet = transport.water

    def supply_mg_l_h(self) -> float:
        """What must dissolve to hold mixed water at the level; nil where breathing alone does. [mg/L/h]"""
        ex = self.exchange
        net = ex.uptake_mg_l_h + ex.surface_per_h * (ex.level_mg_l - ex.air_mg_l) - ex.breathing_mg_l_h
        return max(float(net[self.wet].mean()), 0.0)

    def field(self, source_frac: Array, *, supply_mg_l_h: float | None = None) -> GasField:
        """The steady CO2 for a mist that dissolves in these shares.

        Parameters
        ----------
        source_frac : array
            Share of the dissolving gas in each cell; scaled to add up to one.
        supply_mg_l_h : float or None
            What dissolves, over the tank's volume; what holds the level where not given. [mg/L/h]
        """
        ex, wet = self.exchange, self.wet
        supply = self.supply_mg_l_h() if supply_mg_l_h is None else supply_mg_l_h
        shares = source_frac * wet / max(float((source_frac * wet).sum()), 1e-300)
        fixed = ex.breathing_mg_l_h + ex.surface_per_h * ex.air_mg_l + ex.slope_per_h * ex.level_mg_l
        source = (supply * float(wet.sum()) * shares + (fixed - ex.uptake_mg_l_h) * wet) / 3600.0
        co2 = self.solver.field(source, guess=ex.level_mg_l * np.ones(wet.shape))
        gained, lost = float(source.sum()), float((self.loss_per_s * co2)[wet].sum())
        return GasField(co2, supply, (gained - lost) / max(abs(gained), abs(lost), 1e-300))

"""How long the chemistry takes, beside general libraries that do the same: 1e5 cases each.

The budgets hold our own times; `python -m benchmarks.water` prints the ratios to the libraries.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np

from fizzwright.engines.water.carbonate import co2_from_dic_mg_l, co2_from_ph_mg_l
from fizzwright.inference.fusion import AiredReading, KitKh, ProbeReading, Readings, RoomAirReading, fused

COUNT = 100_000
PHREEQC_COUNT = 300


class Water:
    """Our own sums on many cases, and one fusion."""

    def setup(self) -> None:
        """Draw the cases."""
        rng = np.random.default_rng(5)
        self.warmth = rng.uniform(18.0, 30.0, COUNT)
        self.alk = rng.uniform(0.3, 5.0, COUNT)
        self.ph = rng.uniform(6.0, 7.8, COUNT)
        self.dic = self.alk * rng.uniform(1.05, 1.8, COUNT)

    def teardown(self) -> None:
        """Nothing to remove."""

    def time_ph_and_alkalinity(self) -> None:
        """CO2 from pH and alkalinity, a temperature and a saltiness for each case."""
        co2_from_ph_mg_l(self.ph, self.alk, water_c=self.warmth, ionic_strength_mol_l=1e-3 * self.alk)

    def time_carbon_and_alkalinity(self) -> None:
        """CO2 from total carbon and alkalinity, solved for pH."""
        co2_from_dic_mg_l(self.dic, self.alk, water_c=self.warmth, ionic_strength_mol_l=1e-3 * self.alk)

    def time_fusion(self) -> None:
        """One posterior from a kit, a probe and an aired sample, with all its advice."""
        fused(
            Readings(
                water_c=25.0,
                kits=(KitKh(3.0, 4.0),),
                probe=ProbeReading(6.6),
                aired=AiredReading(8.1),
                room=RoomAirReading(600.0),
            )
        )


def best_s(run: Callable[[], Any], repeats: int = 3) -> float:
    """The shortest of a few runs. [s]"""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def carbonate_library_s(water: Water) -> tuple[float, float]:
    """PyCO2SYS on the same cases: pH with alkalinity, total carbon with alkalinity. [s]"""
    import PyCO2SYS

    rest = {"salinity": 0.0, "temperature": water.warmth, "opt_k_carbonic": 8}
    alk, carbon = 1000.0 * water.alk, 1000.0 * water.dic
    by_ph = best_s(lambda: PyCO2SYS.sys(par1=alk, par1_type=1, par2=water.ph, par2_type=3, **rest), repeats=1)
    by_carbon = best_s(
        lambda: PyCO2SYS.sys(par1=alk, par1_type=1, par2=carbon, par2_type=2, **rest), repeats=1
    )
    return by_ph, by_carbon


def speciation_s(water: Water) -> float:
    """PHREEQC through phreeqpython, for one case. [s]"""
    import phreeqpython

    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")

    def run() -> None:
        for i in range(PHREEQC_COUNT):
            solution = engine.add_solution(
                {
                    "units": "mmol/kgw",
                    "temp": water.warmth[i],
                    "pH": water.ph[i],
                    "Alkalinity": water.alk[i],
                    "K": water.alk[i],
                }
            )
            solution.species["CO2"]
            solution.forget()

    return best_s(run, repeats=2) / PHREEQC_COUNT


def main() -> int:
    """Print times and ratios; fail where a ratio is not met."""
    water = Water()
    water.setup()
    by_ph, by_carbon = best_s(water.time_ph_and_alkalinity), best_s(water.time_carbon_and_alkalinity)
    their_ph, their_carbon = carbonate_library_s(water)
    speciated = speciation_s(water)
    rows = (
        ("pH and alkalinity, times faster than PyCO2SYS", their_ph / by_ph, 50.0),
        ("pH and alkalinity, times faster a case than PHREEQC", speciated / (by_ph / COUNT), 500.0),
        ("total carbon and alkalinity, times faster than PyCO2SYS", their_carbon / by_carbon, 10.0),
    )
    print(f"{COUNT} cases: {by_ph:.3f} s and {by_carbon:.3f} s; one fusion {best_s(water.time_fusion):.3f} s")
    for words, ratio, wanted in rows:
        print(f"{words:<58}{ratio:>8.0f}  (at least {wanted:.0f})")
    return int(any(ratio < wanted for _, ratio, wanted in rows))


if __name__ == "__main__":
    raise SystemExit(main())

"""The fields of a placement as a NetCDF file that any tool for gridded data opens."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from fizzwright import __version__
from fizzwright.stages.place_result import PlaceResult

__all__ = ["write_fields"]

# Name in the file: attribute of the streams, unit as CF spells it, what it is.
_FIELDS = (
    ("current_right", "across_m_s", "m s-1", "speed of the water to the right"),
    ("current_back", "back_m_s", "m s-1", "speed of the water to the back"),
    ("current_up", "up_m_s", "m s-1", "speed of the water upwards"),
    ("eddy_viscosity", "eddy_m2_s", "m2 s-1", "eddy viscosity"),
    ("age", "age_s", "s", "time since the water came out of the filter"),
    ("co2", "co2_mg_l", "mg L-1", "dissolved carbon dioxide while the mean is held"),
    ("mist", "mist_frac", "1", "share of the volume that is gas"),
    ("deposit", "deposit_frac", "1", "share of all gas let go that dissolves in the cell"),
)


def write_fields(found: PlaceResult, path: Path) -> None:
    """Write the fields of the first place with coordinates and units after the CF conventions.

    NetCDF 3 (64-bit offset), written by SciPy; `xarray.open_dataset` reads it as it stands. Cells of stone
    are not a number.
    """
    from scipy.io import netcdf_file

    streams = found.streams
    layers, rows, columns = streams.water.shape
    with netcdf_file(path, "w", version=2) as file:
        file.Conventions = "CF-1.8"
        file.title = f"{found.name}: current and dissolved gas"
        file.source = f"Fizzwright {__version__}, preset {found.preset}; a model, not a measurement"
        for name, count, start, says in (
            ("z", layers, streams.ground_cm / 100, "height over the bottom glass"),
            ("y", rows, 0.0, "distance from the front glass"),
            ("x", columns, 0.0, "distance from the left glass"),
        ):
            file.createDimension(name, count)
            axis = file.createVariable(name, "f8", (name,))
            axis[:] = start + streams.cell_m * (np.arange(count) + 0.5)
            axis.units, axis.long_name, axis.axis = "m", says, name.upper()
        for name, attribute, unit, says in _FIELDS:
            field = file.createVariable(name, "f4", ("z", "y", "x"))
            field[:] = np.where(streams.water, getattr(streams, attribute), np.nan)
            field.units, field.long_name = unit, says
            field._FillValue = np.float32(np.nan)

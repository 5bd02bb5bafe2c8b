"""Colour against the tabulated CIE observer and illuminant of a general colour library, if installed."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from fizzwright.engines.water.colour import (
    WAVELENGTHS_UM,
    colour_matching_factor,
    daylight_factor,
    hue_deg,
    tristimulus_factor,
)
from fizzwright.engines.water.indicator import bromothymol_absorbance_log10

pytestmark = pytest.mark.peers


@pytest.fixture(scope="module")
def library():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("colour")


def test_observer_and_daylight(library):
    nm = 1000.0 * WAVELENGTHS_UM
    table = library.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    theirs = np.array([table[x] for x in nm])
    assert np.max(np.abs(colour_matching_factor(WAVELENGTHS_UM) - theirs)) < 0.025
    light = library.SDS_ILLUMINANTS["D65"]
    assert daylight_factor(WAVELENGTHS_UM) == pytest.approx([light[x] for x in nm], abs=0.01)


def test_hue_of_the_dye(library):
    """From yellow to blue: hues with the tabulated observer differ from ours by a few degrees."""
    nm = 1000.0 * WAVELENGTHS_UM
    table = library.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = library.SDS_ILLUMINANTS["D65"]
    weight = np.array([table[x] for x in nm]) * np.array([light[x] for x in nm])[:, None]
    for share in (0.02, 0.1, 0.2, 0.4, 0.7, 0.95):
        passed = 10.0 ** -bromothymol_absorbance_log10(share, 6e-5, path_cm=1.0)
        seen = passed @ weight / weight.sum(axis=0)[1]
        lab = library.XYZ_to_Lab(seen, illuminant=np.array([0.31271, 0.32902]))
        theirs = np.degrees(np.arctan2(lab[2], lab[1])) % 360.0
        assert float(hue_deg(tristimulus_factor(passed))) == pytest.approx(float(theirs), abs=5.0)

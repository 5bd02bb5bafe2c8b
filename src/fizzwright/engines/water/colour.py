"""What colour a coloured water has to the eye: spectrum to CIE 1931, to sRGB and to a hue.

Light is that of an overcast noon (CIE D65), seen through the water against white.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.sources import equation

__all__ = [
    "WAVELENGTHS_UM",
    "colour_matching_factor",
    "daylight_factor",
    "hue_deg",
    "linear_srgb_factor",
    "srgb_hex",
    "srgb_hue_deg",
    "tristimulus_factor",
]

Array = NDArray[np.float64]

WAVELENGTHS_UM: Array = np.arange(380, 781, 5) / 1000.0

# Relative power of CIE D65 every 10 nm from 380 to 780 nm.
_D65 = (
    49.9755, 54.6482, 82.7549, 91.4860, 93.4318, 86.6823, 104.865, 117.008, 117.812, 114.861, 115.923,
    108.811, 109.354, 107.802, 104.790, 107.689, 104.405, 104.046, 100.000, 96.3342, 95.7880, 88.6856,
    90.0062, 89.5991, 87.6987, 83.2886, 83.6992, 80.0268, 80.2146, 82.2778, 78.2842, 69.7213, 71.6091,
    74.3490, 61.6040, 69.8856, 75.0870, 63.5927, 46.4182, 66.8054, 63.3828,
)  # fmt: skip
_LOBES = (
    ((1.056, 599.8, 37.9, 31.0), (0.362, 442.0, 16.0, 26.7), (-0.065, 501.1, 20.4, 26.2)),
    ((0.821, 568.8, 46.9, 40.5), (0.286, 530.9, 16.3, 31.1)),
    ((1.217, 437.0, 11.8, 36.0), (0.681, 459.0, 26.0, 13.8)),
)
# IEC 61966-2-1: CIE XYZ (white at Y = 1) to linear red, green and blue.
_TO_SRGB = (
    (3.2406, -1.5372, -0.4986),
    (-0.9689, 1.8758, 0.0415),
    (0.0557, -0.2040, 1.0570),
)
WHITE = (0.95047, 1.0, 1.08883)


@equation("wyman-2013", where="multi-lobe fit of the CIE 1931 2 degree observer")
def colour_matching_factor(wavelength_um: ArrayLike) -> Array:
    """How strongly light of one wavelength drives the three colour channels of the eye.

    Parameters
    ----------
    wavelength_um : wavelength [µm]

    Returns
    -------
    Colour matching functions x, y, z [-], shape (..., 3)

    Examples
    --------
    >>> colour_matching_factor(0.555).round(2).tolist()
    [0.52, 1.0, 0.01]
    """
    nm = 1000.0 * np.asarray(wavelength_um, dtype=np.float64)

    def lobe(height: float, centre: float, left: float, right: float) -> Array:
        width = np.where(nm < centre, left, right)
        result: Array = height * np.exp(-0.5 * ((nm - centre) / width) ** 2)
        return result

    return np.stack([np.asarray(sum(lobe(*terms) for terms in channel)) for channel in _LOBES], axis=-1)


@equation(
    "cie-15",
    where="table of illuminant D65 at 10 nm, straight between",
    valid={"wavelength_um": (0.38, 0.78)},
)
def daylight_factor(wavelength_um: ArrayLike) -> Array:
    """How strong noon daylight is at one wavelength.

    Parameters
    ----------
    wavelength_um : wavelength [µm]

    Returns
    -------
    Power relative to 100 at 0.56 µm [-], shape of `wavelength_um`

    Examples
    --------
    >>> float(daylight_factor(0.56))
    100.0
    """
    return np.interp(np.asarray(wavelength_um, dtype=np.float64), np.arange(380, 781, 10) / 1000.0, _D65)


@equation("cie-15", where="tristimulus values of a transmitting object")
def tristimulus_factor(transmitted_frac: ArrayLike) -> Array:
    """The colour an eye sees through something, from the share of each wavelength it lets pass.

    Parameters
    ----------
    transmitted_frac : share let pass at each of `WAVELENGTHS_UM`, last axis [-]

    Returns
    -------
    CIE X, Y, Z with clear water at the white of D65 [-], shape (..., 3)

    Examples
    --------
    >>> tristimulus_factor(np.ones(len(WAVELENGTHS_UM))).round(4).tolist()
    [0.9505, 1.0, 1.0888]
    """
    weight = colour_matching_factor(WAVELENGTHS_UM) * daylight_factor(WAVELENGTHS_UM)[:, None]
    seen: Array = np.asarray(transmitted_frac, dtype=np.float64) @ weight
    # Clear water is put on the published white, so that the fit's small tint falls out.
    colour: Array = seen / weight.sum(axis=0) * np.asarray(WHITE)
    return colour


@equation("iec-61966-2-1", where="matrix for the white of D65")
def linear_srgb_factor(tristimulus_number: ArrayLike) -> Array:
    """The red, green and blue of a screen that match a colour, before its gamma.

    Parameters
    ----------
    tristimulus_number : CIE X, Y, Z, last axis [-]

    Returns
    -------
    Linear red, green, blue, outside 0 to 1 where a screen cannot show the colour [-], shape (..., 3)

    Examples
    --------
    >>> linear_srgb_factor([0.9505, 1.0, 1.089]).round(2).tolist()
    [1.0, 1.0, 1.0]
    """
    mixed: Array = np.asarray(tristimulus_number, dtype=np.float64) @ np.asarray(_TO_SRGB).T
    return mixed


@equation("cie-15", where="CIE 1976 L*a*b*, hue angle")
def hue_deg(tristimulus_number: ArrayLike) -> Array:
    """The hue of a colour as an angle: about 90 yellow, 140 green, 200 blue-green, 270 blue.

    Parameters
    ----------
    tristimulus_number : CIE X, Y, Z, last axis [-]

    Returns
    -------
    CIELAB hue angle, 0 to 360 [°], shape without the last axis

    Examples
    --------
    >>> round(float(hue_deg([0.3576, 0.7152, 0.1192])))
    136
    """
    share = np.asarray(tristimulus_number, dtype=np.float64) / np.asarray(WHITE)
    bent = np.where(share > (6.0 / 29.0) ** 3, np.cbrt(share), share * (29.0 / 6.0) ** 2 / 3.0 + 4.0 / 29.0)
    a = 500.0 * (bent[..., 0] - bent[..., 1])
    b = 200.0 * (bent[..., 1] - bent[..., 2])
    result: Array = np.degrees(np.arctan2(b, a)) % 360.0
    return result


def srgb_hex(tristimulus_number: ArrayLike) -> str:
    """One colour as a screen takes it, such as `#5aa05a`; what a screen cannot show is clipped."""
    linear = np.clip(linear_srgb_factor(tristimulus_number), 0.0, 1.0)
    coded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1.0 / 2.4) - 0.055)
    return "#" + "".join(f"{round(255.0 * float(channel)):02x}" for channel in coded)


def srgb_hue_deg(code: str) -> float:
    """The hue of a colour picked from a photograph, written as `#7da23c`. [°]

    Raises ValueError where the text is no such code.
    """
    digits = code.strip().lstrip("#")
    if len(digits) != 6:
        raise ValueError(f"{code!r} is no colour such as #7da23c")
    coded = np.array([int(digits[i : i + 2], 16) for i in (0, 2, 4)]) / 255.0
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    return float(hue_deg(np.linalg.inv(np.asarray(_TO_SRGB)) @ linear))

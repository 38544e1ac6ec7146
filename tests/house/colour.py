"""Colours as eyes see them: contrast, other kinds of colour sight, and how far two colours are apart."""

import math

Triple = tuple[float, float, float]

# Machado, Oliveira & Fernandes, IEEE Transactions on Visualization and Computer Graphics 15 (2009) 1291-1298,
# severity 1.0, applied to linear RGB.
SIGHTS: dict[str, tuple[Triple, Triple, Triple]] = {
    "normal": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
# IEC 61966-2-1:1999 (sRGB), white D65.
TO_XYZ = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
WHITE = (0.9505, 1.0, 1.089)


def linear(colour: str) -> Triple:
    """Give the linear red, green and blue of "#rrggbb", each from 0 to 1."""
    red, green, blue = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
    return _linear(red), _linear(green), _linear(blue)


def _linear(share: float) -> float:
    """Undo the sRGB curve (IEC 61966-2-1:1999)."""
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Give the contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    lights = sorted(sum(w * c for w, c in zip(TO_XYZ[1], linear(colour), strict=True)) for colour in (one, other))
    return (lights[1] + 0.05) / (lights[0] + 0.05)


def seen(colour: str, sight: str) -> Triple:
    """Give the CIELAB values of a colour as one kind of sight sees it."""
    shown = tuple(min(1.0, max(0.0, share)) for share in _times(SIGHTS[sight], linear(colour)))
    x, y, z = (_lab(value / white) for value, white in zip(_times(TO_XYZ, shown), WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _times(matrix: tuple[Triple, Triple, Triple], vector: tuple[float, ...]) -> tuple[float, ...]:
    """Multiply a matrix with a vector."""
    return tuple(sum(factor * share for factor, share in zip(row, vector, strict=True)) for row in matrix)


def _lab(share: float) -> float:
    """Apply the CIELAB curve (CIE 15:2004)."""
    return share ** (1 / 3) if share > (6 / 29) ** 3 else share * (29 / 6) ** 2 / 3 + 4 / 29


def ciede2000(one: Triple, other: Triple) -> float:
    """Give the difference of two CIELAB colours (Sharma, Wu & Dalal, Color Research & Application 30 (2005) 21-30)."""
    mean_chroma = (math.hypot(*one[1:]) + math.hypot(*other[1:])) / 2
    stretch = 1.5 - 0.5 * _saturation(mean_chroma)
    (l1, c1, h1), (l2, c2, h2) = (_polar(colour, stretch) for colour in (one, other))
    lightness, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    turn = 0.0 if c1 * c2 == 0 else (h2 - h1 + 180) % 360 - 180
    hue = h1 + h2 if c1 * c2 == 0 else (h1 + turn / 2) % 360
    d_hue = 2 * math.sqrt(c1 * c2) * _sin(turn / 2)
    off_grey = (lightness - 50) ** 2
    s_lightness = 1 + 0.015 * off_grey / math.sqrt(20 + off_grey)
    s_hue = 1 + 0.015 * chroma * _hue_weight(hue)
    rotation = -_sin(60 * math.exp(-(((hue - 275) / 25) ** 2))) * 2 * _saturation(chroma)
    dl, dc, dh = (l2 - l1) / s_lightness, (c2 - c1) / (1 + 0.045 * chroma), d_hue / s_hue
    return math.sqrt(dl**2 + dc**2 + dh**2 + rotation * dc * dh)


def _polar(colour: Triple, stretch: float) -> Triple:
    """Give lightness, chroma and hue in degrees, the red-green axis stretched."""
    a = colour[1] * stretch
    return colour[0], math.hypot(a, colour[2]), math.degrees(math.atan2(colour[2], a)) % 360


def _hue_weight(hue: float) -> float:
    """Weigh a hue, T in the publication."""
    terms = ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63))
    return 1 + sum(weight * math.cos(math.radians(times * hue + shift)) for weight, times, shift in terms)


def _saturation(chroma: float) -> float:
    """Weigh a chroma, the root in G and in R_C of the publication."""
    return math.sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _sin(degrees: float) -> float:
    """Sine of an angle in degrees."""
    return math.sin(math.radians(degrees))

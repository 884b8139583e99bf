"""Colours and line weights. Told apart in greyscale too: each pair differs in lightness or in shape.

Colours: Okabe & Ito 2008, "Color Universal Design" (values from memory); the accent is their blue.
"""

from typing import TYPE_CHECKING

from browline.figures.typeface import FONT_FAMILY

if TYPE_CHECKING:
    from altair.theme import ConfigKwds

INK = "#1f2328"
QUIET = "#5a6169"
HAIRLINE = "#d5d8dc"
ACCENT = "#0072B2"
WARNING = "#D55E00"

CATEGORIES = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#000000")
SHAPES = ("circle", "square", "triangle-up", "diamond", "triangle-down", "cross", "triangle-right")

CONFIG: "ConfigKwds" = {
    "font": FONT_FAMILY,
    "background": "white",
    "view": {"stroke": None},
    "axis": {
        "labelColor": INK,
        "labelFontSize": 11,
        "titleColor": QUIET,
        "titleFontSize": 11,
        "titleFontWeight": "normal",
        "gridColor": HAIRLINE,
        "gridWidth": 0.6,
        "domain": False,
        "ticks": False,
        "labelPadding": 5,
    },
    "axisX": {"grid": False, "domain": True, "domainColor": QUIET},
    "text": {"color": INK, "fontSize": 11},
    "legend": {"labelFontSize": 11, "titleFontSize": 11, "labelColor": INK, "symbolSize": 50},
}

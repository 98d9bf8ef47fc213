"""The colours of figures held against their sources: the published scales, and how far apart marks look to
people who see colours otherwise (Machado, Oliveira and Fernandes 2009; distance in CAM02-UCS)."""

import re

import cmcrameri.cm as crameri
import matplotlib
from colorspacious import cspace_convert, deltaE
from matplotlib.colors import to_hex, to_rgb
from table import ROOT, write

style = (ROOT / "lib/lesson/figures/parts/style.ts").read_text()


def colours(theme):
    """The named colours of a theme, read from the style itself."""
    block = re.search(theme + r": \{(.*?)\n  \}", style, re.S).group(1)
    return dict(re.findall(r'(\w+): "(#[0-9a-f]{6})"', block))


def seen(colour, kind):
    space = {"name": "sRGB1+CVD", "cvd_type": kind, "severity": 100}
    return cspace_convert(to_rgb(colour), space, "sRGB1")


def difference(a, b, kind):
    return round(float(deltaE(seen(a, kind), seen(b, kind), input_space="sRGB1")), 1)


pairs = [("mains", "subs"), ("subs", "mark"), ("mains", "mark"), ("mains", "ink"), ("subs", "ink")]
kinds = ["protanomaly", "deuteranomaly", "tritanomaly"]
result = {
    "viridis": [to_hex(matplotlib.colormaps["viridis"](i / 100)) for i in range(101)],
    "vik": [to_hex(crameri.vik(i / 100)) for i in range(101)],
    "differences": {
        theme: {
            kind: {f"{a} and {b}": difference(colours(theme)[a], colours(theme)[b], kind) for a, b in pairs}
            for kind in kinds
        }
        for theme in ["light", "dark"]
    },
}
write("lesson", "lesson_colours", result)

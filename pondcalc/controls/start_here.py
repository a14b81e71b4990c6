"""Explorers of workbook 00."""

from types import SimpleNamespace

from ..figures import start_here as draw
from ..how_much_water import handvolume
from ..units import Q, show
from .explorer import Explorer, Slider


def _block(area, depth):
    volume = handvolume.volume_from_mean_depth.si(area, depth)
    extra = handvolume.volume_from_mean_depth.si(area, 0.3048)
    return SimpleNamespace(area=area, depth=depth, volume=volume, extra=extra)


def _say(block, system):
    volume, extra = Q(block.volume, "m3"), Q(block.extra, "m3")
    gallons = show(volume, "bucket", system)
    foot = "foot" if system == "US" else "0.3 m (a foot)"
    return (f"{show(Q(block.area, 'm2'), 'area', system)} at {show(Q(block.depth, 'm'), 'depth', system)} mean depth "
            f"holds {show(volume, 'volume', system)}, which is {gallons}. One more {foot} of water on "
            f"top would add {show(extra, 'volume', system)}.")


def acre_foot(system="US"):
    """How much water is a foot of depth over a whole pond?"""
    return Explorer("What one more foot of water means", _block, draw.acre_foot, _say,
                    [Slider.of("water", "area", "2 acre"), Slider.of("water", "mean_depth", "6 ft", "depth")],
                    presets={"Garden pond": {"area": "0.1 acre", "depth": "2 ft"},
                             "Large farm pond": {"area": "6 acre", "depth": "9 ft"}}, system=system)

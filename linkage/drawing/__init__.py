"""Drawing: takes numbers and an Axes, returns artists; nothing is computed here.

Import it only where a picture is asked for, as it needs matplotlib.
"""

from linkage.outside import apart

apart.load()  # before anything that loads Matplotlib

from linkage.drawing.curve import CurveArtists, curve_figure, draw_curve
from linkage.drawing.style import save

__all__ = ["CurveArtists", "curve_figure", "draw_curve", "save"]

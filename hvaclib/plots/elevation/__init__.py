"""An outside wall in elevation, to scale: what opens and ends in it, the places allowed, the distances that lack."""

from hvaclib.plots.elevation.drawing import Elevation, wall_elevation

__all__ = ["Elevation", "wall_elevation"]

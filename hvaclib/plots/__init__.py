"""Drawings and charts: pure functions from plain numbers to a `Picture`, which shows itself as SVG or as a figure."""

from hvaclib.plots.picture import Picture
from hvaclib.plots.ranking import effects_chart, ranking_chart
from hvaclib.plots.section import Section, dwelling_section
from hvaclib.plots.warm_up import WarmUpLines, warm_up_chart

__all__ = [
    "Picture",
    "Section",
    "WarmUpLines",
    "dwelling_section",
    "effects_chart",
    "ranking_chart",
    "warm_up_chart",
]

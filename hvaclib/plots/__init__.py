"""Drawings and charts: pure functions from plain numbers to a `Picture`, which shows itself as SVG or as a figure."""

from hvaclib.plots.picture import Picture
from hvaclib.plots.ranking import effects_chart, ranking_chart
from hvaclib.plots.section import Section, dwelling_section, section_of
from hvaclib.plots.warm_up import WarmUpLines, lines_of, warm_up_chart

__all__ = [
    "Picture",
    "Section",
    "WarmUpLines",
    "dwelling_section",
    "effects_chart",
    "lines_of",
    "ranking_chart",
    "section_of",
    "warm_up_chart",
]

"""Tables for the theory notebooks: how well the suite agrees with what is published."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from hvaclib.boards.base import html
from hvaclib.physics.vent.capacity import largest_input
from hvaclib.reference import load, rows
from hvaclib.units import kinds, parse_si, shown

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LETTERS: dict[Any, Any] = {"font.size": 12}
"""Type of the pictures, in points: no letter below 11 px on a phone."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """Computed and published vent capacities, row by row.

    Attributes
    ----------
    frame : pandas.DataFrame
        Columns diameter_in, height_ft, lateral_ft, code, model (kBtu/h), error (%).
    """

    frame: pd.DataFrame

    def summary(self) -> str:
        """One sentence: rows, mean and worst error."""
        error = self.frame["error"]
        worst = float(error.iloc[int(np.abs(error).to_numpy().argmax())])
        return f"{len(error)} rows: mean error {np.abs(error).mean():.1f} %, worst {worst:+.1f} %"

    def by(self, column: str) -> pd.DataFrame:
        """Errors (%) grouped by one dimension of the table."""
        groups = self.frame.groupby(column)["error"]
        worst = groups.agg(lambda part: part.iloc[int(np.abs(part).to_numpy().argmax())])
        table = groups.agg(rows="size", mean="mean").assign(
            mean_size=groups.agg(lambda part: np.abs(part).mean()), worst=worst
        )
        return table.round(1)

    def picture(self) -> Any:
        """Model against code as a picture for a notebook: one mark a row, the line of equality, the band of 10 %."""
        from IPython.display import HTML

        words = (
            f"Model against code table. {self.summary()}. The marks lie along the line of equality, all of them within "
            "the band of 10 percent."
        )
        return HTML(html.figure("Model against code table", _svg(self._figure(), words)))

    def _figure(self) -> Figure:
        from matplotlib import rc_context
        from matplotlib.figure import Figure

        with rc_context(LETTERS):
            figure = Figure(figsize=(6.4, 4.6), layout="constrained")
            self._draw(figure.subplots())
        return figure

    def _draw(self, axes: Axes) -> None:
        most = float(self.frame["code"].max()) * 1.05
        band = ([0, most], [0, 0.9 * most], [0, 1.1 * most])
        axes.fill_between(*band, color="#56B4E9", alpha=0.25, label="within 10 %")
        axes.plot([0, most], [0, most], color="#1d2733", linewidth=1, label="equal")
        for mark, (size, part) in zip("osv^Dx", self.frame.groupby("diameter_in"), strict=False):
            axes.plot(part["code"], part["model"], mark, markersize=5, label=f"{size} in")
        axes.set(xlabel="code table, kBtu/h", ylabel="model, kBtu/h", xlim=(0, most), ylim=(0, most))
        axes.legend()


def _svg(figure: Figure, words: str) -> str:
    """The figure as an ``svg`` element that names itself; letters stay letters."""
    from matplotlib import rc_context

    out = io.StringIO()
    with rc_context(LETTERS | {"svg.fonttype": "none", "svg.hashsalt": "hvaclib"}):
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    drawing = out.getvalue()[out.getvalue().index("<svg") :]
    return drawing.replace("<svg", f'<svg role="img" aria-label="{html.escape(words, quote=True)}"', 1)


def vent_agreement() -> Agreement:
    """Compare the vent model with IFGC (2018) Table 504.2(1), natural draft, double-wall vent, all rows that were read."""
    import pandas as pd

    elbows = float(load("vents")["rating"]["elbows_with_lateral"]["value"])
    records = []
    for row in rows("vent_capacity"):
        if not row["natural_kbtuh"]:
            continue
        lateral = parse_si(f"{row['lateral_ft']} ft", kinds.LENGTH)
        watts = largest_input(
            diameter=parse_si(f"{row['diameter_in']} in", kinds.SIZE),
            height=parse_si(f"{row['height_ft']} ft", kinds.LENGTH),
            lateral=lateral,
            elbows=elbows if lateral else 0.0,
            kind="double-wall",
            fan_assisted=False,
        )
        code, model = float(row["natural_kbtuh"]), float(shown(watts, kinds.CAPACITY))
        sizes = {key: int(row[key]) for key in ("diameter_in", "height_ft", "lateral_ft")}
        records.append({**sizes, "code": code, "model": model, "error": 100.0 * (model / code - 1.0)})
    return Agreement(pd.DataFrame(records))

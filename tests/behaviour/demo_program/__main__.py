"""Write the demo program and its score again; with 'simulate', simulate its houses first."""

import sys

from demo_program.making import folder, write, write_exact
from demo_program.report import SCORE, score_text

if "simulate" in sys.argv[1:]:
    write_exact()
write()
(folder() / SCORE).write_text(score_text(), encoding="utf-8")

"""Write the demo program again; with 'simulate', simulate its houses first."""

import sys

from demo_program.making import write, write_exact

if "simulate" in sys.argv[1:]:
    write_exact()
write()

"""Makes the demo program: 60 invented visits of five invented contractors, with planted defects.

``python -m demo_program`` in this folder's parent writes ``data/demo/program`` again, from the list of what is planted
(``planted.toml`` there) and from the exact readings of the simulated houses (``exact.json`` here);
``python -m demo_program simulate`` first works those readings out again, some half a minute.
"""

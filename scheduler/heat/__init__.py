"""How food cools and freezes: physics alone, with nothing of the kitchen's week in it.

Inside, everything is SI (metres, seconds, W/m²K) and °C; `cooling` speaks the
kitchen's units (millimetres, minutes). Numbers are floats: these are
estimates, and rounding them to whole minutes is for whoever plans with them.
"""

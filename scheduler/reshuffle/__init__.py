"""A plan broken in the middle of its week, made anew with the least upheaval.

`setback` says what may have happened, `asking` turns a plan, what happened and the moment into
what a solving job is asked; the plan that comes back names its parent and what was past.
"""

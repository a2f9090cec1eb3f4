"""The OR-Tools CP-SAT model of the primitives.

The only part of the engines that imports ortools. `solve_model` plans,
polishes and bounds; `cannot_work` says that something has no place, and only
when two encodings agree.
"""

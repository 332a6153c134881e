"""Placing by simulated annealing: compiled loops over plain arrays.

Enters: a board of numbers. Leaves: places, variants and a first course for each wire.
Must not know: names, words, records of drawings.
"""

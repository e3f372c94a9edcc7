"""Sheets that are printed at actual size and laid on a bench: combs for pitches, slots, holes, rules, pocket cards.

Each sheet is one drawing whose unit is the millimetre, so that it is right as a whole or wrong as a whole; a check
ruler and the outline of a bank card on it say which.
"""

"""Numbers with a unit, a sign and an uncertainty: from the text that was typed, and back to words.

In: text, or SI numbers.  Out: SI numbers, and words.  Nothing here knows of engines, steps or files.

grammar.py, quantity.py        the text of a quantity, taken apart; its value, ± and origin, SI
parse_errors.py, asking.py     why a text is refused and what would be right; how a quantity is asked for
pint_bridge.py                 quantities of Pint, for whoever works in Python
statement.py                   from a quantity as stated to a number with its ±, the usual one where none is said

number.py                      what every number can do, whatever kind it is
numerics.py                    roots, linear equations, integrals, a curve through points: each once
statistics.py                  Student's t, Fisher's F, range of several, sum of limits, pooled scatter
uncertainty.py                 uncertain numbers: their causes, budget and expanded ±
measured.py                    a value with its origin; what its ± rests on; values as plain data
verdict.py                     what is wanted, and what may be said at 95 %: inside, outside, differs, cannot tell

display.py                     the formatter: every printed number, and the only rounding
findings.py                    what was found wrong or worth saying, and the errors
"""

"""The boosted engine: charge, trapped ratio, compression, and what each "equivalent" ratio holds equal.

Everything here is a planning figure and says what it assumes.  Plain functions,
SI in and out; nothing heavy is loaded at import.  What a job says of its boost
is told in :mod:`ccassist.plan.boost`.

conditions.py                  the air, what is stated and assumed
gas.py                         the gas in the cylinder, from public data
charge.py                      the charge at intake closing, and its isentrope
equivalents.py                 what the ratio is worth without boost
burn.py, with burn_case.py     one burn in one zone
knock.py                       the knock integral: only ever as a difference between two builds
knock_compare.py, draws.py     that difference with its interval, by draws of what is not known
knock_charge.py                cases from geometry and charge, builds that knock alike, whole maps
figures.py                     one engine as it stands, and its figures
solve_boost.py, levers.py      what must change, and what a step of each lever does (with the engine of the examples)
cautions.py                    when knock is not compared, and what must stand beside each figure
"""

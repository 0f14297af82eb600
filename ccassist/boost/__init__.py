"""The boosted engine: charge, trapped ratio, compression, and what each "equivalent" ratio holds equal.

Everything here is a planning figure and says what it assumes.  Plain functions,
SI in and out; nothing heavy is loaded at import.  What a job says of its boost
is told in :mod:`ccassist.plan.boost`.

atmosphere.py, conditions.py, charge.py   the air, what is stated and assumed, the charge at intake closing
gas.py, gas_data.py, compression.py       the gas in the cylinder, and its isentrope
trapped.py, equivalents.py                what is left of the ratio, and what it is worth without boost
burn.py, with burn_case.py, burn_maths.py one burn in one zone
knock.py, with knock_*.py                 the knock integral: only ever as a difference between two builds
stand.py, figures.py                      one engine as it stands, and its figures
solve_boost.py, levers.py, maps.py        what must change, what a step of each lever does, whole grids
cautions.py, numbers.py                   what must stand beside each figure; small mathematics
"""

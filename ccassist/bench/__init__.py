"""How volumes and lengths are found at the bench: readings in, values with every cause of their doubt out.

In: the readings of one thing made the same way, a :class:`~ccassist.bench.cell.Cell`.
Out: a :class:`~ccassist.bench.cell.Reduced`, the values by term, line by line,
with findings.  Nothing here knows of job files or of the engine as a whole.

Declared   steps/, step.py, forms.py (the boxes of their paper forms); instruments/, fluids/,
           materials.py; cautions.py
Reduced    requirements.py (what must be said first), reductions.py, which calls fills.py, lengths.py,
           areas.py with traced.py, centroids.py, stages.py with profile.py; corrections.py, leak.py, plug_hole.py
           put on and take off; kit.py makes each shared cause of doubt once
Scatter    repeats.py (the rule), declared.py (what is known before), rows.py, alike.py (what was read one way, and
           its scatter), straight_line.py, outliers.py, summary.py
Burette    calibration.py, with calibrated_steps.py and calibrated_range.py; dates.py
Trouble    trouble.py asks alike.py, signatures.py, refuted.py, slips.py, drift.py, sisters.py, deck_patterns.py
           and outlines.py what the readings say against themselves; reach.py what none can be
Formulas   one file a published relation, named after it (water_density_tanaka_2001.py and so on)
"""

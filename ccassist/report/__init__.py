"""What is said of an answer, once: a report is data, and knows no terminal, page or browser.

In: the answer of another room.  Out: a record of what is told of it (its
plain data are its fields, data.py) and a :class:`~ccassist.report.blocks.Report`
made from that record: the answer first, then what supports it.  The
renderers stand where their library is at home: ``ccassist.cli.screen``,
``ccassist.paper.reports``.

blocks.py   headings, texts with a mark and a command, tables of values, grids, sums, figures
survey.py   the engine as measured; measured.py: as plain data, and the one thing to do next
budget.py   what makes a ±, and whether one more repeat pays; workings.py: hand sums and algebra
findings.py what is wrong, to be looked at or worth saying, counted; what the ± of an answer rests on, in a line
scene.py    a drawing as data, in mm; axes.py: scales, and words that lie over nothing
figures.py  values against what is wanted, shares of the ±, before and after
section.py  the section at top dead centre to scale; crown_drawing.py: the piston to be ordered
maps.py, curves.py  one quantity against two others, or against one
data.py     any record as JSON and comma-separated values; values in columns, equal cylinders in one row
balance.py  every cylinder alike
boost.py, boost_told.py, boost_support.py  a boosted engine; levers.py what to change
compare.py  are these two the same?
combine.py  every combination of the parts on offer; alternatives.py: whole builds side by side
cam.py                      the cam card and the valves against the pistons
order.py, order_sheet.py    the piston order: all of it and its record; for the screen and for the maker;
                            order_support.py: what stands behind it
calibration.py  what an improvised burette truly delivers
solve.py    which value gives what is wanted
ratio.py    a ratio from a few dimensions
tolerance.py  the band to expect, and what to ask of the maker
machining.py, machining_words.py  cuts and another gasket; what else moves with them
worksheet.py, worksheet_support.py  the page for the customer and the file, and what stands behind it
readings.py every reading as typed; on a page, and how each mean was formed
setup_pictures.py, setup_fills.py  how a step is set up
"""

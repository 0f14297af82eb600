"""What is said of an answer, once: a report is data, and knows no terminal, page or browser.

In: the answer of another room.  Out: a record of what is told of it (its
plain data are its fields, data.py) and a :class:`~ccassist.report.blocks.Report`
made from that record: the answer first, then what supports it.  The
renderers stand where their library is at home: ``ccassist.cli.report``,
``ccassist.paper.reports``.

blocks.py   headings, texts with a mark, tables of values
ground.py   what the ± of an answer rests on, in a line
data.py     JSON and comma-separated values of any record
balance.py  every cylinder alike
compare.py  are these two the same?
combine.py  every combination of the parts on offer
machining.py, machining_words.py  cuts and another gasket; what else moves with them
"""

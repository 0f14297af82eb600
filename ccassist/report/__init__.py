"""What is said of an answer, once: a report is data, and knows no terminal, page or browser.

In: the answer of another room.  Out: a record of what is told of it (its
plain data are its fields, data.py) and a :class:`~ccassist.report.blocks.Report`
made from that record: the answer first, then what supports it.  The
renderers stand where their library is at home: ``ccassist.cli.report``,
``ccassist.paper.reports``.

blocks.py   headings, texts with a mark, tables of values
data.py     JSON and comma-separated values of any record
compare.py  are these two the same?
combine.py  every combination of the parts on offer
"""

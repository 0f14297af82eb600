"""Paper: worksheets, order sheets and other reports as PDF, drawn to scale, their sums to be re-added by hand.

In: what the other rooms worked out.  Out: the bytes of a PDF.  Nothing is
worked out here; only this room knows ReportLab.

documents.py   the worksheet, the order sheet, the boost pages
reports.py     any report of ccassist/report/; ruled.py: its tables
blank.py       blank and fillable forms; blank_boxes.py: their heads and boxes; blank_table.py: their rows
sheet.py       page sizes, the typeface, the paper being made; pages.py: its header and footer, any drawing
furniture.py   headings, prose, large figures, boxes, columns, one page of it all
"""

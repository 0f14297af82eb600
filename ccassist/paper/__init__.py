"""Paper: worksheets, order sheets and other reports as PDF, drawn to scale, their sums to be re-added by hand.

In: what the other rooms worked out.  Out: the bytes of a PDF.  Nothing is
worked out here; only this room knows ReportLab.

worksheet.py                               the page for the customer, and what stands behind it
order.py                                   the order sheet, draft or final
boost_pages.py                             boost
reports.py                                 any report of ccassist/report/
forms/                                     blank forms: blank.py, head.py, table.py, boxes.py
page.py, sheet.py, pages.py                the page and its typeface, the paper being made, its header and footer;
                                           any drawing of ccassist/report/
furniture.py                               headings, prose, tables, large figures, boxes, columns, one page of it all
"""

"""Paper: worksheets, order sheets and other reports as PDF, drawn to scale, their sums to be re-added by hand.

In: what the other rooms worked out.  Out: the bytes of a PDF.  Nothing is
worked out here but what a drawing needs; only this room knows ReportLab.

worksheet.py, order.py, boost_pages.py, boost_answers.py, cam_pages.py, combine_pages.py   whole papers
forms/                                     blank forms for the bench
sheet.py, page.py, pages.py, fonts.py      the page, its header and footer, its typeface
furniture.py, figures.py, notices.py       headings, tables, values in them, findings
drawing.py, shapes.py, section.py, order_drawing.py   drawings to scale
plot.py, chart.py, contours.py and the files of curves and maps   one quantity against another
The rest are parts of one paper, named after it or after what they show.
"""

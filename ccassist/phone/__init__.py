"""The bench page: the guide as a local page for a phone or tablet beside the head.

In: a job file, held open and locked for the time of the command, and the posts of one device.  Out: pages.
Whatever is asked, checked and said is the guide's; only this room knows Starlette, uvicorn, Jinja2 and segno.

sitting.py  the one open job, and what a post does to it: taken, saved already, or kept beside what stands
screen.py   what one screen shows and what its forms post, as plain data; posts held are kept in a file beside the job
view.py     that screen, made of the sitting
pieces.py   a report's blocks as plain data for a template, its figures as SVG; the reports and papers to take along
door.py     who gets in: addresses, the code, devices, and what a request must look like
app.py      the routes: forms posted, pages shown
serve.py    the command's run: what it prints, how it ends
"""

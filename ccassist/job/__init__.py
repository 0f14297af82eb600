"""The job file: what was read and what is wanted, as text a person can edit.

In: TOML, or readings from a form or a table.  Out: frozen records that know their line, then reading groups and stated
values; and the file again, with one reading more and every other byte as it was.  No result is ever stored.

Declared   vocabulary.py (sections, keys, kinds of parts, purposes), sections.py;
           reference.py and template.py are made from them
Read       lines.py, reader.py, readings.py -> records.py; file.py does all of it
To numbers cells.py, equipment.py
Written    write.py, amend.py, lock.py, lost.py; recording.py and entry.py with the checks of typing; disk.py, which
           also says where results may be written: never over a job file
Elsewhere  filled_form.py, from_form.py; tables.py; from_drawing.py with from_dxf.py and from_svg.py
"""

"""The job file: what was read and what is wanted, as text a person can edit.

In: TOML, or readings from a form or a table.  Out: frozen records that know
their line, then cells and stated values; and the file again, with one reading
more and every other byte as it was.  No result is ever stored.

Declared   vocabulary.py (sections and keys), sections/, choices.py; reference.py and template.py are made from them
Read       toml_text.py, lines.py, reader.py, schema.py, readings.py, stated.py -> records.py;
           file.py does all of it; scope.py says what lies outside the tool
To numbers cells.py, listed.py, equipment.py, due.py
Written    write.py, amend.py, disk.py, lock.py; recording.py and entry.py with the checks of typing
Elsewhere  filled_form.py, pdf_boxes.py, from_form.py; from_csv.py, to_csv.py, spreadsheet.py; taken.py
Results    outputs.py: where they may be written, never over a job file
"""

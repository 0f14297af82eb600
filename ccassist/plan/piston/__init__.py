"""The piston to be ordered: specification, fields, checks, what mistakes would come to."""

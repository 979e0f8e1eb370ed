"""The verbs of the table, one small file for each kind of deed."""

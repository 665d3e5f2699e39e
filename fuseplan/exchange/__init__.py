"""Load lists, wire lists, pin tables and harness descriptions read and written in open formats."""

"""What is shown and written: figures as text, columns, the safety cautions, CSV files and printed pages."""

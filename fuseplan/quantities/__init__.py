"""Text to number and back: amounts, wire sizes, what is accepted, how a number is written."""

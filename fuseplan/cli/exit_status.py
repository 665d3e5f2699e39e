"""How a command ends: the one list of exit statuses."""

from __future__ import annotations

REFUSED = 2
PROGRAM_ERROR = 70
"""An error of the program's own, as sysexits.h has it."""
AFTER_SIGNAL = 128
"""What shells add to the number of the signal that ended a program."""
INTERRUPTED = AFTER_SIGNAL + 2
PIPE_CLOSED = AFTER_SIGNAL + 13

COMMON = """\
exit status of every command: 1 a fault, a difference or something still open (protect, power, propose, compare,
compare-limits, looms, bench); 2 a file cannot be read or written, or the arguments are wrong; 70 an error in the
program, so do not rely on what it printed; 130 after Ctrl-C, 141 when the reader of a pipe has gone, 129 and 143
when told to end (SIGHUP, SIGTERM)"""
EXIT_STATUS = f"""\
exit status of check: 0 no danger and no warning, 1 one at least; what is only to be measured first is neither, nor is
an open question: a plan that is NOT READY, or not certain, because of these alone ends with 0, so read the first line

{COMMON}"""

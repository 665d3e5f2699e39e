"""Published tables: one CSV per printed table under ``data/``, one module per topic to look things up.

Nothing is read before it is asked for. Where nothing is on file a look-up answers ``None`` (or nan in
an array); it never fills a gap.
"""

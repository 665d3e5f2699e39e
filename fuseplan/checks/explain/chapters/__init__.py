"""One module a kind of figure: each defines ``chapter(assessment)``, which lists its figures."""

"""One command a module: a docstring for its help, ``add(parser)``, ``run(args) -> int``."""

"""The screens in a browser: a small web server, and the program each opened page runs."""

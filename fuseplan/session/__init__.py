"""One open plan with its undo history, its assessment, its forms and its list: everything a screen shows, without a screen."""

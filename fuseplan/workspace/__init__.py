"""One open plan with its undo history, assessment, forms and list: what a screen shows, without a screen."""

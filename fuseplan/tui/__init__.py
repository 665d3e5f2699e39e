"""The screens. They show what the session holds and pass on what is typed; they work nothing out themselves."""

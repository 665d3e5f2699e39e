"""The screens and dialogues."""

"""Text for people and programs, made from results; nothing here prints."""

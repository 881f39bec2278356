"""What lies outside: files and places to write, signals, streams, others' settings.

Not here: what is read (`config`) and written (`report`, `drawing` and others).
"""

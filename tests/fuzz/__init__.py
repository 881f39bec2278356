"""Layout files and command lines that nobody would write, and what becomes of them."""

"""Animation: a layout, or two side by side, with the pedal going down and up.

Import its modules only where an animation is asked for, as they need
matplotlib: `schedule` and `scene` for what is shown, `gif`, `mp4` and `page`
for the file.
"""

from linkage.outside import apart

apart.load()  # before anything that loads Matplotlib

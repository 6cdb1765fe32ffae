"""Finding a fault: the series of stages as data, and what each fault shows in it.

``series`` is the locomotive's series, ``signatures`` what a fault shows in it by the running brake. No
question asks it yet: ranking by what was seen is still to be built on it.
"""

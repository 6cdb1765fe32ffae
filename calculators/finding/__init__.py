"""Finding a fault: the series of stages, what each fault shows in it, ranking, the next check.

``series`` is the locomotive's series as data, ``signatures`` what a fault shows in it by the
running brake, ``table`` the same for the example settings kept as a short text, ``observing`` what
a person can say of a stage, ``ranking`` which faults fit it, ``checking`` what to look at next.
"""

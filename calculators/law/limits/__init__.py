"""Limits of the regulations as data, by subject; ``calculators.law.limit_list`` joins them.

``row`` names the rows of the project's collection of limits that a record comes from. A figure
that only exists as history or for contrast is a ``fact``: it is shown and never judged.
"""

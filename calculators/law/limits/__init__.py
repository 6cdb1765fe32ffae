"""Limits of the regulations as data, by subject; ``calculators.law.limit_list`` joins them.

A figure that only exists as history or for contrast is a ``fact``: it is shown and never judged.
Each limit stands a second time, typed from the texts, in ``tests/published/law/limits.toml``.
"""

"""The cautions that stand with every answer and on every page that can lead to an action."""

from __future__ import annotations

CAUTION = (
    "For training and reference only. Your railroad's own rules, the regulation in force and a "
    "qualified person decide. Never go between equipment or foul it to check a figure: secure first."
)

NOT_CURRENT = "Check the current text: rules change, and this copy holds the edition named."

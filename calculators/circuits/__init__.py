"""Circuits: each described once, for its picture, its steps, its gauges and its calculator.

`description` says what a circuit is made of; `sheet.parts` lays the locomotive's parts out in flow order
(supply, command, train, locomotive); `moves` and `catalog` say which moves make a circuit; `story`
tells in steps what the running brake (`calculators.equipment.running`) was seen to do; `states` says
what every part and line does at a moment. Nothing here draws: `calculators.rendering.circuit.picture` does,
and knows no brakes.
"""

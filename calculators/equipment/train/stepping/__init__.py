"""One step of a train's air: the pipe's cells, the valves on them, the handle's relay.

Nothing here knows of commands or results: `train.running` calls these in their order.
"""

"""My railroad: the settings kept on a device, as a text, and as a pocket card.

``settings`` lists what is worth keeping and reads records, ``text`` writes them for people and
reads them back, ``pocket_card`` works out the main figures for them.
"""

"""Brake force, resistance and motion of a train: rigging, friction, resistance, stops, holding.

Weights are tons of 2,000 lb, forces pounds, speeds mph, distances feet, grades percent. Every
figure worked out here is an estimate for learning: shoes, rails, weather and the state of each
brake scatter it more than the arithmetic does.
"""

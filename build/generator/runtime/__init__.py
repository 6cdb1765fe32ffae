"""Packing the Python runtime and our modules for the browser."""

from generator.runtime.packing import RuntimeReport, pack, pack_unmodified

__all__ = ["RuntimeReport", "pack", "pack_unmodified"]

"""Sheets to print: what is measured on the vehicle, lettered, with room to write."""

from linkage.outside import apart

apart.load()  # before anything that loads Matplotlib

from linkage.sheet.measuring import measuring_sheet

__all__ = ["measuring_sheet"]

"""Checks of samefit against outside references. One file per subject; each names its reference beside the figure."""

"""Drawings as SVG text, computed to scale; colours and line weights come from the style sheet's classes alone."""

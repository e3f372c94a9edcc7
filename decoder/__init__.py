"""Tells the fasteners of old vehicles apart, and says where each one goes.

The package stands on its own: it imports neither the site generator nor its templates.
"""

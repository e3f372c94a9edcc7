"""Drawings that show how something is done or told: each computed from the threads and parts it is about."""

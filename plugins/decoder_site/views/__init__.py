"""What templates may see: finished text, links' addresses and nothing to compute."""

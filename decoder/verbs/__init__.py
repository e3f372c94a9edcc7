"""The verbs of the command line, one module each; `decoder.command` says what such a module holds."""

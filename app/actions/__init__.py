"""Use cases: each gathers, asks the domain once, and applies; the web and the command line both call them."""

"""What the trade knows, in pure functions: no rows, requests, files, clock or chance."""

"""Servers: the book with TLS beside the plain page that leads to it, and the book by several processes."""

import os
from threading import Thread

import uvicorn
from fastapi import FastAPI

from app.serving.certificate import Credentials
from app.serving.runtime import LONGEST_END_S, settle
from app.settings import variable


def serve_both(app: FastAPI, port: int, way_in: FastAPI, way_in_port: int, host: str, credentials: Credentials) -> None:
    """Serve until stopped; the plain page ends with the book."""
    plain = uvicorn.Server(_config(way_in, host, way_in_port))
    thread = Thread(target=plain.run)
    settle()
    thread.start()
    try:
        uvicorn.Server(_config(app, host, port, credentials)).run()
    finally:
        plain.should_exit = True
        thread.join()


def serve_by_several(factory: str, host: str, port: int, processes: int) -> None:
    """Serve by several processes behind one port until stopped; one that ends unasked is started anew."""
    os.environ[variable("processes")] = str(processes)  # each reads the settings for itself
    uvicorn.run(
        factory, factory=True, host=host, port=port, workers=processes, log_level="warning", server_header=False,
        timeout_graceful_shutdown=LONGEST_END_S,
    )  # fmt: skip


def serve_plainly(app: FastAPI, host: str, port: int) -> None:
    """Serve without TLS until stopped."""
    settle()
    uvicorn.run(
        app, host=host, port=port, log_level="warning", server_header=False, timeout_graceful_shutdown=LONGEST_END_S
    )


def _config(app: FastAPI, host: str, port: int, credentials: Credentials | None = None) -> uvicorn.Config:
    """Say how a program is served; with credentials it speaks TLS."""
    key, certificate = (credentials.key_path, credentials.certificate_path) if credentials else (None, None)
    return uvicorn.Config(
        app, host=host, port=port, log_level="warning", server_header=False, ssl_keyfile=key, ssl_certfile=certificate,
        timeout_graceful_shutdown=LONGEST_END_S,
    )  # fmt: skip

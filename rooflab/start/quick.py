"""JupyterLab's connection to the kernel without the network's wait for more to send.

Small messages otherwise wait up to 40 ms to travel together (Nagle's algorithm), which a moved slider shows.
"""

from __future__ import annotations

from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class QuickConnection(ZMQChannelsWebsocketConnection):
    """The stock connection, whose socket sends every message at once."""

    def connect(self) -> Any:
        self.websocket_handler.set_nodelay(True)
        return super().connect()

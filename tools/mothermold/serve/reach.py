"""Which address this computer has on its local network; found without asking the network anything."""

from __future__ import annotations

import ipaddress
import socket
import struct
import sys
from collections.abc import Iterator
from contextlib import suppress
from typing import Final

from mothermold.ground.errors import CannotRunError

# Addresses for documentation, and one each of the private networks. A datagram socket that is connected sends
# nothing; the system only picks the address it would send from.
_FAR: Final = ("203.0.113.1", "192.168.254.254", "10.254.254.254", "172.31.254.254")
_ADDRESS_OF_INTERFACE: Final = 0x8915  # Linux: SIOCGIFADDR


def local_addresses() -> list[str]:
    """The addresses a phone on the same network may reach this computer at, the likeliest first."""
    found = dict.fromkeys([*_by_route(), *_by_interface()])
    return sorted(filter(_is_local, found), key=lambda each: ipaddress.ip_address(each).is_link_local)


def chosen_address(wanted: str | None) -> str:
    """The address to serve at.

    Args:
        wanted: What `--host` named; else the likeliest is taken.

    Raises:
        CannotRunError: There is none, or it is none for a local network.
    """
    if wanted is None:
        found = local_addresses()
        if not found:
            raise CannotRunError(
                "This computer is not on a local network; join one, or name its address with `--host`."
            )
        return found[0]
    try:
        address = ipaddress.IPv4Address(wanted)
    except ValueError:
        raise CannotRunError(f"--host: `{wanted}` is not an address; type it in figures, like 192.168.1.20.") from None
    if address.is_global or address.is_unspecified or address.is_multicast or address.is_reserved:
        raise CannotRunError(
            f"--host: {wanted} is not the address of one computer on a local network; nothing is opened to more than that."
        )
    return str(address)


def _is_local(text: str) -> bool:
    address = ipaddress.IPv4Address(text)
    return address.is_private and not (address.is_loopback or address.is_unspecified or address.is_reserved)


def _by_route() -> Iterator[str]:
    for far in _FAR:
        with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect((far, 9))
            yield probe.getsockname()[0]


def _by_interface() -> Iterator[str]:
    if sys.platform != "linux":
        return
    import fcntl  # noqa: PLC0415 - other systems have none

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _number, name in socket.if_nameindex():
            with suppress(OSError):
                packed = fcntl.ioctl(probe, _ADDRESS_OF_INTERFACE, struct.pack("256s", name.encode()[:15]))
                yield socket.inet_ntoa(packed[20:24])

"""`manage.py serve`: one school from one machine."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand

from quizzes.serving import local_address, serve

ON_THE_NETWORK = """\
Anyone on this network can open {address}
This is plain HTTP: sign-in names, passwords and answers cross the network readable.
Use it in one room, on a network you trust, and never from the internet."""


class Command(BaseCommand):
    help = "Serve one school from this machine; with --lan also to the other machines of the local network."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--lan", action="store_true", help="serve the local network over plain HTTP")
        parser.add_argument("--port", type=int, default=8000, help="8000 where none is given")

    def handle(self, *args: Any, lan: bool, port: int, **options: Any) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        here = local_address() if lan else "127.0.0.1"
        address = f"http://{here}:{port}/"
        self.stdout.write(ON_THE_NETWORK.format(address=address) if lan else f"Open {address}")
        self.stdout.write("Stop with Ctrl+C.")
        serve("0.0.0.0" if lan else here, port, lan=lan)

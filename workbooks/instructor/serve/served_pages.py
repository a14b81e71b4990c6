"""Serve the workbooks as pages without code: ``python workbooks/instructor/serve/served_pages.py``.

The sliders work; the code cannot be seen. The pages answer only on this computer and only with the
token in the address that opens. Anything typed after the command goes on to Voila, such as
``--port=8870`` or ``--no-browser``.
"""

import os
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
WORKBOOKS = HERE.parents[1]
OPTIONS = [
    "--Voila.ip=127.0.0.1",
    "--Voila.auto_token=True",
    "--template=pond",
    "--strip_sources=True",
    # A page that ran ahead of time would show the pond record as it was then, so no page does.
    "--preheat_kernel=False",
    "--VoilaConfiguration.classic_tree=True",
    # A closed page frees its memory at once; a sleeping laptop's after an hour.
    "--MappingKernelManager.cull_idle_timeout=3600",
    "--MappingKernelManager.cull_interval=120",
]


def main(more=()):
    """Start the server; it runs until Ctrl+C."""
    try:
        from voila.app import Voila
    except ModuleNotFoundError:
        sys.exit('Voila is not installed. In the folder of README.md: pip install -e ".[serve]"')
    found = os.environ.get("JUPYTER_PATH")
    os.environ["JUPYTER_PATH"] = os.pathsep.join([str(HERE), *([found] if found else [])])
    Voila.launch_instance([str(WORKBOOKS), *OPTIONS, *more])


if __name__ == "__main__":
    main(sys.argv[1:])

"""A hub for one class in one room: ``jupyterhub -f workbooks/instructor/serve/jupyterhub_config.py``.

FOR A ROOM YOU TRUST, AND NO FURTHER. Learners choose a name and share one password. All of them run
as the same user of this computer, so a learner who tries can read and change the work of the others
and everything else that user can reach. Nothing is encrypted on its way through the room's network.
Do not run it as an administrator, and never put it on the open internet.

The hub answers only on this computer until you open it to the room on purpose:
``--JupyterHub.bind_url=http://0.0.0.0:8000`` after the command.

Settings from the environment: POND_CLASS_PASSWORD (else a new one is printed at each start) and
POND_CLASS_FOLDER (else the folder pond-class in your home), which keeps each learner's copies.
"""

import os
import secrets
import shutil
import sys
from pathlib import Path

from pondcalc.__main__ import with_our_settings

WORKBOOKS = Path(__file__).resolve().parents[2]
CLASS = Path(os.environ.get("POND_CLASS_FOLDER") or Path.home() / "pond-class").resolve()
LEFT_OUT = {"instructor", ".ipynb_checkpoints"}


def give_copies(home):
    """Put a copy of each workbook into a learner's folder; what is there already is the learner's and stays."""
    for source in sorted(WORKBOOKS.rglob("*")):
        place = source.relative_to(WORKBOOKS)
        if source.is_dir() or LEFT_OUT & set(place.parts) or place.name.startswith("my-pond"):
            continue
        target = home / place
        if not target.exists():
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, target)


def proxy():
    """Where configurable-http-proxy is: installed beside the project by the README's command, or on the path."""
    local = WORKBOOKS.parent / "build" / "hub" / "node_modules" / ".bin"
    return shutil.which("configurable-http-proxy", path=str(local)) or "configurable-http-proxy"


def password():
    """The word of the class; printed when nobody chose one."""
    chosen = os.environ.get("POND_CLASS_PASSWORD")
    if not chosen:
        chosen = secrets.token_hex(4)
        print(f"\n    Password of the class, until the hub stops: {chosen}\n", flush=True)
    return chosen


CLASS.mkdir(parents=True, exist_ok=True)
c = get_config()  # noqa: F821  (JupyterHub puts it here)

c.JupyterHub.bind_url = "http://127.0.0.1:8000"
c.JupyterHub.db_url = f"sqlite:///{CLASS / 'hub.sqlite'}"
c.JupyterHub.cookie_secret_file = str(CLASS / "hub-cookie-secret")
c.ConfigurableHTTPProxy.command = [proxy()]
c.ConfigurableHTTPProxy.pid_file = str(CLASS / "hub-proxy.pid")

# Names a folder can bear, and one password for all
c.JupyterHub.authenticator_class = "dummy"
c.DummyAuthenticator.password = password()
c.Authenticator.allow_all = True
c.Authenticator.username_pattern = r"[a-z][a-z0-9-]{0,30}"

# One server a learner, in a folder of the learner's own; a server nobody uses for two hours stops
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = str(CLASS / "learners" / "{username}")
c.Spawner.cmd = [sys.executable, "-m", "jupyterhub.singleuser"]
c.Spawner.environment = {"JUPYTER_CONFIG_PATH": with_our_settings(os.environ)["JUPYTER_CONFIG_PATH"]}
c.Spawner.default_url = "/lab/tree/00-start-here.ipynb"
c.Spawner.args = ["--ServerApp.shutdown_no_activity_timeout=7200"]
c.Spawner.pre_spawn_hook = lambda spawner: give_copies(Path(spawner.home_dir))
c.Spawner.start_timeout = 120
c.Spawner.http_timeout = 60
c.JupyterHub.active_server_limit = 30       # see the memory of one learner in README.md beside this file
c.JupyterHub.concurrent_spawn_limit = 4

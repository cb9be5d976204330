# JupyterHub's configuration for rooflab on one Linux server, run as root.  Its lines are JupyterHub's own, whose manual
# says what each may be, but for those of c.Door, c.LearnerSpawner and c.Office.  The values in the first part are
# filled in by `python3 -m rooflab office`.  With `--write-config FOLDER` this file is yours, and
# `python3 -m rooflab office --config FILE` runs it.
import pwd
import sys
from pathlib import Path
from zlib import crc32

# --- values ----------------------------------------------------------------------------------------------------------

FOLDER = "/srv/rooflab"  # holds hub/ (root's alone), jobs/ (read by all), people/ (of a session, each person's alone)
SESSION = False  # True: a session for an hour, names typed at the door; False: accounts of this system
ADDRESS, PORT = "127.0.0.1", 8000  # where it listens; three more ports are used on 127.0.0.1 alone, see "inner"
CERTIFICATE, KEY = "", ""  # files for TLS
TLS_IN_FRONT = False  # True: a proxy of yours in front of this one does TLS
PRESENTERS = ["presenter"]  # who sees the room's counts, and in the hub's admin page who is here
MOST_LEARNERS = 80  # at one time
GROUP = "rooflab"  # of a system's accounts: who may come in
WRITERS = "rooflab-jobs"  # a group of the system: who may write in jobs/; a session's presenters are in it

# --- the hub ---------------------------------------------------------------------------------------------------------

from rooflab.start.office.accounts import ENDS_WITH_HUB, PREFIX, account_name, word_of  # noqa: E402
from rooflab.start.office.hub import PAGES, Door, LearnerSpawner  # noqa: E402

c = get_config()  # type: ignore[name-defined]  # noqa: F821
hub, people, jobs = (Path(FOLDER) / name for name in ("hub", "people", "jobs"))
presenters = {account_name(name) if SESSION else name for name in PRESENTERS}
local = "http://127.0.0.1"
inner = PORT if PORT > 1023 else PORT + 8000  # and the next three: not all that listens there is root's

host = f"[{ADDRESS}]" if ":" in ADDRESS else ADDRESS
c.JupyterHub.bind_url = f"http{'s' if CERTIFICATE else ''}://{host}:{PORT}"
c.JupyterHub.ssl_cert, c.JupyterHub.ssl_key = CERTIFICATE, KEY
c.JupyterHub.hub_bind_url = f"{local}:{inner + 1}"
c.ConfigurableHTTPProxy.api_url = f"{local}:{inner + 2}"
c.ConfigurableHTTPProxy.command = [*ENDS_WITH_HUB, "configurable-http-proxy"]
c.ConfigurableHTTPProxy.log_level = "warn"
c.ConfigurableHTTPProxy.pid_file = str(hub / "proxy.pid")
c.JupyterHub.data_files_path = sys.prefix + "/share/jupyterhub"
c.JupyterHub.db_url = f"sqlite:///{hub / 'jupyterhub.sqlite'}"
c.JupyterHub.upgrade_db = True  # a copy of the old one is kept
c.JupyterHub.cookie_secret_file = str(hub / "cookie_secret")
c.JupyterHub.cookie_max_age_days = 14
c.JupyterHub.log_level = "WARN"
c.Office.folder, c.Office.session, c.Office.presenters = FOLDER, SESSION, sorted(presenters)  # no trait of the hub's:
c.Office.writers, c.Office.tls_in_front = WRITERS, TLS_IN_FRONT  # read by `python3 -m rooflab office` at its start

# --- who may come in -------------------------------------------------------------------------------------------------

if SESSION:
    c.JupyterHub.authenticator_class = Door
    c.JupyterHub.template_paths = [str(PAGES)]
    c.Authenticator.allow_all = True
    c.Authenticator.username_pattern = f"{PREFIX}[a-z0-9-]+"
    c.SharedPasswordAuthenticator.user_password = word_of(hub, "word", 8)
    c.SharedPasswordAuthenticator.password_groups = {word_of(hub, "presenter", 40): ["presenters"]}
    c.Authenticator.manage_groups = True
    c.LocalAuthenticator.create_system_users = True
    c.LocalAuthenticator.add_user_cmd = [
        "useradd", "--create-home", "--home-dir", str(people / "USERNAME"), "--key", "HOME_MODE=0700",
        "--user-group", "--no-log-init", "--shell", "/usr/sbin/nologin",
    ]  # fmt: skip
    c.Door.people, c.Door.presenters = str(people), presenters
else:
    c.JupyterHub.authenticator_class = "pam"
    c.LocalAuthenticator.allowed_groups = {GROUP}
c.Authenticator.delete_invalid_users = True

# --- a learner's server ----------------------------------------------------------------------------------------------

c.JupyterHub.spawner_class = LearnerSpawner
c.LearnerSpawner.at_once = 2  # about as many as the machine has cores; the others wait for their turn
c.JupyterHub.concurrent_spawn_limit = 0  # nobody is sent away for coming with a crowd
c.JupyterHub.active_server_limit = MOST_LEARNERS
c.Spawner.cmd = [sys.executable, "-P", "-m", "rooflab.start.office.learner"]
c.Spawner.default_url = "/doc/tree/00-start-here.ipynb"
c.Spawner.start_timeout, c.Spawner.http_timeout = 900, 120  # seconds, waiting for one's turn included
c.Spawner.mem_limit = "1G"  # of each of a learner's programs: server and kernels
c.Spawner.env_keep = ["PATH", "LANG", "LC_ALL", "TZ"]
c.Spawner.environment = {
    "OPENBLAS_NUM_THREADS": "1",  # many learners on few cores
    "ROOFLAB_JOBS": str(jobs),
    "ROOFLAB_PROGRAMS": "400",  # of one learner at most, threads counted
    "ROOFLAB_HANDS": f"{local}:{inner + 3}/services/hands/",
    "ROOFLAB_HANDS_BY": str(pwd.getpwnam("nobody").pw_uid),  # the account that the counts run under
    "ROOFLAB_PRESENTS": lambda spawner: "yes" if spawner.user.name in presenters else "",
}
c.Spawner.server_token_scopes = [
    "users:activity!user", "access:servers!server", "access:services!service=hands", "custom:hands:read",
]  # fmt: skip

# --- services: the room's counts, and the end of what is idle --------------------------------------------------------

c.JupyterHub.services = [
    {
        "name": "hands", "url": f"{local}:{inner + 3}", "user": "nobody", "cwd": "/", "display": False,
        "command": [*ENDS_WITH_HUB, sys.executable, "-P", "-m", "rooflab.start.office.hands"],
    },
    {
        "name": "idle", "user": "nobody", "cwd": "/",
        "command": [
            *ENDS_WITH_HUB, sys.executable, "-P", "-m", "jupyterhub_idle_culler", "--timeout=3600", "--cull-every=300",
        ],
    },
]  # fmt: skip
c.JupyterHub.custom_scopes = {"custom:hands:read": {"description": "See how many chose which answer"}}
c.JupyterHub.load_roles = [
    {"name": "user", "scopes": ["self", "access:services!service=hands"]},
    {  # sees counts, and in the admin page who is here; ends a server, frees a name; opens nobody's server.  The hub
        # forgets a role that is no longer here but not who had it: for others it has another name.
        "name": f"presenter-{crc32(repr(sorted(presenters)).encode()):08x}", "users": sorted(presenters),
        "scopes": ["custom:hands:read", "admin-ui", "list:users", "read:servers", "delete:servers", "delete:users"],
    },
    {
        "name": "idle", "services": ["idle"],
        "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"],
    },
]  # fmt: skip

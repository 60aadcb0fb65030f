"""A server of PostgreSQL of one's own: on a socket in a folder of its own, and gone at the end."""

import os
import pathlib
import shutil
import signal
import subprocess
import tempfile
import time

MARK = "---- next ----"
NOBODY = 65534  # the server refuses to run as root


class Missing(Exception):
    """The server's programs are not installed."""


def programs():
    """The folder of the newest version that is installed."""
    folders = sorted(pathlib.Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name))
    if not folders:
        raise Missing("postgresql is not installed; tests/packages names it")
    return folders[-1]


class Postgres:
    """with Postgres() as server: server.name("shop") is a register's name for kerfmark."""

    def __init__(self, durable=False):
        self.bin = programs()
        self.as_user = ["setpriv", f"--reuid={NOBODY}", f"--regid={NOBODY}", "--clear-groups"] if os.getuid() == 0 else []
        # Short: a socket's path has at most 107 bytes.
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="kerf-pg-", dir="/tmp"))
        self.data = self.folder / "data"
        self.durable = durable
        self.process = None
        self.log = self.folder / "log"
        self.log.touch()
        if self.as_user:
            for path in (self.folder, self.log):
                os.chown(path, NOBODY, NOBODY)
        self.folder.chmod(0o755)

    def __enter__(self):
        self.command("initdb", "--no-sync", "--auth=trust", "--username=chief", "--encoding=UTF8", "--locale=C.UTF-8",
                     "-D", self.data)
        self.start()
        return self

    def __exit__(self, *_):
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def command(self, name, *words):
        done = subprocess.run([*self.as_user, self.bin / name, *words], capture_output=True, text=True, check=False,
                              cwd="/")
        if done.returncode != 0:
            raise RuntimeError(f"{name}: {done.stderr}")
        return done.stdout

    def start(self):
        settings = {"unix_socket_directories": self.folder, "listen_addresses": "", "max_connections": 100,
                    "shared_buffers": "128MB", "fsync": "on" if self.durable else "off",
                    "full_page_writes": "on" if self.durable else "off"}
        with open(self.log, "ab") as log:
            self.process = subprocess.Popen(
                [*self.as_user, self.bin / "postgres", "-D", self.data,
                 *[word for key, value in settings.items() for word in ("-c", f"{key}={value}")]],
                stdout=log, stderr=log, cwd="/", start_new_session=True)
        self.wait_until_up()

    def is_up(self):
        return subprocess.run([self.bin / "pg_isready", "-q", "-h", self.folder], check=False).returncode == 0

    def wait_until_up(self, seconds=30):
        end = time.monotonic() + seconds
        while not self.is_up():
            if time.monotonic() > end or self.process.poll() is not None:
                raise RuntimeError(f"the server does not come up: {self.log.read_text()[-2000:]}")
            time.sleep(0.05)

    def stop(self):
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            try:
                self.process.wait(20)
            except subprocess.TimeoutExpired:
                self.kill()
        self.process = None

    def kill(self):
        """All of it at once, as when the machine is gone: those, too, who serve connections, each a session of its own."""
        parent = self.process.pid
        self.process.send_signal(signal.SIGSTOP)  # so that it has no further ones meanwhile
        children = [pid for pid in self.processes() if self.parent_of(pid) == parent]
        for pid in (*children, parent):
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                pass  # it has ended by itself
        self.process.wait()
        end = time.monotonic() + 20
        while any(pathlib.Path(f"/proc/{pid}").exists() for pid in children) and time.monotonic() < end:
            time.sleep(0.01)
        self.process = None

    @staticmethod
    def processes():
        return [int(path.name) for path in pathlib.Path("/proc").glob("[0-9]*")]

    @staticmethod
    def parent_of(pid):
        try:
            return int(pathlib.Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])
        except OSError:
            return None

    def name(self, database="postgres", user="chief"):
        return f"postgresql://{user}@/{database}?host={self.folder}"

    def sql(self, text, database="postgres", user="chief"):
        """What psql prints, and its exit status."""
        done = subprocess.run([self.bin / "psql", "-XAtq", "-v", "ON_ERROR_STOP=1", "-c", text, self.name(database, user)],
                              capture_output=True, text=True, check=False)
        return done.returncode, (done.stdout + done.stderr).strip()

    def each(self, statements, database, user):
        """What the server says to each of them, in one session."""
        script = "".join(f"\\warn {MARK}\n{text};\n" for text in statements)
        done = subprocess.run([self.bin / "psql", "-XAtq", self.name(database, user)], input=script,
                              stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False)
        said = done.stderr.split(MARK + "\n")[1:]
        if len(said) != len(statements):
            raise RuntimeError(f"{len(said)} answers to {len(statements)} statements: {done.stderr[-300:]}")
        return list(zip(statements, said))

    def need(self, text, database="postgres", user="chief"):
        status, said = self.sql(text, database, user)
        if status != 0:
            raise RuntimeError(f"{text}: {said}")
        return said

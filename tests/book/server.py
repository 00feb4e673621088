"""A PostgreSQL server of the test's own: in a temporary directory, reached by a socket in it, run by an unprivileged user since root may
not run it."""
import glob
import os
import pwd
import shutil
import subprocess
import tempfile


def tools():
    """Folder of the server's programs: where Debian puts them, or in PATH; None: there is no server."""
    found = shutil.which("initdb")
    places = sorted(glob.glob("/usr/lib/postgresql/*/bin"), key=lambda path: int(path.split("/")[4]), reverse=True)
    places += [os.path.dirname(os.path.realpath(found))] if found else []
    return next((place for place in places if all(os.path.exists(os.path.join(place, name)) for name in ("initdb", "pg_ctl", "psql"))), None)


class Server:
    def __init__(self, data=None):
        """data: where it writes, an empty folder or a name to be; its own without it."""
        self.folder = tempfile.mkdtemp(prefix="pw-server-")
        self.user = None if os.geteuid() != 0 else self.unprivileged()
        if self.user:
            os.chown(self.folder, self.user.pw_uid, self.user.pw_gid)
        self.data = data or os.path.join(self.folder, "data")
        self.run("initdb", "-D", self.data, "-U", "tester", "--auth=trust", "--encoding=UTF8", "--locale=C.UTF-8", "--no-sync", "--wal-segsize=1")
        self.start()

    @staticmethod
    def unprivileged():
        for name in ("postgres", "nobody"):
            try:
                return pwd.getpwnam(name)
            except KeyError:
                pass
        raise OSError("no unprivileged user")

    def become(self):
        if self.user:
            os.setgroups([])
            os.setgid(self.user.pw_gid)
            os.setuid(self.user.pw_uid)

    def run(self, name, *words):
        done = subprocess.run([os.path.join(tools(), name), *words], preexec_fn=self.become, cwd=self.folder, stdin=subprocess.DEVNULL,
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env={"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"})
        if done.returncode != 0:
            raise OSError(f"{name}: {done.stdout}")
        return done.stdout

    def start(self):
        self.run("pg_ctl", "-D", self.data, "-w", "-l", os.path.join(self.folder, "log"), "-o",
                 f"-c listen_addresses='' -c unix_socket_directories='{self.folder}' -c max_connections=40 -c shared_buffers=16MB", "start")

    def stop(self, how="fast"):
        self.run("pg_ctl", "-D", self.data, "-w", "-m", how, "stop")

    def end(self):
        try:
            self.stop("immediate")
        except OSError:
            pass  # it was stopped already
        shutil.rmtree(self.folder, ignore_errors=True)

    def where(self, database):
        return f"postgresql://tester@/{database}?host={self.folder}"

    def psql(self, database, sql):
        """Rows of texts."""
        done = subprocess.run([os.path.join(tools(), "psql"), "-h", self.folder, "-U", "tester", "-d", database, "-X", "-q", "-A", "-t",
                               "-F", "\x1f", "-R", "\x1e", "-v", "ON_ERROR_STOP=1", "-c", sql], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                              text=True, check=True)
        return [tuple(row.split("\x1f")) for row in done.stdout.rstrip("\n").split("\x1e") if row]

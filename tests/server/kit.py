"""What the server's tests share: a page made up for them, a server in its own process, HTTP by hand."""
import json
import os
import re
import select
import signal
import socket
import subprocess
import sys
import tempfile
import time

PROGRAM = sys.argv.pop(1)

POLICY = ("default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; "
          "img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; "
          "frame-ancestors 'none'")

FILES = {
    "index.html": b"<!doctype html><title>made up</title>\n",
    "app.js": b"export {};\n",
    "worker.mjs": b"export {};\n",
    "style.css": b"body {}\n",
    "core.wasm": b"\0asm\1\0\0\0",
    "manifest.webmanifest": b"{}\n",
    "mark.svg": b"<svg/>\n",
    "mark.png": b"\x89PNG",
    "start/site.yaml": b"site: x\n",
    "odd.unknown": b"?",
    "empty.txt": b"",
}
TYPES = {
    "index.html": "text/html; charset=utf-8",
    "app.js": "text/javascript; charset=utf-8",
    "worker.mjs": "text/javascript; charset=utf-8",
    "style.css": "text/css; charset=utf-8",
    "core.wasm": "application/wasm",
    "manifest.webmanifest": "application/manifest+json",
    "mark.svg": "image/svg+xml",
    "mark.png": "image/png",
    "start/site.yaml": "text/plain; charset=utf-8",
    "odd.unknown": "application/octet-stream",
    "empty.txt": "text/plain; charset=utf-8",
}
BIG = "big.bin"
BIG_BYTES = bytes(range(256)) * (32 << 10)  # 8 MiB: more than the system keeps for a reader that does not read


def site():
    with open("docs/door.md", encoding="utf-8") as file:
        return json.loads(re.search(r"```json site\n(.*?)```", file.read(), flags=re.S).group(1))


def quick(years=1):
    """A short proof: what is looked at is the way of the answer, so what it would propose is left to other tests."""
    return json.dumps({"do": "prove", "site": site(), "years": years, "sweep": 3, "horizon": "6 h", "margins": False}).encode()


def endless():
    """A proof of minutes."""
    return json.dumps({"do": "prove", "site": site(), "years": 1000, "sweep": 0, "horizon": "1 h"}).encode()


def long_run(days, entries=0, **more):
    """One simulation; its answer is as long as it has entries and samples."""
    wish = {"do": "run", "site": site(), "length": f"{days} d", "text": False, "entries": entries, **more}
    return json.dumps(wish).encode()


def door(request):
    """What the command line answers."""
    return subprocess.run([PROGRAM, "door"], input=request, stdout=subprocess.PIPE, check=False).stdout


class Answer:
    def __init__(self, status, headers, body):
        self.status, self.headers, self.body = status, headers, body

    def get(self, name):
        found = [value for key, value in self.headers if key.lower() == name.lower()]
        assert len(found) < 2, f"{name} stands there {len(found)} times"
        return found[0] if found else None


class Line:
    """One connection, spoken by hand."""

    def __init__(self, address, patience=30, buffer=None, secure=None):
        self.socket = socket.socket(socket.AF_INET6 if ":" in address[0] else socket.AF_INET)
        if buffer:
            self.socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, buffer)
        self.socket.settimeout(patience)
        self.socket.connect(address)
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        if secure:
            self.socket = secure.wrap_socket(self.socket, server_hostname=address[0])
        self.rest = b""

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.socket.close()

    def send(self, data):
        self.socket.sendall(data)

    def more(self):
        try:
            data = self.socket.recv(1 << 16)
        except ConnectionResetError:
            data = b""
        self.rest += data
        return bool(data)

    def ended(self):
        """True once the other side has hung up; waits for it."""
        while self.more():
            pass
        return True

    def answer(self, method="GET"):
        """The next answer; None when the connection ended instead."""
        while b"\r\n\r\n" not in self.rest:
            if not self.more():
                return None
        head, self.rest = self.rest.split(b"\r\n\r\n", 1)
        first, *lines = head.decode("latin-1").split("\r\n")
        status = int(first.split(" ")[1])
        headers = [tuple(line.split(": ", 1)) for line in lines]
        if status == 100:
            return Answer(status, headers, b"")
        declared = {key.lower(): value for key, value in headers}
        length = 0 if method == "HEAD" or status == 304 else int(declared["content-length"])
        while len(self.rest) < length:
            if not self.more():
                raise AssertionError(f"the answer ended after {len(self.rest)} of {length} bytes")
        body, self.rest = self.rest[:length], self.rest[length:]
        return Answer(status, headers, body)


class Server:
    """`pumpwright serve` on a free port of this machine."""

    secure = None  # how a connection is made over TLS

    def __init__(self, *options, page=None, big=False, timeout=None, port=0):
        self.folder = tempfile.TemporaryDirectory(prefix="pw-serve-")
        for name, data in {**FILES, **({BIG: BIG_BYTES} if big else {})}.items():
            path = os.path.join(self.folder.name, "page", name)
            os.makedirs(os.path.dirname(path), exist_ok=True)
            with open(path, "wb") as file:
                file.write(data)
        page = page or os.path.join(self.folder.name, "page")
        words = [PROGRAM, "serve", "--port", str(port), "--page", page, *options]
        words += ["--timeout", str(timeout)] if timeout else []
        self.process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.printed = ""
        deadline = time.monotonic() + 30
        while "Ctrl-C" not in self.printed and time.monotonic() < deadline:
            line = self.process.stdout.readline()
            if not line:
                break
            self.printed += line
        found = re.search(r"https?://([\d.]+|\[[0-9a-f:]+\]):(\d+)/", self.printed)
        if not found:
            raise AssertionError(f"it did not start: {self.printed}{self.process.communicate()[1]}")
        self.host = found.group(1).strip("[]")
        self.port = int(found.group(2))
        self.address = (self.host, self.port)
        self.name = f"{found.group(1)}:{self.port}"

    def __enter__(self):
        return self

    def __exit__(self, kind, *_):
        """Each test ends its server, and looks at how it ends."""
        if self.process.poll() is None:
            code, out, err = self.end()
            if kind is None:
                assert code == 0, f"exit code {code}: {err}"
            assert "Sanitizer" not in err and "runtime error" not in err, err
        self.folder.cleanup()

    def end(self, how=signal.SIGTERM, patience=60):
        if how:
            self.process.send_signal(how)
        try:
            out, err = self.process.communicate(timeout=patience)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.communicate()
            raise
        return self.process.returncode, out, err

    def line(self, patience=400):
        return Line(self.address, patience, secure=self.secure)

    def head(self, method, path, headers=(), host=None, version="1.1"):
        lines = [f"{method} {path} HTTP/{version}"]
        if host is not False:
            lines.append(f"Host: {host or self.name}")
        lines += [f"{name}: {value}" for name, value in headers]
        return ("\r\n".join(lines) + "\r\n\r\n").encode("latin-1")

    def question(self, length, headers=()):
        """The head of a question for the door."""
        declared = [] if length is None else [("Content-Length", length)]
        return self.head("POST", "/door", [("Content-Type", "application/json"), *declared, *headers])

    def ask(self, method, path, headers=(), body=None, host=None, line=None):
        """One request, one answer."""
        headers = list(headers)
        if body is not None and not any(name.lower() == "content-length" for name, _ in headers):
            headers.append(("Content-Length", len(body)))
        own = line or self.line()
        try:
            own.send(self.head(method, path, headers, host))
            if body:
                try:
                    own.send(body)
                except (BrokenPipeError, ConnectionResetError):
                    pass  # it may have answered already
            return own.answer(method)
        finally:
            if not line:
                own.socket.close()

    def post(self, body, headers=(), line=None, host=None):
        return self.ask("POST", "/door", [("Content-Type", "application/json"), *headers], body, host, line)

    def memory(self):
        """Bytes that the server has in memory."""
        with open(f"/proc/{self.process.pid}/statm", encoding="ascii") as file:
            return int(file.read().split()[1]) * os.sysconf("SC_PAGE_SIZE")

    def handles(self):
        return len(os.listdir(f"/proc/{self.process.pid}/fd"))


def until(condition, seconds=20):
    """Wait for something that comes by itself."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.05)
    return False


def readable(socket_, seconds):
    return bool(select.select([socket_], [], [], seconds)[0])

"""The server, from outside. usage: test_server.py PROGRAM [GROUP]"""
import concurrent.futures
import gzip
import hashlib
import json
import os
import random
import re
import signal
import socket
import ssl
import subprocess
import sys
import tempfile
import threading
import time
import unittest

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from kit import BIG, BIG_BYTES, FILES, POLICY, PROGRAM, TYPES  # noqa: E402
from kit import Line, Server, door, endless, long_run, quick, readable, site, until  # noqa: E402

BODY_MOST = 8 << 20
ABOUT = b'{"do":"about"}'
CHUNKS = ("Transfer-Encoding", "chunked")


def serve(*words):
    """A start that is to fail: exit code and what was said."""
    done = subprocess.run([PROGRAM, "serve", *words], capture_output=True, text=True, timeout=60)
    return done.returncode, done.stdout, done.stderr


def has_ipv6():
    try:
        with socket.socket(socket.AF_INET6) as probe:
            probe.bind(("::1", 0))
        return True
    except OSError:
        return False


# Letters that no file of ours has in its name, and parts that would lead elsewhere.
PATHS_OUT = r"""
/../etc/passwd /.. /../ /./ /. // //etc/passwd /start/../../../etc/passwd /start/../index.html /index.html/..
/%2e%2e/etc/passwd /..%2fetc/passwd /%2e%2e%2f%2e%2e%2fetc%2fpasswd /..%5c..%5cetc /..\..\etc\passwd
/%252e%252e/etc/passwd /%c0%ae%c0%ae/etc/passwd /....//etc/passwd /index.html%00 /index.html%00.js /%00
/app.js/ /start /start/ /APP.JS /%69ndex.html /app.js%20 /app.js;x /~root /proc/self/environ /door/ /about/
""".split()

# Names that are not the address of the server, 127.0.0.1 on PORT.
WRONG_HOSTS = """
evil.example evil.example:PORT 127.0.0.1.evil.example:PORT localhost.evil.example:PORT evil@127.0.0.1:PORT
127.0.0.1 localhost 127.0.0.2:PORT 0.0.0.0:PORT [::1]:PORT [127.0.0.1]:PORT [::ffff:127.0.0.1]:PORT localhost.:PORT
127.1:PORT 2130706433:PORT 0x7f.0.0.1:PORT 127.0.0.1:PORTx 127.0.0.1:0PORT0 127.0.0.1:PORT:PORT
127.0.0.1:9999999999PORT 127.0.0.1:PORT,evil 127.0.0.1: : [ []
""".split() + ["127.0.0.1 :PORT", "127.0.0.1:PORT, evil"]


class Checks(unittest.TestCase):
    def assert_sealed(self, answer, words=""):
        """The headers that every answer carries, and none that lets another origin in."""
        self.assertEqual(answer.get("Content-Security-Policy"), POLICY, words)
        self.assertEqual(answer.get("X-Content-Type-Options"), "nosniff", words)
        self.assertEqual(answer.get("Referrer-Policy"), "no-referrer", words)
        self.assertEqual(answer.get("Cross-Origin-Opener-Policy"), "same-origin", words)
        self.assertEqual(answer.get("Cross-Origin-Resource-Policy"), "same-origin", words)
        self.assertFalse([name for name, _ in answer.headers if name.lower().startswith("access-control")], words)

    def assert_refused(self, answer, status, words=""):
        self.assertIsNotNone(answer, f"{words}: hung up without an answer")
        self.assertEqual(answer.status, status, words)
        self.assert_sealed(answer, words)
        self.assertEqual(answer.get("Content-Type"), "text/plain; charset=utf-8")
        self.assertEqual(answer.get("Cache-Control"), "no-store")


class Start(Checks):
    def test_prints_the_address_and_serves_there(self):
        with Server() as server:
            self.assertRegex(server.printed, r"^Open in a browser: http://127\.0\.0\.1:\d+/\nCtrl-C ends it\.\n$")
            self.assertEqual(server.ask("GET", "/").status, 200)

    def test_both_loopbacks_and_no_other_address(self):
        with Server() as server:
            if has_ipv6():
                with Line(("::1", server.port)) as line:
                    self.assertEqual(server.ask("GET", "/", host=f"[::1]:{server.port}", line=line).status, 200)
            listening = []
            for table in ("tcp", "tcp6"):
                if os.path.exists(f"/proc/net/{table}"):
                    with open(f"/proc/net/{table}", encoding="ascii") as file:
                        rows = [row.split() for row in file.read().splitlines()[1:]]
                    mine = f":{server.port:04X}"
                    listening += [row[1].split(":")[0] for row in rows if row[3] == "0A" and row[1].endswith(mine)]
            allowed = {"0100007F", "00000000000000000000000001000000"}
            self.assertIn("0100007F", listening)
            self.assertLessEqual(set(listening), allowed)

    def test_a_taken_port_is_an_error(self):
        with Server() as server:
            code, out, err = serve("--port", str(server.port))
            self.assertEqual((code, out), (3, ""))
            self.assertIn(f"cannot listen on 127.0.0.1:{server.port}: the port is taken", err)

    def test_a_port_taken_at_the_other_loopback_is_an_error(self):
        if not has_ipv6():
            self.skipTest("no IPv6")
        with socket.socket(socket.AF_INET6) as other:
            other.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
            other.bind(("::1", 0))
            other.listen()
            port = other.getsockname()[1]
            code, out, err = serve("--port", str(port))
            self.assertEqual((code, out), (3, ""))
            self.assertIn(f"[::1]:{port}: the port is taken", err)

    def test_the_same_port_again_at_once(self):
        with Server() as server:
            port = server.port
            with server.line() as line:
                self.assertEqual(server.ask("GET", "/", line=line).status, 200)
                self.assertEqual(server.end()[0], 0)  # it hangs up first: the port lingers in the system
        with Server(port=port) as server:
            self.assertEqual(server.port, port)

    def test_wrong_words(self):
        for words, part in (
            ("--address example.org", "an address in digits"),
            ("--address 1.2.3", "an address in digits"),
            ("--address 0.0.0.0", "--open-to-network"),
            ("--address ::", "--open-to-network"),
            ("--address 192.0.2.1", "--open-to-network"),
            ("--port 65536", "from 0 to 65535"),
            ("--port x", "from 0 to 65535"),
            ("--timeout 0", "from 1 to 3600"),
            ("extra", "too much"),
            ("--html x", "does not belong"),
        ):
            code, out, err = serve(*words.split())
            self.assertEqual((code, out), (2, ""), words)
            self.assertIn(part, err)

    def test_an_address_of_another_machine(self):
        code, _, err = serve("--address", "192.0.2.1", "--open-to-network", "--port", "0")
        self.assertEqual(code, 3)
        self.assertIn("does not have that address", err)

    def test_folders_that_are_no_page(self):
        with tempfile.TemporaryDirectory() as folder:
            for page, part in ((os.path.join(folder, "none"), "no such file"), (folder, "no index.html")):
                code, out, err = serve("--port", "0", "--page", page)
                self.assertEqual((code, out), (3, ""))
                self.assertIn(part, err)

    def test_open_to_network_cautions_and_knows_its_name(self):
        with Server("--open-to-network") as server:
            own = socket.gethostname()
            for host, status in ((server.name, 200), (f"{own}:{server.port}", 200), (f"{own}.local:{server.port}", 200),
                                 (f"{own}.example.org:{server.port}", 421), (f"x{own}:{server.port}", 421),
                                 ("0.0.0.0:%d" % server.port, 421)):
                self.assertEqual(server.ask("GET", "/", host=host).status, status, host)
            code, _, err = server.end()
            self.assertEqual(code, 0)
            self.assertIn("Caution: every machine in the network", err)

    def test_https_with_a_certificate_of_its_own_that_names_where_it_listens(self):
        with Server("--https") as server:
            printed = re.search(r"fingerprint \(SHA-256\).*?\n((?:[0-9A-F]{2}:){31}[0-9A-F]{2})\n", server.printed, re.S)
            self.assertIn(f"https://{server.name}/", server.printed)
            pem = ssl.get_server_certificate(server.address)
            der = ssl.PEM_cert_to_DER_cert(pem)
            self.assertEqual(printed.group(1).replace(":", "").lower(), hashlib.sha256(der).hexdigest())
            # who trusts this certificate, and it alone, gets in, under the address as under the name; not under another one
            server.secure = ssl.create_default_context(cadata=pem)
            given = server.ask("GET", "/certificate.crt")
            self.assertEqual((given.status, given.body, given.get("Content-Type")), (200, der, "application/x-x509-ca-cert"))
            for host in (server.host, "localhost"):
                with socket.create_connection(server.address) as plain:
                    server.secure.wrap_socket(plain, server_hostname=host).close()
            with socket.create_connection(server.address) as plain, self.assertRaises(ssl.SSLCertVerificationError):
                server.secure.wrap_socket(plain, server_hostname="pump.example")
            request = b'{"do":"about"}'
            own, plain = f"https://{server.name}", f"http://{server.name}"
            self.assertEqual(server.post(request, [("Origin", own)]).body, door(request))
            self.assertEqual(server.post(request, [("Origin", plain)]).status, 403)
            first = der
        with Server("--https") as server: # another run, another key
            self.assertNotEqual(ssl.PEM_cert_to_DER_cert(ssl.get_server_certificate(server.address)), first)
        with Server() as server:
            self.assertEqual(server.ask("GET", "/certificate.crt").status, 404)

    def test_one_address_alone(self):
        with Server("--address", "127.0.0.2") as server:
            self.assertEqual(server.name, f"127.0.0.2:{server.port}")
            self.assertEqual(server.ask("GET", "/").status, 200)
            self.assertEqual(server.ask("GET", "/", host=f"127.0.0.1:{server.port}").status, 421)
            self.assertRaises(OSError, socket.create_connection, ("127.0.0.1", server.port), 2)

    def test_hidden_files_and_links_are_not_served(self):
        with tempfile.TemporaryDirectory() as folder:
            for name in ("index.html", ".secret", "odd name.txt"):
                with open(os.path.join(folder, name), "w", encoding="ascii") as file:
                    file.write("x")
            os.mkdir(os.path.join(folder, ".git"))
            with open(os.path.join(folder, ".git", "config"), "w", encoding="ascii") as file:
                file.write("x")
            os.symlink("/etc/passwd", os.path.join(folder, "passwd"))
            os.symlink("/etc", os.path.join(folder, "etc"))
            os.mkfifo(os.path.join(folder, "pipe"))
            with Server(page=folder) as server:
                self.assertEqual(server.ask("GET", "/index.html").status, 200)
                for path in ("/.secret", "/.git/config", "/passwd", "/etc/passwd", "/pipe", "/odd%20name.txt",
                             "/odd name.txt"):
                    answer = server.ask("GET", path)
                    if " " in path and answer is None:
                        continue  # it is not HTTP: hanging up is fine too
                    self.assertIn(answer.status, (404, 400), path)
                    self.assertNotIn(b"root:", answer.body)


class Answers(Checks):
    @classmethod
    def setUpClass(cls):
        cls.server = Server()

    @classmethod
    def tearDownClass(cls):
        cls.server.__exit__(None)

    def test_files_have_their_types_and_tags(self):
        for name, data in FILES.items():
            answer = self.server.ask("GET", "/" + name)
            self.assertEqual((answer.status, answer.body), (200, data), name)
            self.assertEqual(answer.get("Content-Type"), TYPES[name], name)
            self.assertEqual(answer.get("Cache-Control"), "no-cache")
            self.assertRegex(answer.get("ETag"), r'^"[0-9a-f]+-[0-9a-f]{16}"$')
            self.assert_sealed(answer, name)
        self.assertEqual(self.server.ask("GET", "/").body, FILES["index.html"])
        self.assertEqual(self.server.ask("GET", "/?a=../../etc/passwd").body, FILES["index.html"])

    def test_head_is_get_without_a_body(self):
        for path in ("/", "/core.wasm", "/about"):
            with self.server.line() as line:
                full = self.server.ask("GET", path, line=line)
                bare = self.server.ask("HEAD", path, line=line)
                self.assertEqual((bare.status, bare.body), (200, b""))
                self.assertEqual(*[[h for h in answer.headers if h[0] != "Date"] for answer in (full, bare)])
                # nothing of a body lay in between
                self.assertEqual(self.server.ask("GET", path, line=line).body, full.body)

    def test_tags(self):
        for path in ("/", "/app.js", "/about"):
            tag = self.server.ask("GET", path).get("ETag")
            for wanted in (tag, f"W/{tag}", f'"x", {tag}', "*", f'"x",W/"y",{tag} '):
                answer = self.server.ask("GET", path, [("If-None-Match", wanted)])
                self.assertEqual((answer.status, answer.get("ETag")), (304, tag), wanted)
                self.assert_sealed(answer)
            for other in ('"x"', tag.strip('"'), tag[:-2] + '"', ""):
                self.assertEqual(self.server.ask("GET", path, [("If-None-Match", other)]).status, 200, other)

    def test_packed_forms_are_sent_to_those_who_take_them(self):
        plain, brotli, packed = b"plain " * 500, b"as if it were brotli", gzip.compress(b"plain " * 500)
        with tempfile.TemporaryDirectory() as folder:
            for name, data in {"index.html": b"x", "a.js": plain, "a.js.br": brotli, "a.js.gz": packed, "b.gz": packed}.items():
                with open(os.path.join(folder, name), "wb") as file:
                    file.write(data)
            with Server("--page", folder) as server:
                ask = lambda accepts: server.ask("GET", "/a.js", [("Accept-Encoding", accepts)] if accepts else [])
                for accepts, encoding, body in (
                        (None, None, plain), ("identity", None, plain), ("*", None, plain), ("brx, xgzip", None, plain),
                        ("gzip", "gzip", packed), ("gzip, deflate, br, zstd", "br", brotli), ("BR;q=1.0", "br", brotli),
                        ("br;q=0, gzip;q=0.5", "gzip", packed), ("br; q=0.000,gzip;q=0", None, plain)):
                    answer = ask(accepts)
                    self.assertEqual((answer.status, answer.get("Content-Encoding"), answer.body), (200, encoding, body), accepts)
                    self.assertEqual(answer.get("Content-Type"), "text/javascript; charset=utf-8")
                    self.assertEqual(answer.get("Vary"), "Accept-Encoding")
                    self.assert_sealed(answer, accepts or "")
                self.assertEqual(len({ask(accepts).get("ETag") for accepts in (None, "gzip", "br")}), 3)
                again = server.ask("GET", "/a.js", [("Accept-Encoding", "br"), ("If-None-Match", ask("br").get("ETag"))])
                self.assertEqual(again.status, 304)
                self.assertEqual(server.ask("GET", "/a.js.br").status, 404)
                self.assertEqual(server.ask("GET", "/b.gz").body, packed)

    def test_tags_depend_on_the_content(self):
        tags = [self.server.ask("GET", "/" + name).get("ETag") for name in FILES]
        self.assertEqual(len(set(tags)), len(set(FILES.values())))

    def test_the_door_says_what_the_command_line_says(self):
        requests = [
            ABOUT, b'{"do":"units","units":"us"}', b'{"do":"schema"}', b'{"do":"faults"}', b'{"do":"reckon"}',
            b'{"do":"dutty"}', b"{}", b"", b"[1,2", b"\xff\xfe", b"null", b'{"do":"about"}\0', b'\0{"do":"about"}',
            "{\"do\":\"\u00e9\"}".encode(),
            json.dumps({"do": "check", "site": site(), "text": True, "html": True}).encode(),
            json.dumps({"do": "run", "site": site(), "length": "2 d", "samples": "10 min"}).encode(),
            quick(),
        ]
        with self.server.line() as line:
            for request in requests:
                answer = self.server.post(request, line=line)
                self.assertEqual(answer.status, 200)
                self.assertEqual(answer.body, door(request), request[:60])
                self.assertEqual(answer.get("Content-Type"), "application/json")
                self.assertEqual(answer.get("Cache-Control"), "no-store")
                self.assert_sealed(answer)

    def test_a_large_answer_arrives_whole(self):
        request = long_run(60, samples="1 min", entries=100000)
        answer = self.server.post(request)
        self.assertGreater(len(answer.body), 2 << 20)
        self.assertEqual(hashlib.sha256(answer.body).hexdigest(), hashlib.sha256(door(request)).hexdigest())

    def test_about(self):
        answer = self.server.ask("GET", "/about")
        self.assertEqual((answer.status, answer.body), (200, door(ABOUT)))
        self.assertEqual(answer.get("Content-Type"), "application/json")
        self.assert_sealed(answer)

    def test_methods(self):
        for path, allowed in (("/", "GET, HEAD"), ("/app.js", "GET, HEAD"), ("/about", "GET, HEAD"), ("/door", "POST")):
            for method in ("GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "TRACE", "PATCH", "BREW"):
                body = b"{}" if method == "POST" else None
                answer = self.server.ask(method, path, [("Content-Type", "application/json")], body)
                if method in allowed.split(", "):
                    self.assertEqual(answer.status, 200, f"{method} {path}")
                    continue
                self.assertEqual((answer.status, answer.get("Allow")), (405, allowed), f"{method} {path}")
                self.assert_sealed(answer)

    def test_a_connection_serves_many_requests(self):
        with self.server.line() as line:
            for _ in range(50):
                self.assertEqual(self.server.ask("GET", "/app.js", line=line).status, 200)
                self.assertEqual(self.server.ask("GET", "/none", line=line).status, 404)
                self.assertEqual(self.server.post(b"no JSON", [("Origin", "http://evil")], line=line).status, 403)
                self.assertEqual(self.server.post(ABOUT, line=line).status, 200)

    def test_a_client_that_closes_its_half_does_not_stay(self):
        before = self.server.handles()
        post = self.server.question(len(ABOUT)) + ABOUT
        began = time.monotonic()
        for sent in (self.server.head("GET", "/app.js"), post, post[:-1], post[:40], b"") * 10:
            with self.server.line() as line:
                line.send(sent)
                line.socket.shutdown(socket.SHUT_WR)
                self.assertTrue(line.ended())
        self.assertTrue(until(lambda: self.server.handles() <= before))
        self.assertLess(time.monotonic() - began, 8)  # the timeout is 10 s

    def test_several_requests_sent_at_once_are_answered_in_order(self):
        with self.server.line() as line:
            post = self.server.question(len(ABOUT)) + ABOUT
            line.send(self.server.head("GET", "/app.js") + post + self.server.head("GET", "/style.css"))
            self.assertEqual([line.answer().body for _ in range(3)], [FILES["app.js"], door(ABOUT), FILES["style.css"]])


class Strangers(Checks):
    @classmethod
    def setUpClass(cls):
        cls.server = Server()

    @classmethod
    def tearDownClass(cls):
        cls.server.__exit__(None)

    def test_no_path_leads_out(self):
        for path in PATHS_OUT + ["/" + "a" * 4000, "/" + "a/" * 2000]:
            answer = self.server.ask("GET", path)
            self.assert_refused(answer, 404, path)
            self.assertEqual(answer.body, b"There is nothing here.\n")

    def test_targets_that_are_no_path(self):
        for target in ("*", f"http://{self.server.name}/app.js", "app.js", "http://evil/", "../../etc/passwd"):
            answer = self.server.ask("GET", target)
            self.assertTrue(answer is None or answer.status in (400, 404), target)

    def test_only_our_own_host(self):
        port = self.server.port
        for host in (f"127.0.0.1:{port}", f"localhost:{port}", f"LocalHost:{port}"):
            self.assertEqual(self.server.ask("GET", "/", host=host).status, 200, host)
        for pattern in WRONG_HOSTS + [socket.gethostname() + ":PORT", "a" * 3000, f"127.0.0.1:{port + 1}"]:
            host = pattern.replace("PORT", str(port))
            for method, path in (("GET", "/"), ("GET", "/about"), ("GET", "/none"), ("PUT", "/")):
                self.assert_refused(self.server.ask(method, path, host=host), 421, f"{host} {path}")
            self.assert_refused(self.server.post(ABOUT, host=host), 421, host)

    def test_without_a_host(self):
        with self.server.line() as line:
            line.send(self.server.head("GET", "/", host=False))
            self.assertEqual(line.answer().status, 400)
        with self.server.line() as line:
            line.send(self.server.head("GET", "/", host=False, version="1.0"))
            self.assert_refused(line.answer(), 421)

    def test_only_our_own_origin_may_ask(self):
        port = self.server.port
        for host in (f"127.0.0.1:{port}", f"localhost:{port}"):
            self.assertEqual(self.server.post(ABOUT, [("Origin", f"http://{host}")], host=host).status, 200)
        own = self.server.name
        for origin in ("", "null", "http://evil.example", f"https://{own}", f"http://{own}/", own,
                       f"http://{own}.evil.example", f"http://localhost:{port}", f"http://127.0.0.1:{port + 1}",
                       "http://127.0.0.1", f"http://evil.example http://{own}"):
            self.assert_refused(self.server.post(ABOUT, [("Origin", origin)]), 403, origin)

    def test_only_our_own_page_may_ask(self):
        for place, status in (("same-origin", 200), ("none", 200), ("cross-site", 403), ("same-site", 403), ("", 403),
                              ("SAME-ORIGIN", 403)):
            answer = self.server.post(ABOUT, [("Sec-Fetch-Site", place)])
            self.assertEqual(answer.status, status, place)
            self.assert_sealed(answer)

    def test_only_json(self):
        for kind in ("application/json", "Application/JSON", "application/json;charset=utf-8",
                     "application/json; charset=UTF-8"):
            self.assertEqual(self.server.ask("POST", "/door", [("Content-Type", kind)], ABOUT).status, 200, kind)
        for kind in ("", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x",
                     "application/jsonp", "application/json; charset=latin1", "application/json, text/plain",
                     "text/plain; application/json", "application/json;"):
            self.assert_refused(self.server.ask("POST", "/door", [("Content-Type", kind)], ABOUT), 415, kind)
        self.assert_refused(self.server.ask("POST", "/door", [], ABOUT), 415)
        self.assert_refused(self.server.post(ABOUT, [("Content-Encoding", "gzip")]), 415)

    def test_a_browsers_question_before_is_not_granted(self):
        headers = [("Origin", "http://evil.example"), ("Access-Control-Request-Method", "POST"),
                   ("Access-Control-Request-Headers", "content-type"),
                   ("Access-Control-Request-Private-Network", "true")]
        answer = self.server.ask("OPTIONS", "/door", headers)
        self.assert_refused(answer, 405)

    def test_headers_that_stand_there_twice(self):
        own = self.server.name
        for name, first, second in (("Host", own, "evil"), ("Origin", f"http://{own}", "http://evil"),
                                    ("Sec-Fetch-Site", "same-origin", "cross-site"),
                                    ("Content-Type", "application/json", "text/plain")):
            headers = [(name, first), (name, second), ("Content-Length", len(ABOUT))]
            with self.server.line() as line:
                line.send(self.server.head("POST", "/door", headers, host=False if name == "Host" else None) + ABOUT)
                answer = line.answer()
                self.assertEqual(answer.status, 400, name)

    def test_two_readings_of_where_a_body_ends(self):
        for headers in ([("Content-Length", 3), ("Content-Length", 4)], [CHUNKS, ("Content-Length", 4)],
                        [("Content-Length", "-1")], [("Content-Length", "x")], [("Content-Length", "9" * 23)],
                        [("Transfer-Encoding", "gzip")]):
            with self.server.line() as line:
                line.send(self.server.question(None, headers) + b"0\r\n\r\n")
                line.socket.shutdown(socket.SHUT_WR)
                answer = line.answer()
                self.assertIn(answer and answer.status, (None, 400, 413, 415), headers)

    def test_heads_that_do_not_fit(self):
        for head in (self.server.head("GET", "/" + "a" * 40000), self.server.head("GET", "/", [("X", "a" * 40000)]),
                     self.server.head("GET", "/", [(f"X{i}", "a" * 20) for i in range(3000)])):
            with self.server.line() as line:
                try:
                    line.send(head)
                except (BrokenPipeError, ConnectionResetError):
                    pass
                answer = line.answer()
                self.assertTrue(answer is None or answer.status in (400, 413, 414, 431), answer and answer.status)

    def test_noise(self):
        noise = random.Random(8640)
        lines = []
        start = self.server.question(len(ABOUT)) + ABOUT
        for number in range(300):
            data = bytearray(start)
            if number % 3 == 0:
                data = bytearray(noise.randbytes(noise.randrange(1, 600)))
            for _ in range(noise.randrange(1, 6)):
                byte = noise.choice(b"\0\r\n :;/%\xff9") if number % 3 == 1 else noise.randrange(256)
                data[noise.randrange(len(data))] = byte
            line = self.server.line()
            lines.append(line)
            try:
                line.send(bytes(data))
                line.socket.shutdown(socket.SHUT_WR)
            except OSError:
                pass
            if len(lines) == 50:
                self.assertTrue(all(line.ended() for line in lines))
                while lines:
                    lines.pop().socket.close()
        self.assertEqual(self.server.post(ABOUT).body, door(ABOUT))

    def test_nothing_is_said_about_requests(self):
        with Server() as server:
            server.ask("GET", "/secretpath")
            server.post(b'{"do":"secretword"}', [("Origin", "http://secretorigin")])
            server.post(b'{"do":"secretword"}')
            with server.line() as line:
                line.send(b"secret noise\r\n\r\n")
                line.ended()
            self.assertEqual(server.end(), (0, "", ""))


class Bodies(Checks):
    @classmethod
    def setUpClass(cls):
        cls.server = Server()

    @classmethod
    def tearDownClass(cls):
        cls.server.__exit__(None)

    def padded(self, length):
        return ABOUT + b" " * (length - len(ABOUT))

    def chunked(self, body, size, headers=()):
        """The same body in chunks."""
        with self.server.line() as line:
            line.send(self.server.question(None, [CHUNKS, *headers]))
            try:
                for at in range(0, len(body), size):
                    part = body[at:at + size]
                    line.send(b"%x\r\n%s\r\n" % (len(part), part))
                line.send(b"0\r\n\r\n")
            except (BrokenPipeError, ConnectionResetError):
                pass
            return line.answer()

    def test_the_largest_request(self):
        self.assertEqual(self.server.post(self.padded(BODY_MOST)).body, door(ABOUT))
        self.assertEqual(self.chunked(self.padded(BODY_MOST), 1 << 20).body, door(ABOUT))

    def test_one_byte_more(self):
        self.assert_refused(self.server.post(self.padded(BODY_MOST + 1)), 413)
        self.assert_refused(self.chunked(self.padded(BODY_MOST + 1), 1 << 20), 413)
        self.assertEqual(self.server.post(ABOUT).status, 200)

    def test_a_client_that_asks_first(self):
        headers = [("Content-Type", "application/json"), ("Expect", "100-continue")]
        with self.server.line() as line:
            line.send(self.server.head("POST", "/door", [*headers, ("Content-Length", BODY_MOST + 1)]))
            self.assert_refused(line.answer(), 413)
        with self.server.line() as line:
            line.send(self.server.head("POST", "/door", [*headers, ("Content-Length", 1 << 40)]))
            self.assert_refused(line.answer(), 413)
        with self.server.line() as line:
            line.send(self.server.head("POST", "/door", [*headers, ("Content-Length", len(ABOUT)), ("Origin", "null")]))
            self.assert_refused(line.answer(), 403)
        with self.server.line() as line:
            line.send(self.server.head("POST", "/door", [*headers, ("Content-Length", len(ABOUT))]))
            self.assertEqual(line.answer().status, 100)
            line.send(ABOUT)
            self.assertEqual(line.answer().body, door(ABOUT))

    def test_a_huge_length_is_refused_at_once(self):
        with self.server.line() as line:
            line.send(self.server.question(1 << 40))
            self.assert_refused(line.answer(), 413)

    def test_endless_chunks_are_cut_off(self):
        with self.server.line() as line:
            line.send(self.server.question(None, [CHUNKS]))
            part = b"100000\r\n" + b" " * (1 << 20) + b"\r\n"
            with self.assertRaises(OSError):
                for _ in range(200):
                    line.send(part)

    def test_small_chunks(self):
        self.assertEqual(self.chunked(ABOUT, 1).body, door(ABOUT))
        self.assertEqual(self.chunked(quick(), 7).body, door(quick()))

    def test_bodies_where_none_belongs(self):
        with self.server.line() as line:
            self.assertEqual(self.server.ask("GET", "/app.js", [], b"x" * 100000, line=line).body, FILES["app.js"])
            self.assertEqual(self.server.ask("PUT", "/app.js", [], b"x" * 100000, line=line).status, 405)
            self.assertEqual(self.server.ask("GET", "/app.js", line=line).body, FILES["app.js"])

    def test_clients_that_leave_in_the_middle(self):
        before = self.server.handles()
        for keep in (0, 10, 500, 100000):
            for _ in range(10):
                with self.server.line() as line:
                    line.send((self.server.question(200000) + b" " * 200000)[:keep])
        self.assertTrue(until(lambda: self.server.handles() <= before))
        self.assertEqual(self.server.post(ABOUT).status, 200)


class Slow(Checks):
    """--timeout is 1 s."""

    @classmethod
    def setUpClass(cls):
        cls.server = Server(big=True, timeout=1)

    @classmethod
    def tearDownClass(cls):
        cls.server.__exit__(None)

    def seconds_until_dropped(self, first, drip, most=15):
        """Send `first`, then one byte of drip each 0.2 s; how long does the server put up with it?"""
        began = time.monotonic()
        with self.server.line() as line:
            if first:
                line.send(first)
            while time.monotonic() - began < most:
                if readable(line.socket, 0.2):
                    try:
                        if line.socket.recv(65536) == b"":
                            return time.monotonic() - began
                    except ConnectionResetError:
                        return time.monotonic() - began
                if drip:
                    try:
                        line.send(drip)
                    except OSError:
                        return time.monotonic() - began
        self.fail("it was never dropped")

    def post_head(self, length):
        return self.server.question(length)

    def test_those_who_wait(self):
        """Each on a line of its own, all at once: what takes time is waiting."""
        names = [name for name in dir(self) if name.startswith("wait_")]
        with concurrent.futures.ThreadPoolExecutor(len(names)) as pool:
            waiting = {name: pool.submit(getattr(self, name)) for name in names}
        self.assertGreaterEqual(len(names), 9)
        for name, future in waiting.items():
            with self.subTest(name):
                future.result()

    def wait_silence(self):
        self.assertTrue(0.5 <= self.seconds_until_dropped(b"", b"") < 9)

    def wait_silence_in_a_head(self):
        self.assertTrue(0.5 <= self.seconds_until_dropped(b"GET / HT", b"") < 9)

    def wait_silence_in_a_body(self):
        self.assertTrue(0.5 <= self.seconds_until_dropped(self.post_head(100) + b"{", b"") < 9)

    def wait_dripping_headers(self):
        seconds = self.seconds_until_dropped(b"GET / HTTP/1.1\r\nX: ", b"x")
        self.assertTrue(1.5 <= seconds < 9, seconds)

    def wait_dripping_body(self):
        seconds = self.seconds_until_dropped(self.post_head(100000), b" ")
        self.assertTrue(2.5 <= seconds < 12, seconds)

    def wait_dripping_body_of_a_refused_request(self):
        head = self.server.head("POST", "/door", [("Content-Type", "text/plain"), ("Content-Length", 100000)])
        seconds = self.seconds_until_dropped(head, b" ")
        self.assertTrue(2.5 <= seconds < 12, seconds)

    def wait_an_idle_connection_between_requests(self):
        with self.server.line() as line:
            self.assertEqual(self.server.ask("GET", "/", line=line).status, 200)
            began = time.monotonic()
            self.assertTrue(line.ended())
            self.assertTrue(0.5 <= time.monotonic() - began < 9)

    def wait_a_client_that_does_not_read(self):
        with Line(self.server.address, buffer=16384) as line:
            line.send(self.server.head("GET", "/" + BIG))
            time.sleep(4)
            line.ended()
            self.assertLess(len(line.rest), len(BIG_BYTES))

    def wait_a_client_that_reads_slowly_gets_all(self):
        """Slower than the timeout for the whole, and for what the system holds of it."""
        began = time.monotonic()
        with Line(self.server.address, buffer=16384) as line:
            line.send(self.server.head("GET", "/" + BIG))
            while len(line.rest) < len(BIG_BYTES) * 3 // 4:
                self.assertTrue(line.more(), f"dropped after {len(line.rest)} bytes")
                time.sleep(max(0, began + len(line.rest) / (800 << 10) - time.monotonic()))
            self.assertEqual(line.answer().body, BIG_BYTES)
        self.assertGreater(time.monotonic() - began, 3)

    def test_a_client_that_reads_is_not_dropped(self):
        self.assertEqual(self.server.ask("GET", "/" + BIG).body, BIG_BYTES)

    def test_computing_is_not_silence(self):
        """The client waits longer than any of its own limits."""
        request = long_run(1500)
        began = time.monotonic()
        expected = door(request)
        workers = min(4, max(2, os.cpu_count()))
        count = 2 + int(5 * workers / (time.monotonic() - began))  # so that the last waits for more than 3 s
        answers = []
        threads = [threading.Thread(target=lambda: answers.append(self.server.post(request))) for _ in range(count)]
        began = time.monotonic()
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertGreater(time.monotonic() - began, 3.2, "too quick to show anything")
        self.assertEqual([a and (a.status, a.body == expected) for a in answers], [(200, True)] * count)

    def test_slow_ones_do_not_hold_up_others(self):
        lines = [self.server.line() for _ in range(100)]
        for line in lines:
            line.send(b"GET / HTTP/1.1\r\nX: ")
        began = time.monotonic()
        self.assertEqual(self.server.post(ABOUT).status, 200)
        self.assertLess(time.monotonic() - began, 2)
        for line in lines:
            self.assertTrue(line.ended())
            line.socket.close()


class Crowd(Checks):
    def test_two_hundred_at_once(self):
        with Server() as server:
            before = server.handles()
            expected = door(ABOUT)
            lines = [server.line() for _ in range(200)]
            post = server.question(len(ABOUT)) + ABOUT
            for number, line in enumerate(lines):
                line.send(post if number % 2 else server.head("GET", "/app.js"))
            # More than 64 wait for a worker: the later ones may be sent away, but are told so.
            answers = [line.answer() for line in lines]
            self.assertEqual({a.body for a in answers[0::2]}, {FILES["app.js"]})
            for answer in answers[1::2]:
                self.assertIn(answer.status, (200, 503))
                if answer.status == 200:
                    self.assertEqual(answer.body, expected)
                else:
                    self.assert_refused(answer, 503)
                    self.assertEqual(answer.get("Retry-After"), "5")
            self.assertGreaterEqual(sum(a.status == 200 for a in answers[1::2]), 64)
            self.assertEqual(server.ask("GET", "/", line=lines[7]).status, 200)
            for line in lines:
                line.socket.close()
            self.assertTrue(until(lambda: server.handles() <= before), "connections were left open")
            self.assertEqual(server.post(ABOUT).body, expected)

    def test_proofs_at_the_same_time_are_the_same(self):
        requests = [quick(years) for years in (0, 1)] * 3
        expected = {request: door(request) for request in requests}
        with Server() as server:
            got = [None] * len(requests)

            def ask(i):
                got[i] = server.post(requests[i]).body
            threads = [threading.Thread(target=ask, args=(i,)) for i in range(len(requests))]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            for request, answer in zip(requests, got):
                self.assertEqual(answer, expected[request])

    def test_one_address_has_its_share_and_no_more(self):
        with Server(timeout=60) as server:
            before = server.handles()
            lines = [server.line() for _ in range(300)]

            def dropped():
                return sum(readable(line.socket, 0) for line in lines)
            self.assertTrue(until(lambda: dropped() >= 44))
            time.sleep(0.5)
            self.assertEqual(dropped(), 44)  # 300 less 256
            for line in lines:
                line.socket.close()
            self.assertTrue(until(lambda: server.handles() <= before), "connections were left open")
            self.assertEqual(server.ask("GET", "/").status, 200)

    def test_a_queue_has_an_end_and_those_who_leave_are_given_up(self):
        request = endless()
        with Server() as server:
            kept, refused = [], 0
            while refused < 3:  # in a row, with time between: all workers are busy then
                line = server.line()
                line.send(server.question(len(request)) + request)
                if readable(line.socket, 0.3 if len(kept) >= 60 else 0):
                    answer = line.answer()
                    self.assert_refused(answer, 503)
                    self.assertEqual(answer.get("Retry-After"), "5")
                    refused += 1
                    line.socket.close()
                else:
                    kept.append(line)
                    refused = 0
                self.assertLess(len(kept), 100)
            self.assertTrue(64 < len(kept) <= 64 + 4, len(kept))
            self.assertEqual(server.ask("GET", "/").status, 200)  # talking goes on
            self.assertEqual(server.post(ABOUT).status, 503)
            for line in kept:
                line.socket.close()
            self.assertTrue(until(lambda: server.post(ABOUT).status == 200, 60), "work of those who left went on")

    def test_memory_of_all_requests_has_an_end(self):
        body = ABOUT + b" " * (BODY_MOST - len(ABOUT))
        with Server(timeout=60) as server:
            before = server.memory()
            lines = []
            for count in range(1, 9):
                line = server.line()
                line.send(server.question(BODY_MOST) + body[:-100])
                lines.append(line)
                most = before + count * BODY_MOST - (1 << 20)
                self.assertTrue(until(lambda: server.memory() > most), "it is not held")
            self.assert_refused(server.post(ABOUT), 503)
            self.assertEqual(server.ask("GET", "/").status, 200)
            for line in lines:
                line.send(body[-100:])
                self.assertEqual(line.answer().body, door(ABOUT))
                line.socket.close()
            self.assertEqual(server.post(ABOUT).body, door(ABOUT))


class End(Checks):
    def test_signals_end_it_well(self):
        for how in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
            with Server() as server:
                with server.line() as line:
                    self.assertEqual(server.ask("GET", "/", line=line).status, 200)
                    began = time.monotonic()
                    self.assertEqual(server.end(how), (0, "", ""))
                    self.assertLess(time.monotonic() - began, 8)
                    self.assertTrue(line.ended())

    def begin(self, server, request):
        line = server.line()
        line.send(server.question(len(request)) + request)
        time.sleep(0.3)  # it is at work now
        return line

    def test_work_in_hand_is_finished(self):
        days, seconds = 50, 0
        while seconds < 0.6:  # longer than begin() waits, shorter than the grace of 5 s
            days *= 2
            request = long_run(days)
            began = time.monotonic()
            expected = door(request)
            seconds = time.monotonic() - began
        for attempt in range(4):  # where others take the processor, it may last longer than the grace
            with Server() as server, self.begin(server, request) as line:
                server.process.send_signal(signal.SIGTERM)
                answer = line.answer()
                self.assertEqual(server.end(None), (0, "", ""))
            if answer.status == 200 or attempt == 3:
                break
        self.assertEqual((answer.status, answer.body), (200, expected))

    def test_long_work_is_given_up(self):
        with Server() as server:
            lines = [self.begin(server, endless()) for _ in range(6)]
            time.sleep(2.0)  # the last of them is, too, when others take the processor
            began = time.monotonic()
            server.process.send_signal(signal.SIGTERM)
            for line in lines:
                self.assert_refused(line.answer(), 503)
                line.socket.close()
            self.assertEqual(server.end(None), (0, "", ""))
            self.assertTrue(4 < time.monotonic() - began < 40, time.monotonic() - began)

    def test_a_second_signal_does_not_wait(self):
        for _ in range(4):  # where others take the processor, the work may be slow to see that it is over
            with Server() as server, self.begin(server, endless()) as line:
                began = time.monotonic()
                server.process.send_signal(signal.SIGINT)
                time.sleep(0.5)
                self.assertEqual(server.end(signal.SIGINT), (0, "", ""))
                line.ended()
            seconds = time.monotonic() - began
            if seconds < 4:
                break
        self.assertLess(seconds, 4)

    def test_nobody_gets_in_while_it_ends(self):
        with Server() as server, self.begin(server, endless()):
            server.process.send_signal(signal.SIGTERM)
            self.assertTrue(until(lambda: not self.can_connect(server), 4))
            self.assertIsNone(server.process.poll())

    def can_connect(self, server):
        try:
            with server.line(2):
                return True
        except OSError:
            return False


if __name__ == "__main__":
    unittest.main()

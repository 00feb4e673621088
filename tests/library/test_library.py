#!/usr/bin/env python3
"""The library as a stranger meets it: installed into a scratch place, found by pkg-config, linked both ways, and away again.

usage: test_library.py SOURCE BUILD CC
"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE, BUILD, CC = sys.argv[1:4]
STRICT = ["-std=c11", "-Wall", "-Wextra", "-Wpedantic", "-Werror", "-O1"]


def run(*words, env=None, cwd=None):
    done = subprocess.run(words, capture_output=True, text=True, env={**os.environ, **(env or {})}, cwd=cwd)
    if done.returncode != 0:
        raise AssertionError(f"{' '.join(words)}\n{done.stdout}{done.stderr}")
    return done.stdout


def files_in(folder):
    return sorted(os.path.join(at, name) for at, _, names in os.walk(folder) for name in names)


def header():
    with open(f"{SOURCE}/include/pumpwright.h", encoding="utf-8") as file:
        return file.read()


def declared():
    return set(re.findall(r"^PUMPWRIGHT_API [^;(]*?\b(\w+)\(", header(), flags=re.M))


CPP = r"""
#include <pumpwright.h>
#include <cstdio>
#include <memory>

template <typename T> using held = std::unique_ptr<T, void (*)(T *)>;

int main(int, char **words)
{
    held<pumpwright_sheet> sheet(pumpwright_sheet_read(words[1], nullptr), pumpwright_sheet_free);
    held<pumpwright_site> site(pumpwright_site_read(sheet.get(), nullptr), pumpwright_site_free);
    held<pumpwright_simulation> running(pumpwright_simulation_create(site.get(), 1, nullptr), pumpwright_simulation_free);
    int told = 0;
    pumpwright_simulation_watch(running.get(), [](void *user, const pumpwright_event *) { ++*static_cast<int *>(user); }, &told);
    pumpwright_totals totals;
    if (!pumpwright_simulation_advance(running.get(), 86400000, nullptr)) {
        return 1;
    }
    pumpwright_simulation_totals(running.get(), &totals);
    std::printf("%s: %lld starts in a day\n", pumpwright_site_name(site.get()), static_cast<long long>(totals.starts));
    return told > 0 ? 0 : 1;
}
"""


class Installed(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory(prefix="pumpwright-")
        cls.root = f"{cls.scratch.name}/a place"  # a blank in the path is nothing special
        cls.prefix = f"{cls.root}/prefix"
        run("cmake", "--install", BUILD, "--prefix", cls.prefix)
        cls.config = {"PKG_CONFIG_PATH": f"{cls.prefix}/lib/pkgconfig"}

    @classmethod
    def tearDownClass(cls):
        cls.scratch.cleanup()

    def flags(self, *words):
        """As a build would take them; pkg-config escapes blanks for a shell."""
        import shlex
        return shlex.split(run("pkg-config", *words, "pumpwright", env=self.config))

    def built(self, source, *how, static=False):
        """The program, linked with the shared library, or wholly static."""
        program = f"{self.root}/{os.path.basename(source)}-{'static' if static else 'shared'}"
        flags = self.flags("--cflags", "--libs", *(["--static"] if static else []))
        run(CC, *STRICT, *how, *(["-static"] if static else []), "-o", program, source, *flags)
        return program

    def ran(self, program, *words):
        return run(program, *words, env={"LD_LIBRARY_PATH": f"{self.prefix}/lib"}, cwd=SOURCE)

    def test_all_is_there(self):
        there = {os.path.relpath(name, self.prefix) for name in files_in(self.prefix)}
        for name in ("bin/pumpwright", "include/pumpwright.h", "lib/libpumpwright.a", "lib/libpumpwright.so", "lib/libpumpwright.so.0",
                     "lib/pkgconfig/pumpwright.pc", "share/man/man1/pumpwright.1", "share/bash-completion/completions/pumpwright",
                     "share/zsh/site-functions/_pumpwright", "share/doc/pumpwright/examples/nursery.yaml"):
            self.assertIn(name, there)

    def test_a_stranger_uses_it(self):
        for static in (False, True):
            with self.subTest(static=static):
                self.ran(self.built(f"{SOURCE}/tests/library/use.c", static=static))

    def test_example(self):
        """examples/library.c as it stands, linked both ways: what it prints is what the command line finds."""
        run_of = json.loads(run(f"{self.prefix}/bin/pumpwright", "run", "examples/nursery.yaml", "--length", "2 d", "--json", cwd=SOURCE))
        delivered = f"healthy   delivered {run_of['totals']['delivered_m3']:.3f} m3, leaked 0.000 m3,"
        for static in (False, True):
            with self.subTest(static=static):
                program = self.built(f"{SOURCE}/examples/library.c", static=static)
                self.assertRegex(self.ran(program), r"^Farmhouse, after two days:\nhealthy  .*leaked 0\.000.*\nburst  .*leaked [1-9]")
                self.assertIn(delivered, self.ran(program, "examples/nursery.yaml"))

    def test_soname(self):
        program = self.built(f"{SOURCE}/tests/library/use.c")
        needed = re.findall(r"NEEDED\s+(\S+)", run("objdump", "-p", program))
        self.assertIn("libpumpwright.so.0", needed)
        self.assertNotIn("libyaml-0.so.2", needed)  # its own affair

    def test_only_declared_names_leave(self):
        names = declared()
        self.assertGreater(len(names), 10)
        shared = run("nm", "-D", "--defined-only", f"{self.prefix}/lib/libpumpwright.so")
        self.assertEqual(set(re.findall(r" [TDBRVW] (\w+)(?:@@\S+)?$", shared, flags=re.M)), names)
        static = run("nm", "-g", "--defined-only", f"{self.prefix}/lib/libpumpwright.a")
        self.assertEqual(set(re.findall(r" [A-Z] (\w+)$", static, flags=re.M)), names)
        for name in names:
            self.assertTrue(name.startswith("pumpwright_"), name)

    def test_header_by_itself(self):
        """It needs nothing before it, in strict C, and defines only its own names."""
        source = f"{self.root}/only.c"
        with open(source, "w", encoding="utf-8") as file:
            file.write("#include <pumpwright.h>\nint main(void) { return pumpwright_version() == 0; }\n")
        self.built(source, "-Wstrict-prototypes", "-Wmissing-prototypes")
        for name in re.findall(r"^#\s*define (\w+)", header(), flags=re.M):
            self.assertTrue(name.startswith(("PUMPWRIGHT_", "PW_INCLUDE_")), name)

    def test_a_stranger_in_c_plus_plus(self):
        """The header as C++, linked: names are not mangled, structs and handles are the same ones."""
        compiler = shutil.which("g++") or shutil.which("c++")
        if not compiler:
            self.skipTest("no C++ compiler is installed")
        source = f"{self.root}/stranger.cpp"
        with open(source, "w", encoding="utf-8") as file:
            file.write(CPP)
        for standard in ("c++11", "c++20"):
            program = f"{self.root}/stranger-{standard}"
            run(compiler, f"-std={standard}", "-Wall", "-Wextra", "-Wpedantic", "-Werror", "-o", program, source,
                *self.flags("--cflags", "--libs"))
            self.assertRegex(self.ran(program, "examples/nursery.yaml"), r"^Hillside plant nursery: [1-9]\d* starts in a day\n$")

    def test_version(self):
        self.assertEqual(run("pkg-config", "--modversion", "pumpwright", env=self.config).strip(),
                         run(f"{self.prefix}/bin/pumpwright", "--version").split()[1])


class Away(unittest.TestCase):
    def test_uninstall_leaves_nothing(self):
        """With DESTDIR and a PREFIX of one's own; what somebody else put there stays."""
        with tempfile.TemporaryDirectory(prefix="pumpwright-") as root:
            where = [f"DESTDIR={root}", "PREFIX=/opt/pumps", f"BUILD={BUILD}"]
            run("make", "-s", "-C", SOURCE, "install", *where)
            self.assertTrue(os.path.exists(f"{root}/opt/pumps/bin/pumpwright"))
            self.assertGreater(len(files_in(root)), 10)
            other = f"{root}/opt/pumps/bin/other"
            open(other, "w", encoding="utf-8").close()
            run("make", "-s", "-C", SOURCE, "uninstall", *where)
            self.assertEqual(files_in(root), [other])
            self.assertFalse(os.path.exists(f"{root}/opt/pumps/share/pumpwright"))
            self.assertFalse(os.path.exists(f"{root}/opt/pumps/share/doc/pumpwright"))


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])

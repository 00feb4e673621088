"""The C library (include/pumpwright.h) by ctypes: where it lies, how its functions are called, and requests at work."""

import ctypes
import glob
import os
import threading

FILE = "libpumpwright.so.0"
ENVIRONMENT = "PUMPWRIGHT_LIBRARY"


class Sheet_(ctypes.Structure):
    """Opaque."""


class Problems_(ctypes.Structure):
    """Opaque."""


class Problem_(ctypes.Structure):
    _fields_ = [
        ("status", ctypes.c_char_p),
        ("warning", ctypes.c_bool),
        ("line", ctypes.c_int32),
        ("column", ctypes.c_int32),
        ("path", ctypes.c_char_p),
        ("found", ctypes.c_char_p),
        ("expected", ctypes.c_char_p),
        ("hint", ctypes.c_char_p),
        ("words", ctypes.c_char_p),
    ]


PROGRESS = ctypes.CFUNCTYPE(None, ctypes.c_void_p, ctypes.c_double, ctypes.c_char_p)
CANCELLED = ctypes.CFUNCTYPE(ctypes.c_bool, ctypes.c_void_p)


class Host_(ctypes.Structure):
    _fields_ = [("user", ctypes.c_void_p), ("progress", PROGRESS), ("cancelled", CANCELLED)]


SHEET, PROBLEMS, HOST = ctypes.POINTER(Sheet_), ctypes.POINTER(Problems_), ctypes.POINTER(Host_)
WHOLE = ctypes.POINTER(ctypes.c_int32)
# An answer is freed by hand, so it must stay a pointer: c_char_p would turn it into bytes at once.
FUNCTIONS = {
    "pumpwright_version": (ctypes.c_char_p, []),
    "pumpwright_text_free": (None, [ctypes.c_void_p]),
    "pumpwright_ask": (ctypes.c_void_p, [ctypes.c_char_p, ctypes.c_size_t, HOST]),
    "pumpwright_sheet_take": (SHEET, [ctypes.c_char_p, ctypes.c_size_t, ctypes.c_char_p, ctypes.POINTER(PROBLEMS)]),
    "pumpwright_sheet_free": (None, [SHEET]),
    "pumpwright_sheet_json": (ctypes.c_char_p, [SHEET]),
    "pumpwright_sheet_where": (ctypes.c_bool, [SHEET, ctypes.c_char_p, WHOLE, WHOLE]),
    "pumpwright_sheet_ask": (ctypes.c_void_p, [SHEET, ctypes.c_char_p, ctypes.c_char_p, HOST]),
    "pumpwright_answer_problems": (PROBLEMS, [ctypes.c_void_p, SHEET]),
    "pumpwright_problems_count": (ctypes.c_int32, [PROBLEMS]),
    "pumpwright_problems_lost": (ctypes.c_int32, [PROBLEMS]),
    "pumpwright_problems_at": (ctypes.c_bool, [PROBLEMS, ctypes.c_int32, ctypes.POINTER(Problem_)]),
    "pumpwright_problems_free": (None, [PROBLEMS]),
}


def places():
    """Where the library is looked for, best first: named by the environment, beside this module, in the build of the source tree,
    under the prefix that this module is installed in, and where the system looks."""
    named = os.environ.get(ENVIRONMENT)
    if named:
        return [named]
    here = os.path.dirname(os.path.abspath(__file__))
    up = [here]
    while len(up) < 5:
        up.append(os.path.dirname(up[-1]))
    found = [os.path.join(here, FILE)]
    if os.path.isfile(os.path.join(up[2], "include", "pumpwright.h")):  # SOURCE/python/pumpwright
        found.append(os.path.join(up[2], "build", FILE))
    for folder in up[2:]:  # PREFIX/lib/python3/dist-packages/pumpwright
        found.append(os.path.join(folder, FILE))
        found += sorted(glob.glob(os.path.join(glob.escape(folder), "*", FILE)))
    return [name for name in found if os.path.isfile(name)] + [FILE]


def load():
    told = []
    for place in places():
        try:
            library = ctypes.CDLL(place)
            break
        except OSError as error:
            told.append(str(error))
    else:
        raise ImportError(f"{FILE} was not found; `make install` puts it where the system looks, or the environment variable "
                          f"{ENVIRONMENT} names it ({'; '.join(told)})")
    for name, (result, arguments) in FUNCTIONS.items():
        function = getattr(library, name)
        function.restype, function.argtypes = result, arguments
    return library


class Job(threading.Thread):
    """One request at work. In a thread of its own, so that the caller's thread can be interrupted and can tell of progress while
    the library works: it holds no Python lock meanwhile."""

    def __init__(self, call):
        super().__init__(daemon=True)
        self.call, self.answer, self.failed = call, None, None
        self.done, self.words, self.stop = 0.0, "", False

    def run(self):
        host = Host_(None, PROGRESS(self._told), CANCELLED(self._asked))
        try:
            self.answer = self.call(ctypes.byref(host))
        except BaseException as error:  # belongs to the thread that waits
            self.failed = error

    def _told(self, _user, done, words):
        self.done, self.words = done, words.decode(errors="replace")

    def _asked(self, _user):
        return self.stop


def work(calls, progress=None):
    """Answers (addresses) of all calls, made at the same time; each call takes the host. progress(done, words) is called in this
    thread, now and then, with the part done of all. What is raised here meanwhile (Ctrl-C, or in progress) ends all the work first."""
    jobs = [Job(call) for call in calls]
    told = None
    for job in jobs:
        job.start()
    try:
        for job in jobs:
            while job.is_alive():
                job.join(0.05 if progress or threading.current_thread() is threading.main_thread() else None)
                now = (sum(one.done for one in jobs) / len(jobs), job.words)
                if progress and now != told and now[1]:
                    told = now
                    progress(*now)
    except BaseException:
        for job in jobs:
            job.stop = True
        for job in jobs:
            job.join()
            if job.answer:
                LIBRARY.pumpwright_text_free(job.answer)
        raise
    for job in jobs:
        if job.failed:
            raise job.failed
    return [job.answer for job in jobs]


LIBRARY = load()

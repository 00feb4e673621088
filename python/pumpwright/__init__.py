"""Pumpwright: small pumping systems, described once in a site sheet, then checked, sized, simulated and proved.

    import pumpwright

    proof = pumpwright.prove("site.yaml", years=3, horizon="7 d")
    for fault in proof["faults"]:
        print(fault["words"], fault["caught_by"])

Each function is one request of the door (docs/door.md): it takes a site sheet, and the request's keys as keyword arguments with
an underscore where the key has a blank (release_after="1 h"), and gives the answer as a dictionary. Quantities are texts with
their unit ("250 kPa"); numbers in answers are SI. docs/library.md has samples.

A site is the name of a file (YAML or JSON), a Sheet, or a dictionary. What is wrong with it raises Refused, which carries the list of
problems with file, line and column. While the library works other threads run, Ctrl-C ends the work, and progress=f is told of it:
f(done, words), done from 0 to 1; whatever f raises ends the work, too.
"""

import ctypes
import json
import os
from typing import NamedTuple, Optional

from . import _library

__all__ = [
    "Cancelled", "Problem", "Refused", "Sheet", "about", "advise", "ask", "check", "commission", "diagnose", "fit",
    "duty", "faults", "forms", "habits", "handover", "logic", "parameters", "pipes", "prove", "reckon",
    "report", "run", "schema", "settings", "size", "trend", "units", "version", "worst",
]

_C = _library.LIBRARY


class Problem(NamedTuple):
    """One thing that is wrong, or a warning. Texts are "" where there is nothing to say.

    status: "range", "unit", "missing", ... (docs/door.md); path: where in the sheet or the request ("pumps[0].curve[2].head");
    file, line, column: where in the sheet's text, from 1, None and 0 where not known; words: all of it as a sentence.
    """
    status: str
    warning: bool
    path: str
    file: Optional[str]
    line: int
    column: int
    found: str
    expected: str
    hint: str
    words: str

    def __str__(self):
        place = f"{self.file}:{self.line}:{self.column}: " if self.line else f"{self.file}: " if self.file else ""
        return place + ("warning: " if self.warning else "") + self.words


class Refused(ValueError):
    """A request that could not be granted. problems: all that is wrong, a list of Problem; lost: how many more there were."""

    def __init__(self, problems, lost=0):
        super().__init__("\n".join(str(problem) for problem in problems) + (f"\nand {lost} more" if lost else ""))
        self.problems, self.lost = problems, lost


class Cancelled(Refused):
    """The work was stopped before its end."""


def version():
    """Version of the library: "0.1.0"."""
    return _C.pumpwright_version().decode()


def _problems(pointer, sheet):
    """The list behind a pointer, which is freed, and how many were lost."""
    found, one = [], _library.Problem_()
    for index in range(_C.pumpwright_problems_count(pointer)):
        _C.pumpwright_problems_at(pointer, index, ctypes.byref(one))
        texts = {key: getattr(one, key).decode(errors="replace") for key in ("status", "path", "found", "expected", "hint", "words")}
        placed = sheet is not None and sheet.is_text
        found.append(Problem(warning=one.warning, file=sheet.name if placed and one.line else None,
                             line=one.line if placed else 0, column=one.column if placed else 0, **texts))
    lost = _C.pumpwright_problems_lost(pointer)
    _C.pumpwright_problems_free(pointer)
    return found, lost


class Sheet:
    """A site sheet that was read once, to be asked about often.

    Sheet("site.yaml") reads a file; Sheet(text=..., name="site.yaml") takes its text, and looks for measured traces in the folder of
    name; Sheet({...}) takes a dictionary. Raises OSError when there is no such file, Refused when it is neither YAML nor JSON.
    """

    def __init__(self, site=None, *, text=None, name=None):
        self._pointer = None
        self.is_text = not isinstance(site, dict)
        if not self.is_text:
            text, name = json.dumps(site, ensure_ascii=False), name or "site"
        elif text is None:
            name = os.fspath(site)
            with open(name, "rb") as file:
                text = file.read()
        self.name = name or "sheet"
        data = text.encode() if isinstance(text, str) else bytes(text)
        told = _library.PROBLEMS()
        self._pointer = _C.pumpwright_sheet_take(data, len(data), os.fsencode(self.name), ctypes.byref(told))
        self.warnings, lost = _problems(told, self)
        if not self._pointer:
            for_all = [one if one.file or not self.is_text else one._replace(file=self.name) for one in self.warnings]
            raise Refused(for_all, lost)

    def __del__(self):
        if getattr(self, "_pointer", None):
            _C.pumpwright_sheet_free(self._pointer)
            self._pointer = None

    def as_dict(self):
        """The sheet as the door takes it, measured traces filled in."""
        return json.loads(_C.pumpwright_sheet_json(self._pointer))

    def where(self, path):
        """(line, column), from 1, of "vessels[0].precharge" or the nearest thing around it; None when it is not known."""
        line, column = ctypes.c_int32(), ctypes.c_int32()
        known = _C.pumpwright_sheet_where(self._pointer, path.encode(), ctypes.byref(line), ctypes.byref(column))
        return (line.value, column.value) if known and self.is_text else None


def _sheet(site):
    return site if site is None or isinstance(site, Sheet) else Sheet(site)


def _call(do, sheet, keys):
    """What a thread is to do: ask, and give the address of the answer."""
    if sheet is None:
        request = json.dumps({"do": do, **keys}).encode()
        return lambda host: _C.pumpwright_ask(request, len(request), host)
    options = json.dumps(keys).encode()
    return lambda host: _C.pumpwright_sheet_ask(sheet._pointer, do.encode(), options, host)


def _answer(address, sheet):
    if not address:
        raise MemoryError("there is not enough memory")
    try:
        answer = json.loads(ctypes.string_at(address))
        told = answer.get("problems") or answer.get("warnings")
        found, lost = _problems(_C.pumpwright_answer_problems(address, sheet._pointer if sheet else None), sheet) if told else ([], 0)
    finally:
        _C.pumpwright_text_free(address)
    if not answer["ok"]:
        stopped = any(one.status == "cancelled" for one in found)
        raise (Cancelled if stopped else Refused)(found, lost)
    answer["warnings"] = found
    return answer


def _keys(given):
    return {key.replace("_", " "): value for key, value in given.items() if value is not None}


def ask(do, site=None, *, progress=None, **keys):
    """Any request of the door by its name. The answer's "warnings" are a list of Problem."""
    sheet = _sheet(site)
    address, = _library.work([_call(do, sheet, _keys(keys))], progress)
    return _answer(address, sheet)


def check(site, **keys):
    """What a sheet holds, and every default that was taken, with its reason."""
    return ask("check", site, **keys)


def habits(site, **keys):
    """The home behind each measured trace of a site, as a demand of kind household that a sheet takes."""
    return ask("habits", site, **keys)


def pipes(of="", **keys):
    """The standard pipe sizes whose names hold these words ("PVC 50", "PE100"); all of them without."""
    return ask("pipes", of=of, **keys)


def parameters(site, paths=None, **keys):
    """The numbers of a site by their path, with their bounds: all of them, or those of a list of paths. The key set, a dictionary
    {path: "value with unit"}, changes some of them first; so it does in every request about a site."""
    return ask("parameters", site, paths=paths, **keys)


def duty(site, **keys):
    """Where the pumps work: flow, head, power, suction. Key: pressure."""
    return ask("duty", site, **keys)


def size(site, **keys):
    """What fits the site, from demand and levels. Keys: pump, length, seed, sensitivity, explain, catalogue."""
    return ask("size", site, **keys)


def run(site, **keys):
    """One simulation. Keys: length, seed, faults (a list of {"what", "severity", "at", "onset"}), samples, pressures, flows, entries, states,
    release_after, reset_counters, without, ..."""
    return ask("run", site, **keys)


def _shared(verb, site, workers, progress, keys, again):
    """All parts of a request from several processors, then the answer made of them. again: the parts once more, of the list at work."""
    sheet = _sheet(site)
    given = {}
    for name in ("outcomes", "outcomes again") if again else ("outcomes",):
        parts = [_call(verb, sheet, {**_keys(keys), **given, "part": [index, workers]}) for index in range(workers)]
        outcomes = []
        refused = None
        for address in _library.work(parts, progress):  # every answer is taken up, and freed, also behind one that refuses
            try:
                outcomes += _answer(address, sheet)["outcomes"]
            except Refused as error:
                refused = refused or error
        if refused:
            raise refused
        given[name] = sorted(outcomes, key=lambda outcome: outcome["job"])
    return ask(verb, sheet, **keys, **given)


def prove(site, *, workers=1, progress=None, **keys):
    """Which faults the settings catch, how soon, and which they never see. Keys: years, horizon, sweep, seed, onset, confidence,
    places, onsets, pairs. workers: how many processors share the work; the answer is the same, byte for byte."""
    if workers <= 1:
        return ask("prove", site, progress=progress, **keys)
    return _shared("prove", site, workers, progress, keys, False)


def advise(site, *, workers=1, progress=None, **keys):
    """Which watches to type: the whole list, with reasons and margins. Keys: years, horizon, sweep, seed, places, onsets, keep,
    no_sensor, able (lists of texts), at_most ("1 in 2 years"), water_price, ... workers as of prove."""
    if workers <= 1:
        return ask("advise", site, progress=progress, **keys)
    return _shared("advise", site, workers, progress, keys, True)


def report(site, **keys):
    """A proof as papers: the answer of prove with "text" and "html". The same keys."""
    return ask("report", site, **keys)


def handover(site, **keys):
    """The paper that is left on site. Keys: text, html, document, proof, years, horizon, sweep, seed, grade, date, installer, owner, call."""
    return ask("handover", site, **keys)


def commission(site, readings=None, **keys):
    """Readings of the day held against what is expected: a list of {"what", "reads", "error"}. Without them: what is expected. Key:
    grade."""
    return ask("commission", site, readings=readings, **keys)


def trend(site, readings, **keys):
    """Readings over the years: a list of {"what", "day", "si"}; when each will cross the limit of a sound site. Key: grade."""
    return ask("trend", site, readings=readings, **keys)


def logic(site, **keys):
    """The control settings as a program for another machine. Keys: as_ ("c" or "st"), pump."""
    if "as_" in keys:
        keys["as"] = keys.pop("as_")
    return ask("logic", site, **keys)


def worst(site, **keys):
    """The worst that the settings allow, whatever the sensors say: most starts in any hour, longest runs, standstills."""
    return ask("worst", site, **keys)


def diagnose(site, readings=None, **keys):
    """What readings on site, or a log (log={"signals": [...], "rows": [[t, value...]]}, in s and SI; then site may be None), say has gone
    wrong, and what to do next. readings: a list of {"what", "over"} with "starts" and "ran" of
    a "pump" ("counters", "quiet counters") or with "from" and "to" ("gauge at rest", "gauge with the pump shut off"). Key: seed."""
    if readings is not None:
        keys["readings"] = readings
    return ask("diagnose", site, **keys)


def fit(site, log, numbers=None, **keys):
    """Numbers of the site held against a log ({"signals": [...], "rows": [[t, value...]]}, in s and SI): what fits, how surely, and what the
    log cannot tell. numbers: what may be off, paths ("vessels[0].precharge", "pumps[*].curve[*].head") and "leak". Key: seed."""
    return ask("fit", site, log=log, numbers=numbers, **keys)


def settings(site, sentences=None, **keys):
    """Control sentences as they are understood: those of the site, or others on its sensors and pumps."""
    return ask("settings", site, sentences=sentences, **keys)


def forms(site, **keys):
    """How control sentences are typed, with examples for the site's own sensors. Keys: units, ..."""
    return ask("forms", site, **keys)


def faults(site=None, **keys):
    """The faults that there are; with a site: whether each can happen there, and the severities tried."""
    return ask("faults", site, **keys)


def reckon(what=None, given=None, **inputs):
    """One formula by its name: reckon("friction factor", reynolds=1e5, relative_roughness=0.001). Inputs whose name is no Python name
    go into the dictionary given. Without a name: the list of formulas."""
    if what is None:
        return ask("reckon")
    return ask("reckon", what=what, given={**(given or {}), **_keys(inputs)})


def schema():
    """The JSON Schema of the site sheet."""
    return ask("schema")["schema"]


def units(**keys):
    """The dimensions, and the units that they are read and shown in."""
    return ask("units", **keys)


def about():
    """Version, and the list of requests with their keys."""
    return ask("about")

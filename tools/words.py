"""Words stand in core/say: what tools/tidy checks of the catalogues, and how much prose is left in the other folders.

Each area has core/say/en_AREA.c and de_AREA.c with rows {"area.id", "template"}: sorted, the same ids and the same values
in every language, each id used in the sources, each id of the sources there.
tools/prose.allow names the files with literals of two or more words, how many, and what they are: none is prose.
"""
import os
import re
import sys

LANGUAGES = ("en", "de")
STRING = r'"(?:\\.|[^"\\\n])*"'
ROW = re.compile(r'\{\s*((?:' + STRING + r'\s*)+),\s*((?:' + STRING + r'\s*)+)\}')
# No prose to be moved: the help of the sheet's table, and the texts of formulas; their German is compared below.
HELD_ELSEWHERE = re.compile(r"core/(say/|formula/|site/(table\w*|schema|special|reference)\.c|door/verbs\.inc)")
ASSERT = re.compile(r"\b(?:_Static_assert|assert)\s*\((?:[^()\"]|\([^()]*\)|" + STRING + r")*\)\s*;")
PROSE = re.compile(r"[A-Za-z]{2,}[,:;.]? +[A-Za-z]{2,}")
MARKUP = re.compile(r"[<>{}]|=\\\"|\bpw-\w|:var\(|[;:]\s*[\w-]+:|px\b|%;|!important|serif|border|charset=")


def without_comments(text):
    return re.sub(r'(' + STRING + r")|//[^\n]*|/\*.*?\*/", lambda m: m.group(1) or re.sub(r"[^\n]", " ", m.group(0)), text, flags=re.S)


def literals(code):
    for line, text in enumerate(code.split("\n"), 1):
        if text.lstrip().startswith("#include"):
            continue
        for match in re.finditer(STRING, text):
            yield line, match.group(0)[1:-1]


def joined(pieces):
    return "".join(piece[1:-1] for piece in re.findall(STRING, pieces))


def rows_of(root, path):
    """id -> (line, template), and the ids in their order."""
    code = without_comments(open(os.path.join(root, path), encoding="utf-8").read())
    rows, order = {}, []
    for match in ROW.finditer(code):
        name, words = joined(match.group(1)), joined(match.group(2))
        rows[name] = (code.count("\n", 0, match.start()) + 1, words)
        order.append(name)
    return rows, order


def places(words):
    return sorted(set(re.findall(r"\{\^?(\d)", words)))


def balanced(words):
    depth = 0
    for letter in words:
        depth += {"{": 1, "}": -1}.get(letter, 0)
        if depth < 0:
            return False
    return depth == 0 and not re.search(r"\{(?!\^?[0-7][:?}])", words)


def check_catalogues(root, names, wrong):
    areas = sorted({match.group(2) for name in names
                    if (match := re.match(r"core/say/(\w\w)_(\w+)\.c$", name)) and match.group(1) in LANGUAGES})
    known = {}
    for area in areas:
        first = None
        for language in LANGUAGES:
            path = f"core/say/{language}_{area}.c"
            if path not in names:
                wrong(path, 1, "it is missing: each area stands in every language")
                continue
            rows, order = rows_of(root, path)
            for before, after in zip(order, order[1:]):
                if not before.encode() < after.encode():
                    wrong(path, rows[after][0], f"\"{after}\" stands behind \"{before}\": rows are sorted, each once")
            for name, (line, words) in rows.items():
                if not name.startswith(area + "."):
                    wrong(path, line, f"\"{name}\" belongs to another area")
                if not balanced(words):
                    wrong(path, line, f"\"{name}\": a brace without its partner, or a place that is none")
            if first is None:
                first = rows
                known.update({name: (path, line) for name, (line, words) in rows.items()})
                continue
            for name in sorted(set(first) ^ set(rows)):
                wrong(path, rows[name][0] if name in rows else 1, f"\"{name}\" stands in one language only")
            for name in sorted(set(first) & set(rows)):
                if places(first[name][1]) != places(rows[name][1]):
                    wrong(path, rows[name][0], f"\"{name}\": other values than in {LANGUAGES[0]}_{area}.c")
    id_shape = re.compile(r"(" + "|".join(areas) + r")\.[a-z0-9][a-z0-9.-]*$") if areas else None
    used = set()
    for name in names:
        catalogue = re.match(r"core/say/(en|de)_\w+\.c$", name)
        if catalogue or not name.startswith(("core/", "shell/", "tests/unit/say/")) or not name.endswith((".c", ".h", ".inc")):
            continue
        code = without_comments(open(os.path.join(root, name), encoding="utf-8").read())
        for line, text in literals(code):
            if id_shape and id_shape.match(text):
                used.add(text)
                if text not in known and name.startswith("core/"):
                    wrong(name, line, f"\"{text}\" stands in no catalogue (core/say)")
    for name in sorted(set(known) - used):
        wrong(*known[name], f"\"{name}\" is used nowhere")


REASON = re.compile(r"\b(?:DEFAULT|DERIVED)\(\s*[^,\"]+,\s*((?:" + STRING + r"\s*)+)\)")
BLOCK = re.compile(r"pw_block pw_block_\w+ = \{[^;]*?\.help\s*=\s*((?:" + STRING + r"\s*)+)")
TITLE = re.compile(r"\.(?:title|says|source|hand)\s*=\s*((?:" + STRING + r"\s*)+)")
RIGHT = re.compile(r"pw_rows_refuse\(r,\s*\"[^\"]*\",\s*((?:" + STRING + r"\s*)+)\)")
HELP = re.compile(r"\bPW_(?:NEED|NEED_IN|MAY|MAY_IN|WORDS|MAYBE_WORDS|LIST|GIVE|GIVE_IN)\((?:[^()]|\([^()]*\))*?,"
                  r"\s*((?:" + STRING + r"\s*)+)\)")
KEY_HELP = re.compile(r"\.help\s*=\s*((?:" + STRING + r"\s*)+)|\bHELP\(\s*((?:" + STRING + r"\s*)+)\)")
GERMAN = "core/say/german_rows.c", "core/say/german_formulas.c", "core/say/german_inputs.c", "core/say/german_help.c"


def check_german_rows(root, names, wrong):
    """Reasons of defaults, the help of keys and the texts of formulas stand in rows in English; each has its German."""
    rows, there = {}, set()
    for path in GERMAN:
        if path not in names:
            continue
        here, order = rows_of(root, path)
        for before, after in zip(order, order[1:]):
            if not before.encode() < after.encode():
                wrong(path, here[after][0], f"\"{after}\" stands behind \"{before}\": rows are sorted, each once")
        rows.update({text: (path, line) for text, (line, _) in here.items()})
    for name in names:
        reasons = re.match(r"core/site/(table\w*|special)\.c$", name)
        formulas = re.match(r"core/formula/(rows_\w+|registry)\.c$", name)
        if not reasons and not formulas:
            continue
        code = without_comments(open(os.path.join(root, name), encoding="utf-8").read())
        there |= {text for _, text in all_literals(code)}
        for match in [m for shape in ((REASON, BLOCK, KEY_HELP) if reasons else (TITLE, HELP, RIGHT)) for m in shape.finditer(code)]:
            text = joined(next(group for group in match.groups() if group))
            if text and text not in rows:
                home = GERMAN[3] if match.re is KEY_HELP else GERMAN[not reasons]
                wrong(name, code.count("\n", 0, match.start()) + 1, f"no German in {home}: \"{text}\"")
    for text in sorted(set(rows) - there):
        wrong(*rows[text], f"no row of a table says \"{text}\"")


def all_literals(code):
    """Literals with their neighbours joined, as the compiler does."""
    for match in re.finditer(STRING + r"(?:\s*" + STRING + ")*", code):
        yield code.count("\n", 0, match.start()) + 1, joined(match.group(0))


def prose_in(root, names):
    """file -> literals of two or more words that are no markup, no id of a catalogue and no assertion."""
    count = {}
    for name in names:
        if not re.match(r"(core|shell/(cli|adapt|server|library))/(\w+/)?\w+\.(c|h|inc)$", name) or HELD_ELSEWHERE.match(name):
            continue
        code = ASSERT.sub("", without_comments(open(os.path.join(root, name), encoding="utf-8").read()))
        prose = sum(1 for _, text in literals(code) if PROSE.search(text) and not MARKUP.search(text))
        if prose:
            count[name] = prose
    return count


def check_prose(root, names, wrong, warn):
    """tools/prose.allow: a file, how many such literals it may hold, and what they are instead of prose."""
    path = "tools/prose.allow"
    allowed = {}
    for line in open(os.path.join(root, path), encoding="utf-8"):
        if line.strip() and not line.startswith("#"):
            name, number, _ = line.split(None, 2)
            allowed[name] = int(number)
    count = prose_in(root, names)
    for name in sorted(set(count) | set(allowed)):
        most, there = allowed.get(name, 0), count.get(name, 0)
        if there > most:
            wrong(name, 1, f"{there} literals that read like prose; at most {most} ({path}): words belong into core/say")
        elif there < most:
            warn(name, 1, f"{there} literals that read like prose; {path} may now say so ({most})")


def wrapped(name, words):
    """One row, its template cut at blanks where a line would be too long."""
    line = f'    {{"{name}", "{words}"}},'
    if len(line) <= 120:
        return line + "\n"
    return f'    {{{cut(name)},\n     {cut(words)}}},\n'


def cut(text):
    """A literal, in pieces of a line each."""
    pieces, rest = [], text
    while len(rest) > 104:
        at = rest.rfind(" ", 0, 104)
        at = at if at > 0 else rest.find(" ", 104)
        if at < 0:
            break
        pieces.append(rest[:at + 1])
        rest = rest[at + 1:]
    pieces.append(rest)
    return "\n     ".join(f'"{piece}"' for piece in pieces)


def put_in_order(path):
    """Write a catalogue anew: head as it is, rows sorted and wrapped."""
    text = open(path, encoding="utf-8").read()
    head, rest = text.split("static const say_row rows[] = {\n", 1)
    body, tail = rest.rsplit("};\n", 1)
    rows = {}
    for match in ROW.finditer(without_comments(body)):
        name = joined(match.group(1))
        if name in rows:
            sys.exit(f"{path}: \"{name}\" stands there twice")
        rows[name] = joined(match.group(2))
    lines = "".join(wrapped(name, rows[name]) for name in sorted(rows, key=lambda name: name.encode()))
    with open(path, "w", encoding="utf-8") as file:
        file.write(head + "static const say_row rows[] = {\n" + lines + "};\n" + tail)


if __name__ == "__main__":
    # tools/words.py core/say/en_prove.c ...: sorts and wraps the rows of these catalogues
    for argument in sys.argv[1:]:
        put_in_order(argument)

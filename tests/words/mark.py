"""A catalogue of core/say in which every word stands in marks: python3 mark.py core/say/de_AREA.c OUT.c

A program with these catalogues says in marks what it takes from them, and without marks the user's own words, numbers,
units, and whatever prose escaped the catalogues (test_words.py looks for that).
"""
import os
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "tools"))
import words  # noqa: E402

OPEN, CLOSE = "\u27e6", "\u27e7"


def each_word(run):
    """Marks around each word, so that no line break falls into a mark."""
    return re.sub(r"(?:\\.|[^\s\\])+", lambda m: OPEN + m.group(0) + CLOSE if re.search(r"[^\W\d_]", re.sub(r"\\.", "", m.group(0)))
                  else m.group(0), run)


def marked(template):
    """Marks around each word of text; places, bars and braces stay as they are."""
    out, depth, run = [], 0, ""

    def end():
        nonlocal run
        out.append(each_word(run))
        run = ""

    at = 0
    while at < len(template):
        place = re.match(r"\{\^?[0-7][:?}]", template[at:])
        if place:
            end()
            out.append(place.group(0))
            depth += place.group(0)[-1] != "}"
            at += len(place.group(0))
        elif depth > 0 and template[at] in "|}":
            end()
            out.append(template[at])
            depth -= template[at] == "}"
            at += 1
        else:
            run += template[at]
            at += 1
    end()
    return "".join(out)


def main():
    source, target = sys.argv[1:]
    name_of = os.path.basename(source)[:-2]  # de_paper, or german_rows: texts by the English that stands in a table
    rows, order = words.rows_of("", source)
    with open(target, "w", encoding="utf-8") as file:
        file.write('#include "say/catalogue.h"\n\nstatic const say_row rows[] = {\n')
        for name in order:
            words_of = marked(rows[name][1]) if name_of.startswith("de_") else each_word(rows[name][1])
            file.write(f'    {{"{name}", "{words_of}"}},\n')
        file.write(f"}};\n\nSAY_CATALOGUE(say_{name_of})\n")


main()

#!/usr/bin/env python3
"""Draws the house: the folders of src/Keyline as rooms, the files in them, and what uses what, into docs/images/house.svg.

usage: make-house.py [--check]     with --check nothing is written; exit 1 where the drawing is out of date or an arrow goes the wrong way

An arrow stands for a type that is named in code, not for a "using" line. Names in comments and texts do not count, nor names
behind a dot, which are members. Rooms stand in the order of the data; in a room, a file stands below those it uses. Every arrow
then goes up or to the left, and one that does not is drawn red and named: it closes a circle, or uses a room that comes later.
Needs Python only; the same sources give the same bytes.
"""
import collections
import glob
import html
import os
import re
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
CORE = os.path.join(HERE, "..", "src", "Keyline")
PICTURE = os.path.join(HERE, "images", "house.svg")
COMMON, CHAIN = "for all", "the chain"
ORDER = [COMMON, "Planar", "Elevation", "Terrain", "Drainage", "Landform", "Field", "Check", "Layout", "Guidance", "SetOut", "Driven", CHAIN]
KINDS = {"class", "struct", "interface", "enum", "record", "delegate"}
TOKEN = re.compile(r'//[^\n]*|/\*.*?\*/|\$*"""+.*?"""+|[$@]*"(?:\\.|""|[^"\\])*"|\'(?:\\.|[^\'\\])\'|[A-Za-z_]\w*|[{}()=:;,.<>]|==|=>', re.S)


def tokens(text):
    return [t for t in TOKEN.findall(text) if not t.startswith(("//", "/*", '"', "$", "@", "'"))]


def declared(words):
    """Names of the types that stand at the top of a file."""
    depth, names = 0, []
    for i, word in enumerate(words):
        depth += (word == "{") - (word == "}")
        if depth == 0 and word in KINDS and i + 1 < len(words):
            after = words[i + 1]
            if after in ("struct", "class"):  # record struct
                continue
            if word == "delegate":  # the name stands before the bracket
                j = next((j for j in range(i, len(words)) if words[j] == "("), None)
                after = words[j - 1] if j else after
            if words[i - 1] != ":" and after[0].isupper():
                names.append(after)
    return names


def named(words, rooms):
    """Names that can be types: none behind a dot but where a room stands before it, none set in an initializer or as an argument."""
    for i, word in enumerate(words):
        if not word[0].isupper():
            continue
        before = words[i - 1] if i else ""
        after = words[i + 1] if i + 1 < len(words) else ""
        if before == "." and (i < 2 or words[i - 2] not in rooms):
            continue
        if before in ("{", ",", "(") and after in ("=", ":"):
            continue
        yield word


def read():
    files = sorted(f for f in glob.glob(os.path.join(CORE, "**", "*.cs"), recursive=True) if not {"bin", "obj"} & set(os.path.relpath(f, CORE).split(os.sep)))
    code = {os.path.relpath(f, CORE).replace(os.sep, "/")[:-3]: tokens(open(f, encoding="utf-8-sig").read()) for f in files}
    owner = {name: file for file, words in code.items() for name in declared(words)}
    rooms = {part for file in code for part in file.split("/")[:-1]}
    return {file: sorted({owner[w] for w in named(words, rooms) if w in owner and owner[w] != file}) for file, words in code.items()}


def rooms_of(uses):
    """The room of each file: its folder; of those beside the folders, the ones that use no folder serve all, the others chain them."""
    return {f: f.split("/")[0] if "/" in f else CHAIN if any("/" in g for g in uses[f]) else COMMON for f in uses}


def rank(files, uses):
    """Files in an order in which each stands after those it uses; those of a circle come last, as they are."""
    order, left = [], sorted(files)
    while left:
        ready = [f for f in left if not any(u in left and u != f for u in uses[f])] or left
        order += ready
        left = [f for f in left if f not in ready]
    return order


NARROW, LINE, HEAD, GAP, WIDE = 232, 13, 26, 22, 4
STYLE = "text { font: 10px sans-serif; fill: #1d242b } .room { font-weight: bold; font-size: 13px } .quiet { fill: #5a636b } path { fill: none; stroke: #5a636b; stroke-opacity: .55 } .wrong { stroke: #d3263f; stroke-opacity: 1; stroke-width: 2 } rect { fill: #fff; stroke: #1d242b }"


def draw(uses):
    rooms_by_file = rooms_of(uses)
    room = rooms_by_file.__getitem__
    present = set(rooms_by_file.values())
    rooms = [r for r in ORDER if r in present] + sorted(present - set(ORDER))
    inside = {r: rank([f for f in uses if room(f) == r], uses) for r in rooms}
    wrong, svg = [], []

    # Rooms in a row, and arcs above them from a room to those it uses, as thick as there are files that do.
    count = collections.Counter((room(f), room(g)) for f in uses for g in uses[f] if room(f) != room(g))
    step = (WIDE * (NARROW + GAP) - GAP) / len(rooms)
    middle = {r: 20 + step * (i + 0.5) for i, r in enumerate(rooms)}
    reach = max(abs(rooms.index(a) - rooms.index(b)) for a, b in count) if count else 1
    floor = 70 + 15 * reach
    for (a, b), n in sorted(count.items(), key=lambda p: (rooms.index(p[0][0]), rooms.index(p[0][1]))):
        back = rooms.index(b) > rooms.index(a)
        if back:
            wrong += ["%s uses %s" % (f, g) for f in uses for g in uses[f] if (room(f), room(g)) == (a, b)]
        x, y, high = middle[a] - 6, middle[b] + 6, 15 * abs(rooms.index(a) - rooms.index(b)) + 8
        svg.append('<path%s d="M%.0f %dC%.0f %d %.0f %d %.0f %d" stroke-width="%.1f" marker-end="url(#tip)"><title>%s uses %s: %d</title></path>' % (
            ' class="wrong"' if back else "", x, floor, x, floor - high * 1.33, y, floor - high * 1.33, y, floor - 2, min(4, 0.6 + n / 12), a, b, n))
    for r in rooms:
        svg.append('<rect x="%.1f" y="%d" width="%.1f" height="34" rx="3"/><text x="%.0f" y="%d" text-anchor="middle"><tspan font-weight="bold">%s</tspan></text><text class="quiet" x="%.0f" y="%d" text-anchor="middle">%d files</text>' % (
            middle[r] - step / 2 + 2, floor, step - 4, middle[r], floor + 14, html.escape(r), middle[r], floor + 27, len(inside[r])))

    # Each room with its files, and arcs at its left from a file up to those it uses.
    bottom = [floor + 60] * WIDE
    for r in rooms:
        column = bottom.index(min(bottom))
        left, top = 20 + column * (NARROW + GAP), bottom[column]
        files = inside[r]
        height = HEAD + LINE * len(files) + 10
        svg.append('<rect x="%d" y="%d" width="%d" height="%d" rx="4"/><text class="room" x="%d" y="%d">%s</text>' % (left, top, NARROW, height, left + 62, top + 18, html.escape(r)))
        place = {f: top + HEAD + LINE * (i + 0.7) for i, f in enumerate(files)}
        for f in files:
            outside = sorted({room(g) for g in uses[f]} - {r}, key=rooms.index)
            said = " from " + ", ".join(outside) if outside else ""
            svg.append('<text x="%d" y="%.1f">%s<title>%s uses %s%s</title></text>' % (
                left + 62, place[f] + 3, html.escape(f.split("/", 1)[-1].replace("/", " / ")), f, ", ".join(g.rsplit("/", 1)[-1] for g in uses[f]) or "nothing", said))
            for g in uses[f]:
                if room(g) != r:
                    continue
                down = files.index(g) > files.index(f)
                if down:
                    wrong.append("%s uses %s in a circle" % (f, g))
                deep = min(50, 6 + 3.2 * abs(files.index(f) - files.index(g)))
                svg.append('<path%s d="M%d %.1fC%.1f %.1f %.1f %.1f %d %.1f" stroke-width=".7" marker-end="url(#tip)"/>' % (
                    ' class="wrong"' if down else "", left + 59, place[f], left + 59 - deep * 1.1, place[f], left + 59 - deep * 1.1, place[g], left + 59, place[g] + 1))
        bottom[column] += height + GAP
    width, height = 20 + WIDE * (NARROW + GAP), max(bottom)
    said = "%d files in %d rooms, %d uses. Arrows go to the left and up, to what is used: %s." % (
        len(uses), len(rooms), sum(map(len, uses.values())), "none goes the other way, so nothing runs in a circle" if not wrong else "%d go the other way" % len(wrong))
    head = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d"><style>%s</style>' % (width, height, width, height, STYLE)
    tip = '<defs><marker id="tip" viewBox="0 0 6 6" refX="5" refY="3" markerWidth="5" markerHeight="5" markerUnits="userSpaceOnUse" orient="auto"><path d="M0 0L6 3L0 6z" style="fill:#5a636b;stroke:none"/></marker></defs>'
    paper = '<rect x="0" y="0" width="%d" height="%d" style="stroke:none"/><text class="room" x="20" y="28">The house of src/Keyline</text><text class="quiet" x="20" y="44">%s</text>' % (width, height, said)
    return "\n".join([head + tip, paper, *svg, "</svg>"]) + "\n", sorted(set(wrong)), said


def main():
    picture, wrong, said = draw(read())
    print(said)
    for line in wrong:
        print("wrong way: " + line)
    if "--check" in sys.argv[1:]:
        old = open(PICTURE, encoding="utf-8").read() if os.path.exists(PICTURE) else ""
        if old != picture:
            print("docs/images/house.svg is out of date: run docs/make-house.py")
        sys.exit(bool(wrong) or old != picture)
    with open(PICTURE, "w", encoding="utf-8", newline="\n") as file:
        file.write(picture)
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()

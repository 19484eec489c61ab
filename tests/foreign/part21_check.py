"""Read STEP files with a Part 21 parser of our own that shares nothing with the writer, and check
grammar (ISO 10303-21), references, the number and kind of attributes of every entity, closed loops,
and the geometry as far as part21_sense.py goes.

    python part21_check.py FILE...             exit 1 if any file is wrong
    python part21_check.py --mutants FILE...   damage each file in many ways; exit 1 if any damage is
                                               not seen (the check of this check)

The table gives each entity's explicit attributes in the order of the standards (ISO 10303-41, 42,
43, 46 as AP214 uses them; from memory), supertypes first. Kinds: t text, r real, i integer,
n reference, e enumeration or logical, d derived (*), u typed value or reference, and in brackets
a list of them; a trailing ? allows $.
"""
import re
import sys

import part21_sense

TABLE = {
    # ISO 10303-41
    "APPLICATION_CONTEXT": "t",
    "APPLICATION_PROTOCOL_DEFINITION": "t t i n",
    "PRODUCT_CONTEXT": "t n t",
    "PRODUCT_DEFINITION_CONTEXT": "t n t",
    "PRODUCT": "t t t? [n]",
    "PRODUCT_RELATED_PRODUCT_CATEGORY": "t t? [n]",
    "PRODUCT_DEFINITION_FORMATION": "t t? n",
    "PRODUCT_DEFINITION": "t t? n n",
    "PRODUCT_DEFINITION_SHAPE": "t t? n",
    "SHAPE_DEFINITION_REPRESENTATION": "n n",
    "NEXT_ASSEMBLY_USAGE_OCCURRENCE": "t t t? n n t?",
    "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION": "n n",
    # ISO 10303-43
    "SHAPE_REPRESENTATION": "t [n] n",
    "ADVANCED_BREP_SHAPE_REPRESENTATION": "t [n] n",
    "ITEM_DEFINED_TRANSFORMATION": "t t? n n",
    "UNCERTAINTY_MEASURE_WITH_UNIT": "u n t t?",
    # ISO 10303-42
    "CARTESIAN_POINT": "t [r]",
    "DIRECTION": "t [r]",
    "VECTOR": "t n r",
    "AXIS2_PLACEMENT_3D": "t n n? n?",
    "LINE": "t n n",
    "CIRCLE": "t n r",
    "ELLIPSE": "t n r r",
    "B_SPLINE_CURVE_WITH_KNOTS": "t i [n] e e e [i] [r] e",
    "PLANE": "t n",
    "CYLINDRICAL_SURFACE": "t n r",
    "CONICAL_SURFACE": "t n r r",
    "SPHERICAL_SURFACE": "t n r",
    "TOROIDAL_SURFACE": "t n r r",
    "B_SPLINE_SURFACE_WITH_KNOTS": "t i i [[n]] e e e e [i] [i] [r] [r] e",
    "VERTEX_POINT": "t n",
    "EDGE_CURVE": "t n n n e",
    "ORIENTED_EDGE": "t d d n e",
    "EDGE_LOOP": "t [n]",
    "FACE_BOUND": "t n e",
    "FACE_OUTER_BOUND": "t n e",
    "ADVANCED_FACE": "t [n] n e",
    "CLOSED_SHELL": "t [n]",
    "MANIFOLD_SOLID_BREP": "t n",
    # ISO 10303-46
    "COLOUR_RGB": "t r r r",
    "FILL_AREA_STYLE_COLOUR": "t n",
    "FILL_AREA_STYLE": "t [n]",
    "SURFACE_STYLE_FILL_AREA": "n",
    "SURFACE_SIDE_STYLE": "t [n]",
    "SURFACE_STYLE_USAGE": "e n",
    "PRESENTATION_STYLE_ASSIGNMENT": "[n]",
    "STYLED_ITEM": "t [n] n",
    "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION": "t [n] n",
}

# Entity types inside a record of several: only their own attributes.
OWN = {
    "LENGTH_UNIT": "", "PLANE_ANGLE_UNIT": "", "SOLID_ANGLE_UNIT": "",
    "NAMED_UNIT": "d", "SI_UNIT": "e? e",
    "GEOMETRIC_REPRESENTATION_CONTEXT": "i",
    "GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT": "[n]",
    "GLOBAL_UNIT_ASSIGNED_CONTEXT": "[n]",
    "REPRESENTATION_CONTEXT": "t t",
    "BOUNDED_CURVE": "", "CURVE": "", "BOUNDED_SURFACE": "", "SURFACE": "",
    "GEOMETRIC_REPRESENTATION_ITEM": "", "REPRESENTATION_ITEM": "t",
    "B_SPLINE_CURVE": "i [n] e e e",
    "B_SPLINE_CURVE_WITH_KNOTS": "[i] [r] e",
    "RATIONAL_B_SPLINE_CURVE": "[r]",
    "B_SPLINE_SURFACE": "i i [[n]] e e e e",
    "B_SPLINE_SURFACE_WITH_KNOTS": "[i] [i] [r] [r] e",
    "RATIONAL_B_SPLINE_SURFACE": "[[r]]",
    "REPRESENTATION_RELATIONSHIP": "t t? n n",
    "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION": "n",
    "SHAPE_REPRESENTATION_RELATIONSHIP": "",
}

# Which entity types go together.
COMPLEX = [
    ["LENGTH_UNIT", "NAMED_UNIT", "SI_UNIT"],
    ["NAMED_UNIT", "PLANE_ANGLE_UNIT", "SI_UNIT"],
    ["NAMED_UNIT", "SI_UNIT", "SOLID_ANGLE_UNIT"],
    ["GEOMETRIC_REPRESENTATION_CONTEXT", "GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT",
     "GLOBAL_UNIT_ASSIGNED_CONTEXT", "REPRESENTATION_CONTEXT"],
    ["BOUNDED_CURVE", "B_SPLINE_CURVE", "B_SPLINE_CURVE_WITH_KNOTS", "CURVE",
     "GEOMETRIC_REPRESENTATION_ITEM", "RATIONAL_B_SPLINE_CURVE", "REPRESENTATION_ITEM"],
    ["BOUNDED_SURFACE", "B_SPLINE_SURFACE", "B_SPLINE_SURFACE_WITH_KNOTS",
     "GEOMETRIC_REPRESENTATION_ITEM", "RATIONAL_B_SPLINE_SURFACE", "REPRESENTATION_ITEM",
     "SURFACE"],
    ["REPRESENTATION_RELATIONSHIP", "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION",
     "SHAPE_REPRESENTATION_RELATIONSHIP"],
]

HEADER = {
    "FILE_DESCRIPTION": "[t] t",
    "FILE_NAME": "t t [t] [t] t t t",
    "FILE_SCHEMA": "[t]",
}

SCHEMAS = {"AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"}
STAMP = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d([+-]\d\d:\d\d|Z)?")

TOKEN = re.compile(r"""
    (?P<blank>[ \n\r\t]+)
  | (?P<real>[+-]?[0-9]+\.[0-9]*(E[+-]?[0-9]+)?)
  | (?P<integer>[+-]?[0-9]+)
  | (?P<name>\#[0-9]+)
  | (?P<text>'(?:[^'\\\x00-\x1f\x7f-\uffff]|''|\\\\|\\X2\\(?:[0-9A-F]{4})+\\X0\\|\\X4\\(?:[0-9A-F]{8})+\\X0\\
               |\\X\\[0-9A-F]{2}|\\S\\[\ -~]|\\P[A-I]\\)*')
  | (?P<enumeration>\.[A-Z_][A-Z0-9_]*\.)
  | (?P<keyword>!?[A-Z_][A-Z0-9_]*)
  | (?P<sign>[(),;=$*])
""", re.X)
MARKS = {"ISO-10303-21", "END-ISO-10303-21"}


class Wrong(Exception):
    pass


def tokens(text):
    """Kind and text of every token; the two opening and closing marks as keywords."""
    at = 0
    while at < len(text):
        mark = next((m for m in MARKS if text.startswith(m, at)), None)
        if mark:
            yield "keyword", mark
            at += len(mark)
            continue
        match = TOKEN.match(text, at)
        if not match:
            line = text.count("\n", 0, at) + 1
            raise Wrong(f"line {line}: no token at {text[at:at + 30]!r}")
        kind = next(k for k, v in match.groupdict().items() if v is not None)
        if kind != "blank":
            yield kind, match.group()
        at = match.end()


class Parser:
    def __init__(self, text):
        self.tokens = list(tokens(text))
        self.at = 0

    def peek(self):
        return self.tokens[self.at] if self.at < len(self.tokens) else ("end", "")

    def take(self, text=None, kind=None):
        token = self.peek()
        if (text is not None and token[1] != text) or (kind is not None and token[0] != kind):
            raise Wrong(f"found {token[1]!r}, wanted {text or kind}")
        self.at += 1
        return token[1]

    def values(self):
        """A list in brackets: (kind, value) pairs."""
        self.take("(")
        out = []
        while self.peek()[1] != ")":
            if out:
                self.take(",")
            out.append(self.value())
        self.take(")")
        return out

    def value(self):
        kind, text = self.peek()
        if text == "(":
            return "list", self.values()
        if kind == "keyword":
            self.take()
            return "typed", (text, self.values())
        if text in ("$", "*") or kind in ("real", "integer", "name", "text", "enumeration"):
            self.take()
            return ("sign" if text in "$*" else kind), text
        raise Wrong(f"found {text!r} in place of a value")

    def record(self):
        return self.take(kind="keyword"), self.values()

    def file(self):
        for word in ("ISO-10303-21", ";", "HEADER", ";"):
            self.take(word)
        header = []
        while self.peek()[1] != "ENDSEC":
            header.append(self.record())
            self.take(";")
        for word in ("ENDSEC", ";", "DATA", ";"):
            self.take(word)
        data = {}
        while self.peek()[1] != "ENDSEC":
            number = self.take(kind="name")
            if number in data:
                raise Wrong(f"{number} stands twice")
            self.take("=")
            data[number] = self.instance()
            self.take(";")
        for word in ("ENDSEC", ";", "END-ISO-10303-21", ";"):
            self.take(word)
        if self.peek()[0] != "end":
            raise Wrong("text after the end")
        return header, data

    def instance(self):
        if self.peek()[1] != "(":
            return [self.record()]
        self.take("(")
        parts = []
        while self.peek()[1] != ")":
            parts.append(self.record())
        self.take(")")
        return parts


def fits(value, kind):
    have, inner = value
    if kind.endswith("?"):
        return (have, inner) == ("sign", "$") or fits(value, kind[:-1])
    if kind.startswith("["):
        return have == "list" and len(inner) > 0 and all(fits(v, kind[1:-1]) for v in inner)
    if kind == "u":
        return have == "name" or (have == "typed" and len(inner[1]) == 1 and fits(inner[1][0], "r"))
    if kind == "d":
        return (have, inner) == ("sign", "*")
    return have == {"t": "text", "r": "real", "i": "integer", "n": "name", "e": "enumeration"}[kind]


def check_record(where, keyword, values, kinds):
    if keyword not in kinds:
        raise Wrong(f"{where}: {keyword} is not in the table")
    wanted = kinds[keyword].split()
    if len(wanted) != len(values):
        raise Wrong(f"{where}: {keyword} has {len(values)} attributes, wanted {len(wanted)}")
    for i, (value, kind) in enumerate(zip(values, wanted)):
        if not fits(value, kind):
            raise Wrong(f"{where}: attribute {i + 1} of {keyword} is {value}, wanted {kind}")


def references(values):
    for have, inner in values:
        if have == "name":
            yield inner
        elif have == "list":
            yield from references(inner)
        elif have == "typed":
            yield from references(inner[1])


def check_header(header):
    if [keyword for keyword, _ in header] != list(HEADER):
        raise Wrong("the header's records are not those of the standard in their order")
    for keyword, values in header:
        check_record("header", keyword, values, HEADER)
    if not STAMP.fullmatch(header[1][1][1][1].strip("'")):
        raise Wrong(f"time stamp {header[1][1][1][1]}")
    if header[2][1][0][1][0][1].strip("'") not in SCHEMAS:
        raise Wrong(f"schema {header[2][1][0][1][0][1]}")


def check_topology(data):
    """Every edge twice and in opposite directions, one outer bound a face, loops that close."""
    used = {}
    for number, parts in data.items():
        keyword, values = parts[0]
        if keyword == "ADVANCED_FACE":
            outer = [b for _, b in values[1][1] if data[b][0][0] == "FACE_OUTER_BOUND"]
            if len(outer) != 1:
                raise Wrong(f"{number}: {len(outer)} outer bounds")
        if keyword == "ORIENTED_EDGE":
            used.setdefault(values[3][1], []).append(values[4][1])
        if keyword == "EDGE_LOOP":
            check_loop(number, [ends(data, e) for _, e in values[1][1]])
    for edge, ways in used.items():
        if sorted(ways) != [".F.", ".T."]:
            raise Wrong(f"{edge} is used {ways}")


def ends(data, oriented):
    _, values = data[oriented][0]
    curve = data[values[3][1]][0][1]
    way = (curve[1][1], curve[2][1])
    return way if values[4][1] == ".T." else way[::-1]


def check_loop(number, steps):
    for (_, end), (start, _) in zip(steps, steps[1:] + steps[:1]):
        if start != end:
            raise Wrong(f"{number}: the loop is open at {end}")


def check_splines(number, parts):
    """Counts of knots, poles and weights; knots rise."""
    flat = dict(parts)
    if len(parts) == 1 and parts[0][0] == "B_SPLINE_CURVE_WITH_KNOTS":
        v = parts[0][1][1:]
        spline(number, [v[0]], [v[1][1]], v[5:6], v[6:7])
    elif len(parts) == 1 and parts[0][0] == "B_SPLINE_SURFACE_WITH_KNOTS":
        v = parts[0][1][1:]
        rows = v[2][1]
        spline(number, v[:2], [rows, rows[0][1]], v[7:9], v[9:11])
    elif "B_SPLINE_CURVE" in flat:
        v, k = flat["B_SPLINE_CURVE"], flat["B_SPLINE_CURVE_WITH_KNOTS"]
        spline(number, v[:1], [v[1][1]], k[:1], k[1:2])
        weights = flat["RATIONAL_B_SPLINE_CURVE"][0][1]
        if len(weights) != len(v[1][1]):
            raise Wrong(f"{number}: {len(weights)} weights for {len(v[1][1])} poles")
    elif "B_SPLINE_SURFACE" in flat:
        v, k = flat["B_SPLINE_SURFACE"], flat["B_SPLINE_SURFACE_WITH_KNOTS"]
        rows = v[2][1]
        spline(number, v[:2], [rows, rows[0][1]], k[:2], k[2:4])
        weights = flat["RATIONAL_B_SPLINE_SURFACE"][0][1]
        if [len(r[1]) for r in weights] != [len(r[1]) for r in rows]:
            raise Wrong(f"{number}: weights and poles differ in number")


def spline(number, degrees, poles, counts, knots):
    for degree, pole, count, knot in zip(degrees, poles, counts, knots):
        count = [int(v) for _, v in count[1]]
        knot = [float(v) for _, v in knot[1]]
        if len(count) != len(knot) or sum(count) != len(pole) + int(degree[1]) + 1:
            raise Wrong(f"{number}: knots {knot} x {count} do not fit {len(pole)} poles")
        if any(a >= b for a, b in zip(knot, knot[1:])):
            raise Wrong(f"{number}: knots do not rise")


def check(text):
    header, data = Parser(text).file()
    check_header(header)
    for number, parts in data.items():
        keywords = [keyword for keyword, _ in parts]
        if len(parts) > 1 and keywords != sorted(keywords):
            raise Wrong(f"{number}: entity types are not in alphabetical order")
        if len(parts) > 1 and keywords not in COMPLEX:
            raise Wrong(f"{number}: {keywords} do not go together")
        for keyword, values in parts:
            check_record(number, keyword, values, OWN if len(parts) > 1 else TABLE)
            for target in references(values):
                if target not in data:
                    raise Wrong(f"{number}: {target} does not exist")
        check_splines(number, parts)
    check_topology(data)
    for words in part21_sense.faults(data):
        raise Wrong(words)
    aimed = {t for parts in data.values() for _, values in parts for t in references(values)}
    roots = {data[n][0][0] for n in data if n not in aimed}
    allowed = {"APPLICATION_PROTOCOL_DEFINITION", "PRODUCT_RELATED_PRODUCT_CATEGORY",
               "SHAPE_DEFINITION_REPRESENTATION", "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION",
               "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"}
    if not roots <= allowed:
        raise Wrong(f"nothing refers to {sorted(roots - allowed)}")
    millimetres = [n for n, parts in data.items() for k, v in parts
                   if k == "SI_UNIT" and [x for _, x in v] == [".MILLI.", ".METRE."]]
    if len(millimetres) != 1:
        raise Wrong(f"{len(millimetres)} units of a millimetre")
    return len(data)


# What to look for and what to put in its place, once, at the first find.
MUTANTS = [
    (r"=CARTESIAN_POINT\(''", "=CARTESIAN_POINT("),
    (r"=DIRECTION\('',\(", "=DIRECTION('',('x',"), (r"=VERTEX_POINT\('',#\d+\)", "=VERTEX_POINT('',#99999)"),
    (r"ORIENTED_EDGE\('',\*,\*,#(\d+),\.T\.", r"ORIENTED_EDGE('',*,*,#\1,.F."),
    (r"ORIENTED_EDGE\('',\*,\*", "ORIENTED_EDGE('',$,$"),
    (r"=FACE_OUTER_BOUND", "=FACE_BOUND"), (r"=EDGE_LOOP\(''", "=EDGE_LOOP('',1"),
    (r"=CLOSED_SHELL\('',", "=CLOSED_SHELL($,"), (r"=MANIFOLD_SOLID_BREP", "=MANIFOLD_SOLID"),
    (r"\.MILLI\.", "$"), (r"\.METRE\.", "'METRE'"), (r"1\.E-6", "1E-6"), (r"0\.,", "0,"),
    (r"T00:", " 00:"), (r"AUTOMOTIVE_DESIGN", "ISO-10303-042"), (r"\(''\),\(''\)", "'',''"),
    (r"'split face'", "'split\x07face'"), (r"'split face'", "'split ' face'"),
    (r"'split face'", "'split \\\\X2\\\\00C\\\\X0\\\\'"), (r"ENDSEC;\nDATA", "DATA"),
    (r"END-ISO-10303-21;\n", ""), (r"=PRODUCT\(", "=product("), (r"#2=", "#1="),
    (r"NAMED_UNIT\(\*\)SI_UNIT", "SI_UNIT"), (r"=LINE\(", "=CIRCLE("),
    (r"\n#\d+=STYLED_ITEM[^;]*;", ""),
]


def unseen_mutants(text):
    for find, put in MUTANTS:
        mutant, count = re.subn(find, put, text, count=1)
        if not count:
            continue
        try:
            check(mutant)
            yield f"{find} -> {put}"
        except Wrong:
            pass
    for face in re.finditer(r"=ADVANCED_FACE\([^;]*(\.[TF]\.)\);", text):
        flag = {".T.": ".F.", ".F.": ".T."}[face.group(1)]
        try:
            check(text[:face.start(1)] + flag + text[face.end(1):])
            yield f"{face.group()} turned"
        except Wrong:
            pass


def mutants(paths):
    unseen = 0
    for path in paths:
        with open(path, encoding="ascii", newline="") as file:
            for words in unseen_mutants(file.read()):
                unseen += 1
                print(f"{path}: not seen: {words}")
    print(f"{len(paths)} files damaged, {unseen} damages not seen")
    return 1 if unseen else 0


def main(paths):
    if paths[:1] == ["--mutants"]:
        return mutants(paths[1:])
    if not paths:
        print(__doc__)
        return 2
    bad = 0
    for path in paths:
        try:
            with open(path, encoding="ascii", newline="") as file:
                count = check(file.read())
            print(f"{path}: {count} records, all right")
        except (Wrong, UnicodeDecodeError) as error:
            bad += 1
            print(f"{path}: {error}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

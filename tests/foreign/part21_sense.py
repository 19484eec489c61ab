"""Geometry of parsed Part 21 data, by plain formulas: do edges lie on elementary surfaces, and does
each face look out of the body as its loops say? (The foreign kernel mends a wrong same_sense
without a word; other readers need not.)

The sense is checked by Stokes' theorem: the vector area of the outer loop is the integral of the
face's normal, so it points the way of the surface's mean normal, or against it if same_sense is
false. The mean is taken over the loop, for splines over the control net: right for faces that
cover up to half a turn.
"""
import math

TOLERANCE = 1e-6
STEPS = 24


def minus(a, b):
    return [x - y for x, y in zip(a, b)]


def plus(a, b, s=1.0):
    return [x + s * y for x, y in zip(a, b)]


def dot(a, b):
    return sum(x * y for x, y in zip(a, b))


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def length(a):
    return math.sqrt(dot(a, a))


def unit(a):
    size = length(a)
    return [x / size for x in a]


class Geometry:
    def __init__(self, data):
        self.data = data

    def only(self, number):
        return self.data[number][0]

    def triple(self, number):
        return [float(v) for _, v in self.only(number)[1][1][1]]

    def placement(self, number):
        values = self.only(number)[1]
        origin, z, x = (self.triple(values[i][1]) for i in (1, 2, 3))
        z = unit(z)
        x = unit(plus(x, z, -dot(x, z)))
        return origin, x, cross(z, x), z

    def vertex(self, number):
        return self.triple(self.only(number)[1][1][1])

    def edge(self, number):
        """Points along an EDGE_CURVE from its first vertex to its second."""
        values = self.only(number)[1]
        ends = self.vertex(values[1][1]), self.vertex(values[2][1])
        if values[4][1] == ".F.":
            return self.along(values[3][1], *ends[::-1])[::-1]
        return self.along(values[3][1], *ends)

    def along(self, curve, start, end):
        keyword, values = self.only(curve)
        if keyword == "LINE":
            return [plus(start, minus(end, start), i / STEPS) for i in range(STEPS + 1)]
        if keyword in ("CIRCLE", "ELLIPSE"):
            origin, x, y, _ = self.placement(values[1][1])
            a = float(values[2][1])
            b = float(values[-1][1])

            def angle(p):
                return math.atan2(dot(minus(p, origin), y) / b, dot(minus(p, origin), x) / a)

            first = angle(start)
            turn = (angle(end) - first) % (2 * math.pi)
            turns = [first + turn * i / STEPS for i in range(STEPS + 1)]
            return [plus(plus(origin, x, a * math.cos(t)), y, b * math.sin(t)) for t in turns]
        return self.spline(curve)

    def spline(self, curve):
        parts = dict(self.data[curve])
        if len(parts) == 1:
            values = parts["B_SPLINE_CURVE_WITH_KNOTS"][1:]
            form, spans, weights = values[:5], values[5:], None
        else:
            form, spans = parts["B_SPLINE_CURVE"], parts["B_SPLINE_CURVE_WITH_KNOTS"]
            weights = [float(v) for _, v in parts["RATIONAL_B_SPLINE_CURVE"][0][1]]
        poles = [self.triple(n) for _, n in form[1][1]]
        weights = weights or [1.0] * len(poles)
        knots = [float(k) for (_, n), (_, k) in zip(spans[0][1], spans[1][1]) for _ in range(int(n))]
        poles = [[c * w for c in p] + [w] for p, w in zip(poles, weights)]
        low, high = knots[0], knots[-1]
        at = [low + (high - low) * i / STEPS for i in range(STEPS + 1)]
        return [de_boor(int(form[0][1]), knots, poles, t) for t in at]

    def surface(self, number):
        """A function from a point to (distance, normal), or None and the mean normal of a net."""
        parts = dict(self.data[number])
        if "B_SPLINE_SURFACE" in parts or "B_SPLINE_SURFACE_WITH_KNOTS" in parts:
            values = parts.get("B_SPLINE_SURFACE") or parts["B_SPLINE_SURFACE_WITH_KNOTS"][1:]
            return None, net_normal([[self.triple(n) for _, n in row] for _, row in values[2][1]])
        keyword, values = self.only(number)
        origin, _, _, z = self.placement(values[1][1])
        sizes = [float(v) for _, v in values[2:]]

        def look(p):
            d = minus(p, origin)
            h = dot(d, z)
            radial = plus(d, z, -h)
            if keyword == "PLANE":
                return h, z
            if keyword == "SPHERICAL_SURFACE":
                return length(d) - sizes[0], unit(d)
            if keyword == "CYLINDRICAL_SURFACE":
                return length(radial) - sizes[0], unit(radial)
            if keyword == "CONICAL_SURFACE":
                sin, cos = math.sin(sizes[1]), math.cos(sizes[1])
                normal = plus([c * cos for c in unit(radial)], z, -sin)
                return (length(radial) - sizes[0]) * cos - h * sin, normal
            tube = plus(d, unit(radial), -sizes[0])
            return length(tube) - sizes[1], unit(tube)

        return look, None


def de_boor(degree, knots, poles, t):
    last = len(poles) - 1
    k = next((i for i in range(last, degree - 1, -1) if knots[i] <= t), degree)
    work = [list(poles[k - degree + j]) for j in range(degree + 1)]
    for r in range(1, degree + 1):
        for j in range(degree, r - 1, -1):
            i = k - degree + j
            s = (t - knots[i]) / (knots[i + degree - r + 1] - knots[i])
            work[j] = [(1 - s) * a + s * b for a, b in zip(work[j - 1], work[j])]
    *p, w = work[degree]
    return [c / w for c in p]


def net_normal(net):
    total = [0.0] * 3
    for a, b in zip(net, net[1:]):
        for i in range(len(a) - 1):
            total = plus(total, cross(minus(b[i + 1], a[i]), minus(a[i + 1], b[i])), 0.5)
    return total


def vector_area(points):
    total = [0.0] * 3
    for p, q in zip(points, points[1:] + points[:1]):
        total = plus(total, cross(minus(p, points[0]), minus(q, points[0])), 0.5)
    return total


def faults(data):
    """What is wrong with the geometry, in words."""
    geometry = Geometry(data)
    for number, parts in data.items():
        if parts[0][0] == "ADVANCED_FACE":
            yield from face_faults(geometry, number)


def loop_points(geometry, bound):
    """Points round a bound, in its direction."""
    _, values = geometry.only(bound)
    points = []
    for _, oriented in geometry.only(values[1][1])[1][1][1]:
        _, edge = geometry.only(oriented)
        steps = geometry.edge(edge[3][1])
        points += steps[:-1] if edge[4][1] == ".T." else steps[:0:-1]
    return points if values[2][1] == ".T." else points[::-1]


def face_faults(geometry, number):
    _, values = geometry.only(number)
    look, mean = geometry.surface(values[2][1])
    flat = geometry.only(values[2][1])[0] == "PLANE"
    sense = 1.0 if values[3][1] == ".T." else -1.0
    for _, bound in values[1][1]:
        points = loop_points(geometry, bound)
        normal = mean
        if look:
            seen = [look(p) for p in points]
            worst = max(abs(d) for d, _ in seen)
            if worst > TOLERANCE:
                yield f"{number}: an edge lies {worst} off its surface"
            normal = [sum(n[i] for _, n in seen) for i in range(3)]
        outer = geometry.only(bound)[0] == "FACE_OUTER_BOUND"
        # Round a hole in a curved face the mean over the loop says nothing of the face.
        if outer or flat:
            way = sense if outer else -sense
            if way * dot(vector_area(points), normal) <= 0:
                yield f"{number}: a loop runs the wrong way round the face's normal"

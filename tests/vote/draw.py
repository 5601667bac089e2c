"""What `make vote` asks: heads and requests drawn with a seed, as the program reads them and as the witness does."""
from fractions import Fraction as F
from math import gcd

from witness import Head, Request

WORMS = [F(40)] * 4 + [F(60), F(72), F(90), F(5), F(120), F(77, 2), F(9, 2), F(41, 3), F(7, 5), F(119, 3)]
METHODS = ["direct", "plain", "differential", "compound", "nearly-exact", "nearest-hole", "nearest-compound", "dial"]
GEARS = [24, 24, 28, 32, 36, 40, 44, 48, 56, 64, 72, 86, 100]
PLATES = [[15, 16, 17, 18, 19, 20], [21, 23, 27, 29, 31, 33], [37, 39, 41, 43, 47, 49], [24, 25, 28, 30, 34, 37],
          [38, 39, 41, 42, 43], [46, 47, 49, 51, 53, 54], [57, 58, 59, 62, 66]]


def side(rng):
    """Circles of a side: a usual one, part of one, or any."""
    if rng.random() < 0.5:
        usual = rng.choice(PLATES)
        return rng.sample(usual, rng.randint(2, len(usual)))
    return rng.sample(range(2, 70), rng.randint(1, 6))


def direct_plate(rng, most):
    """Circles of a direct plate or a fixture, and the pins of each."""
    circles = rng.sample([24, 30, 36, 60, rng.randint(2, 23), rng.randint(61, 200)], rng.randint(1, most))
    with_pins = rng.random() < 0.3
    return {holes: rng.choice([1, 5, 10, rng.randint(2, 20)]) if with_pins else 1 for holes in circles}


def head(rng):
    if rng.random() < 0.06:
        return Head(direct=direct_plate(rng, 2))        # a spin fixture: no worm
    worm = rng.choice(WORMS) if rng.random() < 0.8 else F(rng.randint(1, 200), rng.randint(1, 12))
    dial = (rng.choice([100, 150, 240, rng.randint(2, 400)]), rng.choice([1, 1, 5, 6, 10])) if rng.random() < 0.4 else None
    plates = [] if dial and rng.random() < 0.4 else [(side(rng), side(rng) if rng.random() < 0.4 else []) for _ in range(rng.randint(1, 3))]
    direct, gears = direct_plate(rng, 3) if rng.random() < 0.5 else {}, []
    if rng.random() < 0.4:
        gears = rng.sample(GEARS, rng.randint(1, 5)) if rng.random() < 0.6 else [rng.randint(12, 60) for _ in range(rng.randint(3, 5))]
    mounted = (rng.randrange(len(plates)), 0) if plates and rng.random() < 0.5 else None
    return Head(worm, direct, plates, rng.choice(["same", "same", "other", "none"]), gears, rng.random() < 0.3,
                rng.choice([0, 0, 50, 80]), rng.choice([0, 0, 140, 110]),
                rng.choice([None, None, F(1, 21600), F(30, 1296000), F(5, 21600)]),
                rng.choice([None, F(3, 21600), F(10, 1296000)]), mounted, dial,
                rng.choice([None, None, F(1, 21600), F(4, 21600)]) if dial else None)


def profile(drawn):
    """The text of the profile."""
    lines = ["[head]", "title = Drawn for a vote"]
    if drawn.worm is not None:
        lines += [f"worm = {drawn.worm}", f"plate_pin = {drawn.pin}"]
        if drawn.mounted is not None:
            lines.append(f"mounted = P{drawn.mounted[0]} {drawn.mounted[1] + 1}")
    if drawn.direct:
        lines += ["[direct]", "holes = " + " ".join(map(str, drawn.direct))]
        if set(drawn.direct.values()) != {1}:
            lines.append("vernier = " + " ".join(map(str, drawn.direct.values())))
    for i, sides in enumerate(drawn.plates):
        lines.append(f"[plate P{i}]")
        lines += [f"side {s + 1} = " + " ".join(map(str, circles)) for s, circles in enumerate(sides) if circles]
    if drawn.dial:
        lines += ["[dial]", f"lines = {drawn.dial[0]}", f"vernier = {drawn.dial[1]}", "numbered = lines"]
    if drawn.gears:
        lines += ["[gears]", "teeth = " + " ".join(map(str, drawn.gears)),
                  "reversed = " + ("yes" if drawn.is_reversed else "no")]
        lines += [f"least-sum = {drawn.least_sum}"] if drawn.least_sum else []
        lines += [f"most-sum = {drawn.most_sum}"] if drawn.most_sum else []
    holds = [(key, value) for key, value in (("worm", drawn.worm_holds), ("direct", drawn.direct_holds), ("dial", drawn.dial_holds)) if value]
    if holds:
        lines += ["[accuracy]"] + [f"{key} = {angle(value)}" for key, value in holds]
    return "\n".join(lines) + "\n"


def angle(turns, rng=None):
    """A spelling of an angle."""
    size, sign = abs(turns), "-" if turns < 0 else ""
    ways = [f"{turns}rev"]
    if (size * 360).denominator == 1:
        ways.append(f"{sign}{size * 360}")
    if 1000 % (size * 360).denominator == 0:
        thousandths = size * 360000
        ways.append(f"{sign}{thousandths // 1000}.{int(thousandths % 1000):03}")
    if (size * 1296000).denominator == 1:
        seconds = int(size * 1296000)
        ways.append(f"{sign}{seconds // 3600}d{seconds // 60 % 60}m{seconds % 60}s")
    return ways[0] if rng is None else rng.choice(ways)


def is_prime(n):
    return n > 1 and all(n % d for d in range(2, int(n ** 0.5) + 1))


def divisions(rng, drawn):
    """Small, usual, large, and primes; and some that a circle of the head serves."""
    kind = rng.random()
    if drawn.spots and rng.random() < 0.2:
        return gcd(rng.choice(sorted(drawn.spots)) * drawn.worm.numerator, rng.choice([360, 720, 840, 1001, 2310, 46189]))
    if kind < 0.2:
        return rng.randint(1, 24)
    if kind < 0.8:
        return rng.randint(2, 200)
    if kind < 0.93:
        return rng.choice([rng.randint(200, 1000), rng.choice([240, 360, 365, 400, 720, 1000])])
    n = rng.randint(1000, 60000)
    while kind > 0.96 and not is_prime(n):
        n += 1
    return n


def any_angle(rng, low, high):
    below = rng.choice([8, 24, 360, 21600, 40 * 21, 7 * 49, rng.randint(1, 5000)])
    return F(rng.randint(low * below, high * below), below)


def limits(methods, circle, tolerance, rng):
    """The words that narrow a request."""
    words = [word for method in sorted(methods or ()) for word in ("--method", method)]
    words += ["--circle", str(circle)] if circle else []
    return words + (["--tolerance", angle(tolerance, rng)] if tolerance is not None else [])


def one_hole_each(rng, drawn):
    """Divisions of a circle or an arc that are one hole of it each, and perhaps half a hole off: where rounding must decide."""
    scale = rng.choice(sorted(drawn.spots)) * drawn.worm
    n = rng.randint(1, 60)
    if scale.denominator == 1 and scale <= 2000 and rng.random() < 0.5:
        n = int(scale)
    return n, n / scale, F(2 * rng.randint(-3, 3) + 1, 2) / scale if rng.random() < 0.7 else F(0)


def half_a_unit_off(rng, drawn):
    """An offset that leaves places of a circle or a pair half a unit off, also some turns before or behind zero."""
    unit = rng.choice(sorted(drawn.spots) + [couple[2] for couple in drawn.couples])
    return F(2 * rng.randint(-2 * unit, 2 * unit) + 1, 2) / (unit * drawn.worm) + rng.choice([0, 0, -1, -2, 1])


def request(rng, drawn):
    """request_of, and now and then the dial read by eye."""
    asked, words = request_of(rng, drawn)
    if drawn.dial and rng.random() < 0.2:
        asked.by_eye = rng.choice([2, 5, 10])
        words += ["--by-eye", str(asked.by_eye)]
    return asked, words


def request_of(rng, drawn):
    """(a Request, the words of its command line, whether it is a list)."""
    tolerance = rng.choice([None, None, None, F(0), F(rng.randint(1, 3600), 1296000 * rng.choice([1, 10, 60]))])
    methods = None if rng.random() < 0.75 else set(rng.sample(METHODS, rng.randint(1, 4)))
    circles = sorted(drawn.spots) + list(drawn.direct) + ([drawn.dial[0] * drawn.dial[1]] if drawn.dial else [])
    circle = rng.choice(circles) if rng.random() < 0.12 else 0
    if rng.random() < 0.2:
        positions = [any_angle(rng, -1, 2) for _ in range(rng.randint(1, 10))]
        if rng.random() < 0.5:      # of one family, so that some are exact
            below = rng.choice([24, 57, 96, 360, rng.randint(2, 400)])
            positions = [F(rng.randint(-below, 2 * below), below) for _ in positions]
        asked = Request(methods=methods, circle=circle, tolerance=tolerance, positions=positions)
        words = ["angles"] + [angle(p, rng) for p in positions]
    else:
        n, arc, offset, block = divisions(rng, drawn), F(1), F(0), 0
        if drawn.spots and rng.random() < 0.05:
            n, arc, offset = one_hole_each(rng, drawn)
            words = ["divide", str(n), "--arc", angle(arc, rng), "--offset=" + angle(offset, rng)]
            return Request(n, arc, offset, 0, methods, circle, tolerance), words + limits(methods, circle, tolerance, rng)
        words = ["divide", str(n)]
        if rng.random() < 0.12:
            arc = any_angle(rng, 0, 1) or F(1, 4)
            words += ["--arc", angle(arc, rng)]
        elif rng.random() < 0.12 and n > 1:
            block = rng.randint(1, n - 1)
            while gcd(block, n) > 1:
                block -= 1
            words += ["--block", str(block)]
        if rng.random() < 0.2:
            offset = half_a_unit_off(rng, drawn) if drawn.spots and rng.random() < 0.4 else any_angle(rng, -2, 2)
            words.append("--offset=" + angle(offset, rng))
        asked = Request(n, arc, offset, block, methods, circle, tolerance)
    return asked, words + limits(methods, circle, tolerance, rng)

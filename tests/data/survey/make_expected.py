"""Expected shapes for tests/before_survey.rs, by an outside least squares.

Run in a virtual environment outside the repository: pip install scipy==1.17.1
    python make_expected.py > expected.csv
Invented openings (seeded); readings rounded to 1/64 in with planted noise. The model is the one stated
in src/before/survey.rs (same weights), solved by scipy.optimize.least_squares (trf), from another start.
"""
import random
import numpy as np
import scipy
from scipy.optimize import least_squares

TAPE, BOW, UNREAD, USUAL, WEAK = 1 / 64, 1 / 128, 1 / 32, 1 / 8, 200.0
rng = random.Random(20260302)


def gives(s):
    w, rx, ry, lx, ly, bl, br, bb, bt = s
    p = [np.array(q) for q in [(0, 0), (w, 0), (lx, ly), (rx, ry)]]
    d = lambda a, b: float(np.linalg.norm(a - b))
    mid = lambda a, b: (a + b) / 2
    return [
        d(p[0], p[1]), d(mid(p[0], p[2]), mid(p[1], p[3])) + bl + br, d(p[2], p[3]),
        d(p[0], p[2]), d(mid(p[0], p[1]), mid(p[2], p[3])) + bb + bt, d(p[1], p[3]),
        d(p[0], p[3]), d(p[2], p[1]),
    ]


print("# scipy", scipy.__version__, "least_squares; readings (64ths; empty: not taken): 3 widths, 3 heights, 2 diagonals, 4 bows; then 9 numbers, in")
for case in range(40):
    w, h = rng.uniform(9, 36), rng.uniform(6, 40)
    n = lambda s: rng.gauss(0, s)
    true = [w, w + n(1 / 16), h + n(1 / 16), n(1 / 16), h + n(1 / 16)] + [n(1 / 64) for _ in range(4)]
    tape = [round((g + n(1 / 100)) * 64) for g in gives(true)]
    bows = [round((b + n(1 / 200)) * 64) if rng.random() < 0.6 else None for b in true[5:]]
    if case % 3 == 2:  # a partial survey
        for i in rng.sample([1, 2, 4, 5, 6, 7], rng.randint(1, 4)):
            tape[i] = None

    def residual(s):
        r = [(t / 64 - g) / TAPE for t, g in zip(tape, gives(s)) if t is not None]
        r += [(b / 64 - x) / BOW if b is not None else -x / UNREAD for b, x in zip(bows, s[5:])]
        few = lambda cells, need: USUAL if sum(c is not None for c in cells) < need else WEAK
        sd = [few(tape[0:3], 2), few(tape[3:6], 2), few(tape[6:8], 1)]
        off = [s[1] - s[3] - s[0], s[2] - s[4], (s[3] + s[1] - s[0]) / 2]
        r += [-o / d for o, d in zip(off, sd)]
        return r

    found = least_squares(residual, [w * 1.02, w * 0.97, h * 1.03, 0.2, h, 0.01, 0, 0, 0], xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale=1.0, max_nfev=5000)
    cells = ["" if v is None else str(v) for v in tape + bows] + [f"{x:.9f}" for x in found.x]
    print(",".join(cells))

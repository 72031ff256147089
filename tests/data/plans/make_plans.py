"""Expected plans from an outside LP library: scipy.optimize.linprog (HiGHS).

Shares nothing with the crate: its own geometry, its own geometry of pairs and stacks, a plain
enumeration of all sets of edges, stage after stage with a stated slack. Invented, seeded openings.

    python make_plans.py > plans.json

Each problem is written as evenreveal-fit/1 with what this script finds for it.
"""
import itertools, json, random, sys, time
import numpy as np
import scipy
from scipy.optimize import linprog

SLACK = 1e-10          # what a later stage may give back of an earlier one
SERVES = 1e-9          # "fits" against "does not"
EDGES = ["left", "right", "bottom", "top"]
OPPOSITE = {"left": "right", "right": "left", "bottom": "top", "top": "bottom"}


def length(text, unit):
    """The few writings used here: a number in the unit, or a fraction in inches."""
    return text if isinstance(text, (int, float)) else sum(
        (lambda p: float(p[0]) / float(p[1]) if len(p) > 1 else float(p[0]))(part.split("/"))
        for part in text.split())


def lp(c, G, h, bounds):
    r = linprog(c, A_ub=G, b_ub=h, bounds=bounds, method="highs-ds",
                options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10})
    if r.status == 2:
        return None
    if r.status != 0:
        raise RuntimeError(r.message)
    return r


class Model:
    def __init__(self, p):
        mm = p["unit"] == "mm"
        self.k = 1 / 25.4 if mm else 1.0     # the LP itself in inches: HiGHS' tolerances are absolute
        self.leaves = p["leaves"]
        self.index = {l["id"]: i for i, l in enumerate(self.leaves)}
        n = len(self.leaves)
        self.nx = 11 * n                     # per leaf: u v th, then 4 edges x 2 ends
        self.tol = length(p["tolerance"], p["unit"]) * self.k
        self.size = [(length(l["width"], "") * self.k, length(l["height"], "") * self.k) for l in self.leaves]
        rows, g, tg, owners = [], [], [], []
        for gap in p["gaps"]:
            sides = [s for s in gap["between"] if s != "frame"]
            for r in gap["readings"]:
                row = np.zeros(self.nx)
                own = []
                for place, side in enumerate(sides):
                    leaf, edge = side.split(".")
                    i = self.index[leaf]
                    s = length(r["at"], "") * self.k
                    if place == 1:
                        s -= length(gap.get("offset", 0), "") * self.k
                    self.add(row, i, edge, s)
                    own.append((i, edge))
                if "lap" in r:
                    v = -length(r["lap"], "")
                elif "gap" in r:
                    v = length(r["gap"], "")
                else:
                    v = (length(r["goes"], "") + length(r["stops"], "")) / 2
                rows.append(row); g.append(v * self.k); tg.append(length(gap["target"], "") * self.k); owners.append(own)
        self.A, self.g, self.t, self.owners = np.array(rows), np.array(g), np.array(tg), owners
        self.may = [(i, e) for i, l in enumerate(self.leaves) for e in EDGES if e in l["may_cut"]]
        self.wood = np.zeros(self.nx)
        for i in range(n):
            for k, e in enumerate(EDGES):
                L = self.size[i][1] if k < 2 else self.size[i][0]
                self.wood[11 * i + 3 + 2 * k: 11 * i + 5 + 2 * k] = L / 2

    def add(self, row, i, edge, s):
        w, h = self.size[i]
        o, k = 11 * i, EDGES.index(edge)
        L = h if k < 2 else w
        c = s - L / 2
        if edge == "left":
            row[o] += 1; row[o + 2] -= c
        elif edge == "right":
            row[o] -= 1; row[o + 2] += c
        elif edge == "bottom":
            row[o + 1] += 1; row[o + 2] += c
        else:
            row[o + 1] -= 1; row[o + 2] -= c
        row[o + 3 + 2 * k] += 1 - s / L
        row[o + 4 + 2 * k] += s / L

    def bounds(self, cut):
        b = []
        for i, l in enumerate(self.leaves):
            b += [(None, None) if l.get("motion", "free") == "free" else (0, 0)] * 3
            for e in EDGES:
                b += [(0, None) if (i, e) in cut else (0, 0)] * 2
        return b

    def worst(self, cut):
        m, n = self.g - self.t, len(self.g)
        one = np.ones((n, 1))
        r = lp(np.r_[np.zeros(self.nx), 1], np.block([[self.A, -one], [-self.A, -one]]), np.r_[-m, m],
               self.bounds(cut) + [(0, None)])
        return r.fun

    def plan(self, cut, even):
        m, n = self.g - self.t, len(self.g)
        z = self.worst(cut)
        L = len(self.leaves)
        nd = 2 * L if even else 0
        I, Z = np.eye(n), np.zeros((n, nd))
        G = np.block([[self.A, -I, Z], [-self.A, -I, Z]])
        h = np.r_[-m, m]
        for i in range(L if even else 0):
            for q, (a, b) in enumerate([(0, 1), (3, 2)]):
                for sign in (1, -1):
                    row = np.zeros(self.nx + n + nd)
                    row[11 * i + 3 + 2 * a: 11 * i + 5 + 2 * a] += sign / 2
                    row[11 * i + 3 + 2 * b: 11 * i + 5 + 2 * b] -= sign / 2
                    row[self.nx + n + 2 * i + q] = -1
                    G = np.vstack([G, row]); h = np.r_[h, 0]
        b = self.bounds(cut) + [(0, z + SLACK)] * n + [(0, None)] * nd
        stages = [np.r_[np.zeros(self.nx), np.ones(n), np.zeros(nd)]]
        if even:
            stages.append(np.r_[np.zeros(self.nx + n), np.ones(nd)])
        stages.append(np.r_[self.wood, np.zeros(n + nd)])
        got = []
        for c in stages:
            r = lp(c, G, h, b)
            got.append(r.fun)
            G = np.vstack([G, c]); h = np.r_[h, r.fun + SLACK]
        return dict(worst=z, sum=got[0], wood=got[-1])

    def least(self, cut, effect, base):
        """Smallest extra unknown with every |miss + effect*x| <= tol/2."""
        e = effect.reshape(-1, 1)
        half = np.full(len(self.g), self.tol / 2)
        r = lp(np.r_[np.zeros(self.nx), 1], np.block([[self.A, e], [-self.A, -e]]), np.r_[half - base, half + base],
               self.bounds(cut) + [(0, None)])
        return None if r is None else r.fun

    def solve(self, even):
        m = self.g - self.t
        now = float(np.abs(m).max())
        reach = self.worst(self.may)
        out = dict(now=now, reach=reach, even_reveal=self.least(self.may, -np.ones(len(m)), self.g), strips=[])
        if now <= self.tol + SERVES:
            return dict(out, verdict="fitted", worst_after=now, sum_after=float(np.abs(m).sum()), wood=0.0, cuts=0)
        allowed = max(reach, self.tol / 2)
        for k in range(len(self.may) + 1):
            found = []
            for cut in itertools.combinations(self.may, k):
                if self.worst(cut) <= allowed + SERVES:
                    found.append(self.plan(cut, even))
            if found:
                least = min(f["wood"] for f in found)
                # equal wood: the more even one
                best = min((f for f in found if f["wood"] <= least + 1e-7), key=lambda f: (round(f["worst"], 7), f["sum"]))
                break
        out.update(worst_after=best["worst"], sum_after=best["sum"], wood=best["wood"], cuts=k)
        out["verdict"] = "short" if reach > self.tol + SERVES else ("cut" if k else "move")
        if out["verdict"] == "short":
            for i, l in enumerate(self.leaves):
                for e in EDGES:
                    effect = np.array([-1.0 if (i, e) in own else 0.0 for own in self.owners])
                    if effect.any():
                        t = self.least(self.may, effect, m)
                        if t is not None:
                            out["strips"].append([l["id"], e, t])
            out["strips"].sort(key=lambda s: s[2])
        return out

    def out(self, r):
        for key in ["now", "reach", "even_reveal", "worst_after", "sum_after"]:
            if r[key] is not None:
                r[key] = round(r[key] / self.k, 9)
        r["wood"] = round(r["wood"] / self.k ** 2, 9)
        r["strips"] = [[a, b, round(t / self.k, 9)] for a, b, t in r["strips"]]
        return r


def problem(rng, kind):
    """One opening: kind says what is special about it."""
    mm = kind == "metric"
    u = 25.4 if mm else 1.0
    q = (lambda v: round(v * 25.4, 2)) if mm else (lambda v: round(v, 4))
    n = {"pair": 2, "stack": 2, "three": 3}.get(kind, 1)
    side = kind != "stack" and kind != "three" or rng.random() < 0.5
    target = rng.choice([1 / 16, 3 / 32, 1 / 8])
    tol = rng.choice([1 / 64, 1 / 64, 1 / 32])
    shift = {"wide": 0.12, "over": -0.06}.get(kind, -0.04)      # mean of gap minus target
    spread = {"nearly": 0.004, "moved": 0.0015}.get(kind, 0.03)
    shift = 0.0 if kind == "moved" else shift
    u0, v0, th0 = (rng.choice([-1, 1]) * rng.uniform(0.03, 0.06), rng.uniform(-0.05, 0.05), rng.uniform(-0.001, 0.001)) \
        if kind == "moved" else (0.0, 0.0, 0.0)
    if kind == "nearly":
        shift = rng.choice([0.0, 0.0, 0.02])
    leaves = []
    for i in range(n):
        w, h = round(rng.uniform(6, 20), 2), round(rng.uniform(5, 40), 2)
        if i and side:
            h = leaves[0]["h"]
        if i and not side:
            w = leaves[0]["w"]
        may = list(EDGES)
        if kind in ("locked", "pair", "stack", "three") or rng.random() < 0.4:
            may = [e for e in EDGES if rng.random() < (0.45 if n == 3 else 0.7)]
        leaves.append(dict(w=w, h=h, id="ABC"[i], may=may))
    lines = []
    for i, l in enumerate(leaves):
        for e in EDGES:
            before, after = (side and e == "left" or not side and e == "bottom"), (side and e == "right" or not side and e == "top")
            if before and i:
                continue
            L = l["h"] if e in ("left", "right") else l["w"]
            me, other, offset = f"{l['id']}.{e}", "frame", 0.0
            if after and i + 1 < n:
                other = f"{leaves[i + 1]['id']}.{OPPOSITE[e]}"
                if rng.random() < 0.3:
                    offset = round(rng.uniform(-0.9, 0.9), 2)
            ats = [1.0, L - 1.0]
            if kind == "bow" or rng.random() < 0.25:
                ats.insert(1, round(L / 2, 2))
            a, b, bow = (rng.gauss(shift, spread) for _ in range(3))
            readings = []
            for at in ats:
                s = at / L
                c = at - L / 2
                v = {"left": u0 - th0 * c, "right": -u0 + th0 * c, "bottom": v0 + th0 * c, "top": -v0 - th0 * c}[e] if kind == "moved" else 0.0
                v += target + a * (1 - s) + b * s + (bow - shift) * 0.6 * 4 * s * (1 - s)
                if kind == "gonogo" or (not mm and rng.random() < 0.1 and v > 0):
                    n64 = max(0, int(v * 64))
                    readings.append(dict(at=q(at), goes=f"{n64}/64", stops=f"{n64 + 1}/64"))
                elif v < 0:
                    readings.append(dict(at=q(at), lap=q(-v)))
                else:
                    readings.append(dict(at=q(at), gap=q(v)))
            gap = dict(between=[me, other] if rng.random() < 0.5 or other != "frame" else [other, me],
                       target=q(target), readings=readings)
            if offset:
                gap["offset"] = q(offset)
            lines.append(gap)
    if kind == "incomplete":
        for gap in rng.sample(lines, rng.randint(1, 2)):
            gap["readings"] = gap["readings"][: rng.randint(0, 1)]
    p = dict(format="evenreveal-fit/1", unit="mm" if mm else "in", tolerance=q(tol) if mm else f"{int(tol * 64)}/64",
             prefer="even-stiles" if rng.random() < 0.35 else "least-wood",
             leaves=[dict(id=l["id"], width=q(l["w"]), height=q(l["h"]), may_cut=l["may"],
                          motion="fixed" if kind == "fixed" or rng.random() < 0.03 else "free") for l in leaves],
             gaps=lines)
    for l in p["leaves"]:
        if rng.random() < 0.7:
            l["hinge"] = rng.choice(["left", "right"])
    return p


def main():
    rng = random.Random(20260211)
    kinds = (["single"] * 12 + ["locked"] * 8 + ["bow"] * 6 + ["metric"] * 6 + ["wide"] * 6 + ["over"] * 5 + ["gonogo"] * 6
             + ["fixed"] * 4 + ["nearly"] * 6 + ["incomplete"] * 4 + ["pair"] * 6 + ["stack"] * 5 + ["three"] * 1)
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 600
    cases = []
    spent = {}
    # Then 40 that only sit wrong, from a seed of their own.
    moved = random.Random(7)
    for i in range(count + 40):
        kind = kinds[i % len(kinds)] if i < count else "moved"
        p = problem(rng if i < count else moved, kind)
        model = Model(p)
        if not len(model.g):
            continue
        began = time.perf_counter()
        r = model.out(model.solve(p["prefer"] == "even-stiles"))
        spent.setdefault(len(p["leaves"]), []).append(time.perf_counter() - began)
        cases.append(dict(kind=kind, problem=p, plan=r))
    for n, times in spent.items():
        print(f"{n} leaves: {len(times)} problems, median {1e6 * np.median(times):.0f} us", file=sys.stderr)
    head = dict(source=f"scipy.optimize.linprog (HiGHS), scipy {scipy.__version__}, numpy {np.__version__}, "
                       f"Python {sys.version.split()[0]}; invented, seeded openings")
    print(json.dumps(head)[:-1] + ', "cases": [')
    print(",\n".join(json.dumps(c, separators=(",", ":")) for c in cases))
    print("]}")


if __name__ == "__main__":
    main()

"""Plain planner reference: brute force and a HiGHS model of the same instance."""
import itertools
import numpy as np
from scipy import optimize, sparse

LEAVE = "leave"

def closure(inst, job):
    acc = {a["id"]: a for a in inst["access"]}; todo = list(job["needs"]); out = set()
    while todo:
        a = todo.pop()
        if a not in out:
            out.add(a); todo += acc[a]["needs"]
    return out

def access_cost(inst, a, occ):
    c = a["cost"]
    return c[occ] if isinstance(c, dict) else c

def evaluate(inst, pick):
    """pick: job -> occasion or 'leave'. None if a constraint is broken, else (cost, access used per occasion)."""
    occ = [o["id"] for o in inst["occasions"]]; J = {j["id"]: j for j in inst["jobs"]}; A = {a["id"]: a for a in inst["access"]}
    for j in inst["jobs"]:
        t = pick[j["id"]]
        if t not in j["cost"]: return None
        if j.get("by") is not None and (t == LEAVE or occ.index(t) > occ.index(j["by"])): return None
    for g in inst.get("together", []):
        if len({pick[j] for j in g}) > 1: return None
    for g in inst.get("exclusive", []):
        if sum(pick[j] != LEAVE for j in g) > 1: return None
    for x, y in inst.get("before", []):          # y may be planned only if x is planned at the same time or earlier
        if pick[y] != LEAVE and (pick[x] == LEAVE or occ.index(pick[x]) > occ.index(pick[y])): return None
    use = {t: set() for t in occ}
    for j, t in pick.items():
        if t != LEAVE: use[t] |= closure(inst, J[j])
    for t in occ:
        on = [J[j] for j in pick if pick[j] == t]
        L = inst.get("limits", {}).get(t, {})
        if "hours" in L and sum(j["hours"] for j in on) + sum(A[a]["hours"] for a in use[t]) > L["hours"] + 1e-9: return None
        if "cash" in L and sum(j["cash"] for j in on) + sum(access_cost(inst, A[a], t) for a in use[t]) > L["cash"] + 1e-9: return None
    c = sum(J[j]["cost"][t] for j, t in pick.items()) + sum(access_cost(inst, A[a], t) for t in occ for a in use[t])
    return c, use

def brute(inst, forbid=()):
    occ = [o["id"] for o in inst["occasions"]] + [LEAVE]; ids = [j["id"] for j in inst["jobs"]]; best, second = None, None
    for ch in itertools.product(occ, repeat=len(ids)):
        if any((i, t) in forbid for i, t in zip(ids, ch)): continue
        r = evaluate(inst, dict(zip(ids, ch)))
        if r is None: continue
        if best is None or r[0] < best[0] - 1e-12: best, second = (r[0], dict(zip(ids, ch)), r[1]), best
        elif second is None or r[0] < second[0]: second = (r[0], dict(zip(ids, ch)), r[1])
    return best, second

def model(inst):
    """Columns x[j,t], y[a,t]; returns c, A_ub, b_ub, A_eq, b_eq, names."""
    occ = [o["id"] for o in inst["occasions"]]; names, c = [], []
    ix = {}
    for j in inst["jobs"]:
        for t in occ + [LEAVE]:
            if t in j["cost"]: ix["x", j["id"], t] = len(names); names.append(("x", j["id"], t)); c.append(j["cost"][t])
    for a in inst["access"]:
        for t in occ: ix["y", a["id"], t] = len(names); names.append(("y", a["id"], t)); c.append(access_cost(inst, a, t))
    ub, ubv, eq, eqv = [], [], [], []
    for j in inst["jobs"]:
        eq.append({ix["x", j["id"], t]: 1 for t in occ + [LEAVE] if ("x", j["id"], t) in ix}); eqv.append(1)
        for t in occ:
            if ("x", j["id"], t) in ix:
                for a in j["needs"]: ub.append({ix["x", j["id"], t]: 1, ix["y", a, t]: -1}); ubv.append(0)
        if j.get("by") is not None:
            k = occ.index(j["by"]); eq.append({ix["x", j["id"], t]: 1 for t in occ[:k + 1] if ("x", j["id"], t) in ix}); eqv.append(1)
    for a in inst["access"]:
        for q in a["needs"]:
            for t in occ: ub.append({ix["y", a["id"], t]: 1, ix["y", q, t]: -1}); ubv.append(0)
    for g in inst.get("together", []):
        for k in g[1:]:
            for t in occ: eq.append({ix["x", g[0], t]: 1, ix["x", k, t]: -1}); eqv.append(0)
    for g in inst.get("exclusive", []):
        ub.append({ix["x", j, t]: 1 for j in g for t in occ if ("x", j, t) in ix}); ubv.append(1)
    for x, y in inst.get("before", []):
        for k, t in enumerate(occ):
            r = {ix["x", y, t]: 1}
            for s in occ[:k + 1]: r[ix["x", x, s]] = r.get(ix["x", x, s], 0) - 1
            ub.append(r); ubv.append(0)
    for t, L in inst.get("limits", {}).items():
        for key in ("hours", "cash"):
            if key in L:
                r = {ix["x", j["id"], t]: j[key] for j in inst["jobs"] if ("x", j["id"], t) in ix}
                for a in inst["access"]: r[ix["y", a["id"], t]] = a["hours"] if key == "hours" else access_cost(inst, a, t)
                ub.append(r); ubv.append(L[key])
    def mat(rows):
        R, C, V = [], [], []
        for i, r in enumerate(rows):
            for k, v in r.items(): R.append(i); C.append(k); V.append(v)
        return sparse.csr_matrix((V, (R, C)), shape=(len(rows), len(names)))
    return np.array(c, float), mat(ub), np.array(ubv, float), mat(eq), np.array(eqv, float), names

def highs(inst, relax=False, gap=0.0):
    c, A, ub, E, eq, names = model(inst)
    cons = [optimize.LinearConstraint(E, eq, eq)]
    if A.shape[0]: cons.append(optimize.LinearConstraint(A, -np.inf, ub))
    r = optimize.milp(c, constraints=cons, integrality=np.zeros(len(c)) if relax else np.ones(len(c)), bounds=optimize.Bounds(0, 1), options=dict(mip_rel_gap=gap))
    return r, names

def explain(inst, best):
    """for each job planned now: what is lost if it may not be done now; which access it shares and with whom."""
    J = {j["id"]: j for j in inst["jobs"]}; A = {a["id"]: a for a in inst["access"]}; first = inst["occasions"][0]["id"]; out = {}
    on = [j for j, t in best[1].items() if t == first]
    for j in on:
        alt = brute(inst, forbid={(j, first)})[0]
        cl = closure(inst, J[j]); rides = {a: sorted(k for k in on if k != j and a in closure(inst, J[k])) for a in sorted(cl)}
        out[j] = dict(saves=None if alt is None else alt[0] - best[0], otherwise=None if alt is None else alt[1][j], own_access=sum(access_cost(inst, A[a], first) for a, w in rides.items() if not w), shared={a: w for a, w in rides.items() if w})
    return out

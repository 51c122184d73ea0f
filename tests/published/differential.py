#!/usr/bin/env python3
"""Computes the grid of phys_dump a second time and prints the largest disagreement.

Written from the published formulas, not from the C: R 22 as a plain sum of powers, inversions by
SciPy's brentq, the room by numerical integration of its differential equation. Skipped (77) when
SciPy is not installed (Debian: python3-scipy).
"""
import math
import os
import subprocess
import sys

try:
    from scipy.integrate import solve_ivp
    from scipy.optimize import brentq
except ImportError:
    print("skipped: SciPy is not installed (Debian: python3-scipy)")
    sys.exit(77)

# OIML R 22: A_k, B_k and C_i,k as printed.
A = [9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
     3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4]
B = [-2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11]
C = [
    [1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2,
     3.924090430035045e3, -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4,
     1.852373922069467e4, -7.420201433430137e3, 1.285617841998974e3],
    [-1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1,
     -5.029988758547014e1, 1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2,
     -4.414153236817392e1, 7.442971530188783],
    [-6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220,
     -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461,
     -5.411227621436812e-1],
    [4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6],
    [-2.788074354782409e-8, 1.345612883493354e-8],
]
# Freezing line, Lange's Handbook table 5.13: % vol, degC.
FREEZING = [(0, 0), (3.13, -1), (6, -2), (8.47, -3), (14, -5), (17, -6.1), (20.2, -7.5),
            (21.5, -8.7), (23.1, -9.4), (24.8, -10.6), (27, -12.2), (29.5, -14), (32.4, -16),
            (36.1, -18.9), (40.5, -23.6), (46.3, -28.7)]
LIST = [(5, 62), (10, 49), (20, 36), (30, 29), (40, 26), (50, 24), (60, 22), (70, 21), (80, 20),
        (90, 17), (96, 17), (100, 13)]
M_ETHANOL, M_WATER = 46.069, 18.0153
SIXTY_F = 140 / 9
ATM = 101.325


def interpolate(table, x):
    for (x0, y0), (x1, y1) in zip(table, table[1:]):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return None


def rho(p, t):
    d = t - 20
    terms = [a * p ** k for k, a in enumerate(A)]
    terms += [b * d ** (k + 1) for k, b in enumerate(B)]
    for i, row in enumerate(C):
        terms += [c * p ** (k + 1) * d ** (i + 1) for k, c in enumerate(row)]
    return math.fsum(terms)


def vol20(p):
    return 100 * p * rho(p, 20) / rho(1, 20)


def density(p, t):
    if not -20 <= t <= 40:
        return None
    if t < 0:
        line = interpolate([(b, a) for a, b in reversed(FREEZING)], t)
        if vol20(p) < line:
            return None
    return rho(p, t)


def p_of_vol(vol, _=0):
    return brentq(lambda p: vol20(p) - vol, 0, 1, xtol=1e-15)


def p_of_proof(proof, _=0):
    return brentq(lambda p: 200 * p * rho(p, SIXTY_F) / rho(1, SIXTY_F) - proof, 0, 1, xtol=1e-15)


def p_of_density(reading, t):
    true = reading * (1 - 25e-6 * (t - 20))
    if not rho(1, t) <= true <= rho(0, t):
        return None
    return brentq(lambda p: rho(p, t) - true, 0, 1, xtol=1e-15)


def x_of_vol(vol):
    p = p_of_vol(vol)
    return (p / M_ETHANOL) / (p / M_ETHANOL + (1 - p) / M_WATER)


def ethanol_kpa(t):
    tau = 1 - (t + 273.15) / 513.92
    bracket = -8.68587 * tau + 1.17831 * tau ** 1.5 - 4.8762 * tau ** 2.5 + 1.588 * tau ** 5
    return 6132.0 * math.exp(bracket / (1 - tau))


def water_kpa(t):
    k = t + 273.15
    return math.exp(73.649 - 7258.2 / k - 7.3037 * math.log(k) + 4.1653e-6 * k * k) / 1000


def gammas(x1, t):
    k, x2 = t + 273.15, 1 - x1
    t12, t21 = -0.8009 + 246.18 / k, 3.4578 - 586.0809 / k
    g12, g21 = math.exp(-0.3 * t12), math.exp(-0.3 * t21)
    a, b = x1 + x2 * g21, x2 + x1 * g12
    return (math.exp(x2 ** 2 * (t21 * (g21 / a) ** 2 + t12 * g12 / b ** 2)),
            math.exp(x1 ** 2 * (t12 * (g12 / b) ** 2 + t21 * g21 / a ** 2)))


def partial(x1, t):
    return x1 * gammas(x1, t)[0] * ethanol_kpa(t)


def bubble_c(x1, kpa):
    return brentq(lambda t: partial(x1, t) + (1 - x1) * gammas(x1, t)[1] * water_kpa(t) - kpa,
                  1, 101, xtol=1e-12)


def bubble_y(x1, kpa):
    return partial(x1, bubble_c(x1, kpa)) / kpa


def flash_model(vol, pure):
    x1 = x_of_vol(vol)
    target = ethanol_kpa(pure)
    if partial(x1, 80) < target:
        return None
    return brentq(lambda t: partial(x1, t) - target, pure - 1, 80, xtol=1e-12)


def flash(vol, _):
    if vol < 4:
        return None
    listed = interpolate(LIST, vol)
    model = flash_model(vol, 12)
    return model if listed is None else min(model, listed)


def band_edge(vol, limit, sign):
    if vol == 0:
        return None
    x1 = x_of_vol(vol)

    def over(t):
        return 100 * partial(x1, t) / ATM - (limit + sign * 0.75 / 305.4 * (t - 25))
    top = min(bubble_c(x1, ATM), 100)
    return None if over(top) < 0 else brentq(over, -20, top, xtol=1e-12)


ROOM_V, ROOM_K, ROOM_G, ROOM_STOP, ROOM_C0 = 24, 0.4, 8, 45, 2
ROOM_RUNS = {}


def room_run(changes):
    """Dense solution of V dC/dt = G - k Q C, first with the source, then without."""
    if changes not in ROOM_RUNS:
        rate = ROOM_K * changes / 60

        def go(source, c0, t0, t1):
            return solve_ivp(lambda t, c: source / ROOM_V - rate * c, (t0, t1), [c0],
                             method="DOP853", rtol=1e-12, atol=1e-13, dense_output=True).sol
        first = go(ROOM_G, ROOM_C0, 0, ROOM_STOP)
        ROOM_RUNS[changes] = (first, go(0, first(ROOM_STOP)[0], ROOM_STOP, 200))
    return ROOM_RUNS[changes]


def room(changes, t):
    first, second = room_run(changes)
    return first(t)[0] if t <= ROOM_STOP else second(t)[0]


def room_minutes(changes, target):
    if target <= ROOM_C0:
        return 0.0
    first = room_run(changes)[0]
    if first(ROOM_STOP)[0] < target:
        return None
    return brentq(lambda t: first(t)[0] - target, 0, ROOM_STOP, xtol=1e-12)


# quantity: (second implementation, largest allowed disagreement, unit)
QUANTITIES = {
    "density": (density, 1e-6, "kg/m3"),
    "mass_fraction_of_vol": (p_of_vol, 1e-9, "mass fraction"),
    "mass_fraction_of_proof": (p_of_proof, 1e-9, "mass fraction"),
    "mass_fraction_of_density": (p_of_density, 1e-9, "mass fraction"),
    "partial_kpa": (partial, 1e-9, "kPa"),
    "bubble_c": (bubble_c, 1e-8, "K"),
    "bubble_y": (bubble_y, 1e-9, "mole fraction"),
    "flash_c": (flash, 1e-7, "K"),
    "flash_model_c": (flash_model, 1e-7, "K"),
    "lftl_c": (lambda v, limit: band_edge(v, limit, -1), 1e-7, "K"),
    "uftl_c": (lambda v, limit: band_edge(v, limit, 1), 1e-7, "K"),
    "room_g_m3": (room, 1e-8, "g/m3"),
    "room_minutes_to": (room_minutes, 1e-6, "min"),
}


def main():
    build = os.environ.get("LW_BUILDDIR", ".")
    dump = sys.argv[1] if len(sys.argv) > 1 else os.path.join(build, "tests/published/phys_dump")
    out = subprocess.run([dump], check=True, capture_output=True, text=True).stdout
    worst = {name: (0.0, "", 0) for name in QUANTITIES}
    failed = 0
    for text in out.splitlines():
        name, a, b, given = text.split()
        second = QUANTITIES[name][0](float(a), float(b))
        if (given == "none") != (second is None):
            print(f"FAIL {name} at {a} {b}: program {given}, second implementation {second}")
            failed += 1
            continue
        apart = 0.0 if second is None else abs(float(given) - second)
        if math.isnan(apart):
            apart = math.inf
        largest, where, count = worst[name]
        if apart > largest:
            largest, where = apart, f"{a} {b}"
        worst[name] = (largest, where, count + 1)
    for name, (largest, where, count) in worst.items():
        _, bar, unit = QUANTITIES[name]
        good = count > 0 and largest <= bar
        failed += not good
        print(f"{'ok  ' if good else 'FAIL'} {name}: {count} points, largest disagreement "
              f"{largest:.2e} {unit}{' at ' + where if where else ''}, bar {bar:g}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

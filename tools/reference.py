#!/usr/bin/python3
"""Writes tests/cases/formula/reference.case: values computed with general-purpose libraries; no test needs Python.

usage: tools/reference.py          (Debian packages python3-fluids, python3-iapws, python3-scipy)
The points are fixed, so the file only changes when a library gives other digits.
"""
import pathlib

import fluids
import fluids.fittings
import iapws
import scipy
from fluids.atmosphere import ATMOSPHERE_1976
from scipy.interpolate import PchipInterpolator
from scipy.special import exp1

TARGET = pathlib.Path(__file__).resolve().parent.parent / "tests/cases/formula/reference.case"
FLUIDS = f"python3-fluids {fluids.__version__}"
IAPWS = f"python3-iapws {iapws.__version__}"
SCIPY = f"python3-scipy {scipy.__version__}"

FITTINGS = {  # ours: (method, theirs)
    "elbow 90": ("Darby", "Elbow, 90°, threaded, standard, (r/D = 1)"),
    "elbow 90 long": ("Darby", "Elbow, 90°, threaded, long radius, (r/D = 1.5)"),
    "elbow 45": ("Darby", "Elbow, 45°, threaded standard, (r/D = 1)"),
    "bend 90": ("Darby", "Elbow, 90°, (r/D = 2)"),
    "return bend 180": ("Darby", "Elbow, 180°, threaded, close-return bend, (r/D = 1)"),
    "tee through": ("Darby", "Tee, Run-through, threaded, (r/D = 1)"),
    "tee branch": ("Darby", "Tee, Through-branch, (as elbow), threaded, (r/D = 1)"),
    "gate valve": ("Darby", "Valve, Gate valve, standard, β = 1"),
    "ball valve": ("Darby", "Valve, Ball valve, standard, β = 1"),
    "globe valve": ("Darby", "Valve, Globe valve, standard, β = 1"),
    "angle valve": ("Darby", "Valve, Angle valve, 90°, full line size, β = 1"),
    "plug valve": ("Darby", "Valve, Plug valve, straight through"),
    "diaphragm valve": ("Darby", "Valve, Diaphragm, dam type"),
    "non-return valve": ("Darby", "Valve, Swing check"),
    "lift non-return valve": ("Darby", "Valve, Lift check"),
    "butterfly valve": ("Hooper", "Valve, Butterfly,"),
    "tilting non-return valve": ("Hooper", "Valve, Check, Tilting-disc"),
}

out = ["# Written by tools/reference.py; do not edit by hand.", ""]


def case(name, source, ask, given, expect):
    out.extend([f"case    {name}", f"source  {source} | computed", f"ask     {ask}", f"given   {given}"])
    out.extend(f"expect  {line}" for line in expect)
    out.append("")


def friction():
    for re in (4.0e3, 7.3e3, 2.9e4, 1.7e5, 8.8e5, 6.1e6, 4.4e7, 1.0e9):
        for rough in (0.0, 2e-6, 3e-4, 7e-3, 0.045):
            factor = fluids.friction.Colebrook(re, rough)
            case(f"Colebrook at Re {re:g}, roughness {rough:g}", FLUIDS, "friction factor",
                 f"reynolds = {re:g}; relative roughness = {rough:g}",
                 [f"friction factor = {factor:.15g} within 1e-9 %"])


def fittings():
    for name, (method, theirs) in FITTINGS.items():
        for bore_in, re in ((0.75, 3e3), (2.0, 2e5)):
            if method == "Darby":
                k = fluids.fittings.Darby3K(NPS=bore_in, Re=re, name=theirs)
            else:
                k = fluids.fittings.Hooper2K(Di=bore_in, Re=re, name=theirs)
            case(f"{name}, {bore_in:g} in at Re {re:g}", FLUIDS, "fitting",
                 f"fitting = {name}; bore = {bore_in:g} in; reynolds = {re:g}",
                 [f"loss coefficient = {k:.12g} within 1e-9 %"])


def air():
    for z in (-400, 120, 780, 1900, 2750, 5200, 9000):
        case(f"air at {z} m", FLUIDS, "air pressure", f"altitude = {z} m",
             [f"absolute pressure = {ATMOSPHERE_1976(z).P:.10g} Pa within 0.001 %"])


def water():
    for c in (1, 7, 13, 18, 22, 33, 48, 58, 70, 85, 99):
        w = iapws.IAPWS95(T=273.15 + c, P=0.101325)
        case(f"water at {c} C, other formulation", f"IAPWS-95, {IAPWS}", "water", f"temperature = {c} degC",
             [f"density = {w.rho:.8g} within 0.002 %", f"viscosity = {w.mu:.8g} within 0.05 %",
              f"sound speed = {w.w:.8g} m/s within 0.01 %", f"heat capacity = {w.cp * 1e3:.8g} within 0.06 %"])
    for c, mpa in ((5, 0.5), (20, 1.0), (35, 2.0), (60, 5.0), (95, 10.0)):
        w = iapws.IAPWS97(T=273.15 + c, P=mpa)
        case(f"water at {c} C and {mpa:g} MPa", f"IAPWS-IF97, {IAPWS}", "water under pressure",
             f"temperature = {c} degC; absolute pressure = {mpa:g} MPa",
             [f"density = {w.rho:.12g} within 1e-8 %", f"sound speed = {w.w:.12g} m/s within 1e-8 %",
              f"heat capacity = {w.cp * 1e3:.12g} within 1e-8 %"])


def curves():
    x = [0, 0.25, 0.5, 0.9, 1.4, 1.5]
    shapes = (("pump", [86, 83, 76, 65, 49, 28]), ("bumpy", [1, 3, 3, 2.5, 4, 0]), ("flat start", [9, 9, 8, 7, 1, 1]))
    for name, y in shapes:
        pchip = PchipInterpolator(x, y)
        for at in (0.0, 0.1, 0.25, 0.6, 1.1, 1.45, 1.5):
            case(f"monotone curve, {name}, at {at:g}", SCIPY, "curve", f"x = {x}; y = {y}; at = {at:g}",
                 [f"value = {float(pchip(at)):.15g} within 1e-12",
                  f"slope = {float(pchip.derivative()(at)):.15g} within 1e-10"])


def wells():
    for u in (3e-9, 4.2e-5, 7e-3, 0.31, 0.999, 1.001, 4.4, 17.0, 90.0):
        case(f"well function at {u:g}", SCIPY, "well function", f"u = {u:g}",
             [f"W = {float(exp1(u)):.15g} within 1e-11 %"])


friction()
fittings()
air()
water()
curves()
wells()
assert not any("nan" in line or "inf" in line for line in out)
TARGET.write_text("\n".join(out))
print(f"{TARGET}: {sum(line.startswith('case') for line in out)} cases")

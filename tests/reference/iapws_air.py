"""Moist air against Debian's python3-iapws, which computes it from other principles: water and ice by the industrial
and the sublimation formula of IAPWS (R7-97, R14-08), moist air as a real mixture by its Helmholtz equation (G8-10),
water in it by the virial equation of its fugacity (G9-15).

usage: iapws_air.py PROGRAM

The library takes Hyland & Wexler 1983 and a mixture of ideal gases. How far apart these may be, and why:

saturation   3e-4, over water and over ice: what the newer formulas have moved from Hyland & Wexler.
density      a real gas is denser than an ideal one by -B P/(R T), B the second virial coefficient of the mixture: 4e-4
             at 20 degC, 1.1e-3 at -30 degC. Want the two apart by it, within 1e-4 for the rounded gas constants and the
             third coefficient.
enthalpy     of the mixture, per kg of dry air, against 1006 t + W (2501e3 + 1860 t), whose constants are rounded: 0.3 %
             of the sensible part, 0.1 % of the latent one, and 50 J/kg for the zeros.
enhancement  real air at saturation holds more vapour than that over water alone, by Poynting's effect and the
             attraction of the other gases; the ideal mixture lacks it: between 1.002 and 1.006, as tables of it say
             (Buck 1981, J. Appl. Meteorol. 20:1527: 1.0016 + 3.15e-8 P - 7.4/P, P in Pa; from memory, unverified).
wet bulb     of the real mixture by its adiabatic saturation. That it holds the share f - 1 more vapour at saturation
             lowers it by (f - 1) W_s L/(cp + L dW_s/dT), up to 0.07 K: want the two apart by it, within 0.02 K for the
             enthalpies.
"""
import csv
import io
import math
import subprocess
import sys

try:
    import iapws
    from iapws.humidAir import HumidAir, _fugacity, _virial
    from iapws.iapws97 import _PSat_T, _Region1
    from iapws._iapws import _Sublimation_Pressure, _Ice
except ImportError as missing:
    print(f"SKIPPED: {missing}; Debian's python3-iapws has it, '.ci/setup tests' installs it")
    sys.exit(77)

GAS = 8.314462  # J/(mol K)
RATIO = 18.015268 / 28.96546  # molar masses of water and dry air
MOLE_WATER = 18.015268e-3
humid_air = HumidAir()
faults = 0
worst = {}


def look(name, where, got, want, relative, absolute=0.0):
    global faults
    off = got - want
    if abs(off) >= abs(worst.get(name, (0.0, ""))[0]):
        worst[name] = (off, where)
    if not abs(off) <= relative * abs(want) + absolute:
        faults += 1
        print(f"{name} at {where}: {got}, there {want}, off by {off:.4g}")


def saturation(t):
    """Pa, over water or ice alone."""
    return 1e6 * (_Sublimation_Pressure(t + 273.15) if t < 0.01 else _PSat_T(t + 273.15))


def condensed(t, pressure):
    """Enthalpy, J/kg, and volume, m3/kg, of liquid water or ice."""
    if t < 0.01:
        ice = _Ice(t + 273.15, pressure / 1e6)
        return 1e3 * ice["h"], 1.0 / ice["rho"]
    liquid = _Region1(t + 273.15, pressure / 1e6)
    return 1e3 * liquid["h"], liquid["v"]


def saturated_share(t, pressure):
    """Moles of water in a mole of air where the fugacities of vapour and water or ice are equal."""
    kelvin, alone = t + 273.15, saturation(t)
    volume = condensed(t, pressure)[1]
    want = _fugacity(kelvin, alone / 1e6, 1.0) * math.exp(volume * MOLE_WATER * (pressure - alone) / (GAS * kelvin))
    low, high = 0.9 * alone / pressure, 1.1 * alone / pressure
    for _ in range(50):
        middle = 0.5 * (low + high)
        if _fugacity(kelvin, pressure / 1e6, middle) < want:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def mixture(t, ratio, pressure):
    """Enthalpy, J/kg of dry air, and density, kg/m3."""
    kelvin, dry = t + 273.15, 1.0 / (1.0 + ratio)
    density = pressure / (287.0 * kelvin)
    for _ in range(30):
        pressure_of = lambda d: 1e3 * d * d * humid_air._fav(kelvin, d, dry)["fird"]
        step = (pressure - pressure_of(density)) / ((pressure_of(1.0001 * density) - pressure_of(density)) / (1e-4 * density))
        density += step
        if abs(step) < 1e-10:
            break
    air = humid_air._fav(kelvin, density, dry)
    return 1e3 * humid_air._prop(kelvin, density, air)["h"] / dry, density


grid = subprocess.run(sys.argv[1], capture_output=True, text=True, check=True).stdout
temperatures = set()
states = 0
for row in csv.DictReader(io.StringIO(grid)):
    row = {name: float(text) for name, text in row.items()}
    t, humidity, pressure, W = row["temperature"], row["humidity"], row["pressure"], row["ratio"]
    where = f"{t} degC, {humidity}, {pressure} Pa"
    if t not in temperatures:
        temperatures.add(t)
        look("saturation, " + ("ice" if t < 0.01 else "water"), where, row["saturation"] / saturation(t), 1, 3e-4)
    if t % 5 or pressure not in (89875, 101325) or humidity not in (0.35, 0.8, 1.0):
        continue
    states += 1
    kelvin, x = t + 273.15, W / (RATIO + W)
    virial = _virial(kelvin)
    B = (1 - x) ** 2 * virial["Baa"] + 2 * x * (1 - x) * virial["Baw"] + x * x * virial["Bww"]
    enthalpy, density = mixture(t, W, pressure)
    look("density, real over ideal", where, density / row["density"], 1 - B * pressure / (GAS * kelvin), 0, 1e-4)
    look("enthalpy, J/kg", where, row["enthalpy"], enthalpy, 0, 0.003 * abs(1006 * t) + 0.001 * W * 2501e3 + 50)
    if humidity == 1.0:
        look("enhancement", where, saturated_share(t, pressure) * pressure / saturation(t), 1.004, 0, 2e-3)
    elif t % 10 == 0 and t <= 40:
        # Air that takes up water until it is saturated keeps its enthalpy but for that of the water.
        def lacking(b):
            share = saturated_share(b, pressure)
            full = RATIO * share / (1 - share)
            return mixture(b, full, pressure)[0] - enthalpy - (full - W) * condensed(b, pressure)[0]

        def ideal(b):
            return RATIO * saturation(b) / (pressure - saturation(b))

        bulb = row["wet_bulb"]
        low, high = bulb - 0.1, bulb + 0.1
        if low * high > 0:  # both over ice or both over water
            at_low, at_high = lacking(low), lacking(high)
            latent = 2834e3 if bulb < 0 else 2501e3 - 2370 * bulb
            excess = saturated_share(bulb, pressure) * pressure / saturation(bulb) - 1
            lower = excess * ideal(bulb) * latent / (1006 + latent * (ideal(high) - ideal(low)) / (high - low))
            look("wet bulb, K", where, bulb - lower, low - 0.2 * at_low / (at_high - at_low), 0, 0.02)

print(f"iapws {iapws.__version__}: {len(temperatures)} temperatures, {states} states of the mixture, {faults} faults; furthest off:")
for name, (off, where) in worst.items():
    print(f"  {name}: {off:.3g} at {where}")
sys.exit(1 if faults or states < 50 else 0)

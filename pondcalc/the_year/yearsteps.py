"""How do heat and oxygen move up and down a pond in one hour, or in any short step?

The machinery under :mod:`pondcalc.the_year.seasons`: plain SI numbers, no quantities. Water moves by wind, by its own
weight and by bubbles. Several ponds (the same one with and without air, say) are stepped side by side in one long
column, so that the fixed cost of each array operation is paid once.

Each step, in this order: heat and gas through the surface or the ice; sunlight at depth; oxygen made and used; wind
mixing, diffusion and the bubble plume, solved together as one tridiagonal system; sinking of water heavier than what
lies under it; freezing. Every three hours: heat of the mud, the rates at which oxygen is used, and what stagnant water
owes. Everything that leaves a place arrives in another or is booked in a budget, so heat and oxygen balance to
rounding.
"""

import math

import numpy as np
from numpy import add, divide, maximum, multiply, negative, subtract
from scipy.linalg.lapack import dgtsv, dptsv

from ..air import EMISSIVITY, GRAVITY, REFLECTED, SIGMA
from ..warm_over_cold.layers import HEAT_CAPACITY

# Tanaka and others 2001: density = RHO0 (1 - lightness/A4), lightness = (t - A1)^2 (t + A2)/(t + A5)
A1, A2, A4, A5, RHO0 = 3.983035, 301.797, 522528.9, 69.34881, 999.974950
TINY = 1e-9 * A4 / RHO0         # lightness of 1e-9 kg/m3, an inversion not worth stirring


def lightness(t):
    """How much lighter than the heaviest water a temperature (degC) makes it, on a scale of its own."""
    x = t - A1
    return x * x * (t + A2) / (t + A5)


SUNK = 0.2                      # of what sinking water sets free, the share that lifts water from below (`stir`)
LEAST_N2 = 7.5e-5               # 1/s2, the weakest layering in the law of deep water


def sheltered_energy(area):
    """Share of the wind's energy, rho u*^3 per area, that stirs a water of this area (m2): 1 - exp(-0.3 A), A in km2.

    A wind must run over water for a while before it reaches full strength, and banks and trees shelter the first of it.
    References: M. Hondzo and H. G. Stefan, 1993, Journal of Hydraulic Engineering 119:1251-1273, by fits to lakes of
        Minnesota and daily mean winds (second-hand). Ponds under 25 acres lie outside those fits.
    """
    return -math.expm1(-0.3e-6 * area)


def open_energy(area, bank):
    """As :func:`sheltered_energy`, for a round water (area, m2) behind banks or trees of one height (m).

    The wind is back at full strength 50 heights out, x: 2/pi acos(x/D) - 2 x/(pi D^2) sqrt(D^2 - x^2), D the width.
    References: C. D. Markfort and others, 2010, Water Resources Research 46:W03530 (50 heights: abstract; the share of
        a circle is geometry).
    """
    part = min(1.0, 50.0 * bank / math.sqrt(4 * area / math.pi))
    return 2 / math.pi * (math.acos(part) - part * math.sqrt(1 - part * part))


def wind_bite(richardson):
    """Share of the wind's stirring that draws up water across a step in density of Ri = g' h/u*^2, over 0.

    0.057 Ri (29.46 - sqrt Ri)/(14.20 + Ri): at most 1.00, at 63; none above 868, where the step is too strong.
    References: S. Bloss and D. R. F. Harleman, 1979, Effect of wind-mixing on the thermocline formation in lakes and
        reservoirs, MIT Parsons Laboratory report 249 (from memory, not verified).
    """
    return max(0.0, 0.057 * richardson * (29.46 - math.sqrt(richardson)) / (14.20 + richardson))


def deep_mixing(area):
    """Factor F of all mixing below the reach of wind, K = F N2^-0.43 (m2/s), N2 (1/s2) no less than 7.5e-5.

    area: m2, of the surface: internal waves grow with the length that wind works on.
    References: Hondzo and Stefan 1993, as above: 8.17e-4 A^0.56 N2^-0.43 cm2/s, A in km2 (from memory, not verified).
    """
    return 8.17e-8 * (area / 1e6) ** 0.56


def work_tables(volume, depth):
    """Matrix W: `light @ W` is the work (J) that mixes the pond from the top through each layer.

    volume, depth ((n,) arrays): Of each layer, m3; of its middle, m.
    """
    mass, moment = np.cumsum(volume), np.cumsum(volume * depth)
    lift = moment / mass - depth[:, None]
    return np.where(np.tri(len(depth)).T > 0, lift * volume[:, None], 0.0) * (GRAVITY * RHO0 / A4)


def plume_tables(faces, submergence, plunge, top=0):
    """Flows of a bubble plume, per unit of water lifted to the surface, for each layer it may settle in.

    faces ((n+1,) array), submergence: Depths of layer faces and diffuser, m.
    plunge: Surface water drawn down with each unit lifted.
    top: The highest layer it comes up to; it draws nothing from those above, nor surface water.
    Returns: entrained : (n,) array: Taken from each layer; sums to 1 + plunge from the surface. diagonal : (n, n),
        lower, upper : (n, n-1) arrays: Row j: what to add to the tridiagonal system when the water settles in layer j.

    Lifted flow grows as height to the power 5/3 (Morton, Taylor and Turner 1956), so most water comes
    from near the top. Water that settles in layer j is made good by a flow toward each layer that lost
    some; those flows carry the water of the layer they leave.
    """
    n = len(faces) - 1
    height = np.maximum(submergence - faces, 0.0) / submergence
    rise = height ** (5 / 3)
    entrained = rise[:-1] - rise[1:]
    entrained[0] += plunge
    entrained[:top] = 0.0
    settle = np.eye(n) * entrained.sum()
    down = np.cumsum(settle - entrained, axis=1)[:, :-1]          # through the face under each layer
    sink, rise_up = np.maximum(down, 0), np.maximum(-down, 0)
    diagonal = np.tile(entrained, (n, 1))
    diagonal[:, :-1] += sink
    diagonal[:, 1:] += rise_up
    return entrained, diagonal, sink, rise_up


def settle_heavy(doubtful, state, volume, light, size=None):
    """Mix water until nothing heavy lies over anything light.

    doubtful (list of int): Layers that are heavier than the one below, from the top.
    state ((k, n) array), volume: Temperature in the first row, then whatever mixes with it; changed in place.
    light ((n,) array): Lightness of each layer; changed in place.
    size: Layers a pond, where several ponds stand in one column; default all.
    """
    temperature, amount, rank = state[0].tolist(), volume.tolist(), light.tolist()
    size, done = size or len(amount), 0
    for i in doubtful:
        if i + 1 < done:
            continue
        start = i - i % size
        a, b, end = i, i + 2, start + size
        v = amount[i] + amount[i + 1]
        t = (temperature[i] * amount[i] + temperature[i + 1] * amount[i + 1]) / v
        own = lightness(t)
        while True:
            if b < end and own < rank[b] - TINY:
                t = (t * v + temperature[b] * amount[b]) / (v + amount[b])
                v += amount[b]
                b += 1
            elif a > start and rank[a - 1] < own - TINY:
                a -= 1
                t = (t * v + temperature[a] * amount[a]) / (v + amount[a])
                v += amount[a]
            else:
                break
            own = lightness(t)
        block = state[:, a:b]
        block[:] = (block.dot(volume[a:b]) / v)[:, None]
        t = state.item(0, a)
        own = lightness(t)
        light[a:b] = own
        temperature[a:b], rank[a:b] = [t] * (b - a), [own] * (b - a)
        done = b


def stir_cold(state, volume, middle, light, energy):
    """Mix water colder than 4 C down into the heavier, warmer water under it, as far as the wind's energy reaches.

    state ((k, n) array), volume, middle: As for :func:`settle_heavy`; depth (m) of the middle of each layer.
    light ((n,) array): Lightness of each layer, falling with depth; changed in place.
    energy: J, what wind leaves for lifting weight; the last layer takes part by the share that it pays for.

    Mixing V1 over V2 lifts weight by g (rho2 - rho1) V1 V2/(V1 + V2) times the distance of their middles.
    """
    held, center = volume[0], middle[0]
    for k in range(1, len(volume)):
        if state[0, k - 1] >= A1:
            break
        below, span = volume[k], held + volume[k]
        cost = GRAVITY * RHO0 / A4 * (light[k - 1] - light[k]) * held * below / span * (middle[k] - center)
        share = 1.0 if cost <= energy else energy / cost
        gap = state[:, k] - state[:, k - 1]
        state[:, :k] += (share * below / span * gap)[:, None]
        state[:, k] -= share * held / span * gap
        light[:k], light[k] = lightness(state[0, 0]), lightness(state[0, k])
        if share < 1.0:
            break
        energy -= cost
        center = (center * held + middle[k] * below) / span
        held = span


SLOW = 3                        # hours between updates of what changes slowly: mud, rates of using oxygen
ICE_HEAT = 334e3 * 917.0        # J to melt a cubic metre of ice
ICE_CONDUCTS = 2.2              # W/(m K)
SNOW_CONDUCTS = 0.3             # W/(m K), settled and in part soaked; published 0.1 to 0.4, fresh 0.04 (from memory)
MELTING = 0.6                   # of sunlight, taken in by melting ice; 0.62 (Henneman and Stefan 1999; from memory)
WATER_CONDUCTS = 0.56           # W/(m K)
MOLECULAR = 1.43e-7             # m2/s, heat in still water at 20 C
LIMITED = 3.8                   # mg/L; below it mud uptake falls with oxygen (Mathias and Barica 1980)
STARVED = 1.0                   # mg/L; below it respiration in the water falls with oxygen; our choice
SKIN = 0.03                     # m; thinner ice is counted as floes of this with open water between; our choice
CRUMBS = 1e-4                   # m; less melts at once, else floes that shrink with their own share would never end
STANTON = 0.0057                # heat from stirred water to ice: St rho c u* t (McPhee 1992; from memory)
STIRS = 1.0                     # of rho u*^3, wind's push on water; 0.4 to 1.25 (Kraus and Turner 1967; from memory)
STOCK = (4.0, 20.0, 0.02)       # plankton: least at 4 C, usual at 20 C, and the least share; our choice


class Column:
    """Ponds stacked in one column, their state, and what has come and gone."""

    def __init__(self, ponds, weather, temperature, oxygen):
        self.m, self.n = len(ponds), len(ponds[0].volume)
        m, n = self.m, self.n
        self.ponds, self.weather, self.dt = ponds, weather, 3600.0 * weather.step
        self.slow = max(1, round(SLOW / weather.step))      # steps

        def flat(name):
            return np.concatenate([getattr(p, name) for p in ponds])
        self.volume = flat("volume")
        self.by_pond = np.zeros((m, m * n))
        self.face = np.zeros(m * n - 1)                     # area over distance, times the step; 0 between ponds
        self.stiff = np.zeros(m * n - 1)                    # N squared for a step of one in lightness
        self.work = np.zeros((m * n, m * n))                # see `work_tables`
        self.spare = [0.0] * m                              # J that may stir
        for s, p in enumerate(ponds):
            self.by_pond[s, s * n:(s + 1) * n] = p.volume
            self.face[s * n:(s + 1) * n - 1] = p.face_area / p.spacing * self.dt
            self.stiff[s * n:(s + 1) * n - 1] = GRAVITY / A4 / p.spacing
            self.work[s * n:(s + 1) * n, s * n:(s + 1) * n] = work_tables(p.volume, p.middle)
        surface = np.repeat([p.area for p in ponds], n)
        self.sun_share = flat("sun_share") * surface * self.dt / (HEAT_CAPACITY * self.volume)
        self.bed_pull = flat("bed_conductance") * flat("bed_area") * self.dt * self.slow / (HEAT_CAPACITY * self.volume)
        bed_heat = flat("bed_heat")                         # J/K under each layer
        self.bed_give = HEAT_CAPACITY * self.volume / np.where(bed_heat > 0, bed_heat, np.inf)
        self.bed_heat = bed_heat
        self.mud_rate = flat("mud_rate") * flat("bed_area") / self.volume       # mg/L/s at 20 C
        self.water_rate = np.repeat([p.water_rate for p in ponds], n)
        self.plant_rate = np.repeat([p.plant_rate for p in ponds], n)
        self.floor = np.repeat([p.least_mixing for p in ponds], n)[:-1]        # besides molecules
        self.deep = np.repeat([deep_mixing(p.area) for p in ponds], n)[:-1]
        self.debt_share = np.repeat([p.debt_share for p in ponds], n)
        self.rows = np.zeros((4, m * n))                    # temperature, oxygen, owed, and a row to work in
        self.state = self.rows[:3]
        self.temperature, self.oxygen, self.debt = self.state
        self.temperature.reshape(m, n)[:] = temperature     # one number, or one a layer
        self.oxygen.reshape(m, n)[:] = oxygen
        self.bed = self.temperature.copy()
        self.ice = [0.0] * m
        self.stock = [self._stock(self.temperature.item(s * n)) for s in range(m)]
        self.dim = [1.0] * m                                # share of sunlight that passes the surface
        self.heat_in = [0.0] * m                            # J, through the surface
        self.oxygen_in = {key: [0.0] * m for key in ("made", "used in water", "used by mud", "from air",
                                                     "from bubbles", "owed")}

    @staticmethod
    def _stock(top):
        """Plankton, against its usual summer stock, that a surface temperature would settle at."""
        cold, usual, least = STOCK
        return max(least, min(1.25, (top - cold) / (usual - cold)))

    def heat(self):
        """Heat (J) of water, mud and ice of each pond above water and mud at 0 C; ice counts below it."""
        ice = np.array([h * p.area * ICE_HEAT for h, p in zip(self.ice, self.ponds, strict=True)])
        mud = (self.bed_heat * self.bed).reshape(self.m, self.n).sum(axis=1)
        return HEAT_CAPACITY * self.by_pond @ self.temperature + mud - ice

    def stored(self):
        """Oxygen (g) of each pond less what its water owes."""
        return self.by_pond @ (self.oxygen - self.debt)

    def run(self, saturation, exchange, full_vapor):
        """Step through the weather.

        saturation (list of float): Oxygen saturation (mg/L) for every hundredth of a degree from 0 C.
        exchange (list of float): Factor on the gas speed of 20 C water for the same steps.
        full_vapor (list of float): Vapor pressure (Pa) over water for the same steps.
        Returns: state : (3, t, m, n) array: Temperature, oxygen, and oxygen owed. ice, settled : (t, m) arrays: Ice
            thickness, m, and the layer where the plume's water settled (-1 without air).
        """
        hours = _Hours(self, full_vapor)
        weights, life, mixing = _Weights(self), _Life(self, hours), _Mixing(self, hours)
        steps, slow = len(self.weather.hour), self.slow
        held, held_ice = np.empty((steps, *self.state.shape)), []
        settled = np.full((steps, self.m), -1, np.int16)
        weights.weigh()
        for i in range(steps):
            running, changed = self._surface(i, hours, saturation, exchange)
            if changed:
                life.cover(self.dim)
            mixing.cover([min(1.0, h / SKIN) for h in self.ice])
            if i % slow == 0:
                self._mud_heat()
                self._follow_warmth()
                life.set_rates()
                mixing.set_deep(weights.step)
            life.shine(i)
            life.breathe()
            mixing.stir(i, weights.light)
            if running:
                mixing.stir_by_plume(running, weights.light, settled[i])
            else:
                mixing.solve()
            weights.turn_over()
            if self._stir_cold(i, hours, weights):
                weights.turn_over()
            self._freeze()
            held_ice.append(tuple(self.ice))
            if i % slow == slow - 1 or i == steps - 1:
                life.settle(i % slow + 1)
            held[i] = self.state
        for key, amount in life.booked.items():
            self.oxygen_in[key] = (self.oxygen_in[key] + self.by_pond @ amount).tolist()
        return np.moveaxis(held, 1, 0).reshape(3, steps, self.m, self.n), np.array(held_ice), settled

    def _follow_warmth(self):
        """Plankton follows the warmth of the top in about ten days."""
        for s in range(self.m):
            usual = self._stock(self.temperature.item(s * self.n))
            self.stock[s] += (usual - self.stock[s]) * (self.slow * self.dt / 864e3)

    def _mud_heat(self):
        gain = (self.bed - self.temperature) * self.bed_pull
        self.temperature += gain
        self.bed -= gain * self.bed_give

    def _stir_cold(self, i, hours, weights):
        """Wind over open water below 4 C; gives whether it stirred."""
        t, n, stirred = self.temperature, self.n, False
        for s, pond in enumerate(self.ponds):
            k = s * n
            if self.ice[s] < SKIN and t.item(k) < A1 and weights.step.item(k) > TINY:
                at = slice(k, k + n)
                wind = STIRS * RHO0 * hours.push[s][i] ** 3 * (1.0 - self.ice[s] / SKIN) * pond.area * self.dt
                stir_cold(self.state[:, at], pond.volume, pond.middle, weights.light[at], wind)
                stirred = True
        return stirred

    def _freeze(self):
        """Water below 0 C becomes ice, from the top down."""
        t, n = self.temperature, self.n
        for s in range(self.m):
            k = s * n
            while k < (s + 1) * n and t.item(k) < 0.0:
                cold = t.item(k) * HEAT_CAPACITY * self.volume.item(k)
                self.ice[s] -= cold / (ICE_HEAT * self.ponds[s].area)
                t[k] = 0.0
                k += 1

    def _surface(self, i, hours, saturation, exchange):
        """Heat and gas through the top of each pond; gives the plumes that run and whether light changed."""
        t, c, running, changed = self.temperature, self.oxygen, (), False
        for s, pond in enumerate(self.ponds):
            k, a = s * self.n, pond.area
            ts, v = t.item(k), hours.top_volume[s]
            on = pond.plume.on[i] if pond.plume is not None else 0.0
            if on > 0:
                running = (*running, (s, on))
            bare = let = 1.0
            if self.ice[s] <= 0.0:
                heat = hours.flux(s, i, ts) * a * self.dt
                self.heat_in[s] += heat + hours.sun[i] * a * self.dt
                t[k] = ts = ts + heat / (HEAT_CAPACITY * v)
            else:
                bare = max(min(1.0, pond.plume.open_water / a) if on > 0 else 0.0, 1.0 - self.ice[s] / SKIN)
                grown = min(10, int(self.ice[s] * 100) + 1) / 10    # black skim ice lets most light pass
                through = 1 - grown * (1 - pond.ice_light)
                let = bare + (1 - bare) * through
                t[k] = ts = self._ice_step(s, ts, bare, i, hours, through, grown * pond.ice_keeps)
            if let != self.dim[s]:
                self.dim[s], changed = let, True
            if bare > 0.0:
                spot = int(ts * 100) if ts > 0 else 0
                now = c.item(k)
                speed = hours.gas[s][i] * exchange[spot] * bare
                gas = (saturation[spot] - now) * (1 - math.exp(-speed * a / v))
                self.oxygen_in["from air"][s] += gas * v
                c[k] = now + gas
        return running, changed

    def _ice_step(self, s, ts, bare, i, hours, passed, kept):
        """Ice grows or melts for a step; gives the new temperature of the top layer."""
        pond, thick, sun, dt = self.ponds[s], self.ice[s], hours.sun[i], self.dt
        a, covered = pond.area, 1.0 - bare
        top_heat = HEAT_CAPACITY * hours.top_volume[s]
        pull = 4 * EMISSIVITY * SIGMA * 273.15 ** 3 + hours.warmth[s][i] + hours.vapor[s][i] * 44.4
        gain = hours.flux(s, i, 0.0) + kept * sun
        if gain > 0.0:                                  # snow is gone and the ice dark where it melts
            gain += max(0.0, MELTING - kept - passed) * sun
        through = 1.0 / (max(thick, SKIN) * (1.0 / ICE_CONDUCTS + pond.snow / SNOW_CONDUCTS))
        top = gain if gain > 0 else gain * through / (through + pull)       # W/m2, into the ice
        below = WATER_CONDUCTS * max(ts, 0.0) / (0.5 * pond.spacing)
        if thick < SKIN:                                # wind still stirs
            below += min(STANTON * hours.push[s][i] * HEAT_CAPACITY, top_heat / (a * dt)) * max(ts, 0.0)
        if ts > A1:                                     # warmer than the heaviest water rises against the ice
            below += (ts - A1) * top_heat / (a * dt)
        heat = -below * covered * a * dt
        self.heat_in[s] += (top * covered + sun * (passed * covered + bare)) * a * dt
        thick -= (top + below) * covered * dt / ICE_HEAT
        if bare > 0:
            open_heat = hours.flux(s, i, ts) * bare * a * dt
            heat += open_heat
            self.heat_in[s] += open_heat
        if thick < CRUMBS:
            heat -= thick * ICE_HEAT * a
            thick = 0.0
        self.ice[s] = thick
        return ts + heat / top_heat

    def _plume(self, s, on, light, diag, sink, rise):
        """Add a plume to the system; gives the layer its water settles in, and what it takes from each."""
        pond, n = self.ponds[s], self.n
        plume, k = pond.plume, s * n
        at, faces = slice(k, k + n), slice(k, k + n - 1)
        steps = (light[at][:-1] - light[at][1:])[::-1]
        held = np.cumsum(steps * plume.drags) > plume.limit
        top = n - 1 - int(held.argmax()) if held.any() else 0
        entrained, diagonal, down, up = plume.tables[top]
        warm, rich = (self.state[:2, at].dot(entrained) / entrained.sum()).tolist()
        j = max(int(np.count_nonzero(light[at] >= lightness(warm))) - 1, top)
        flow = plume.flow * on * self.dt
        diag[at] += flow * diagonal[j]
        sink[faces] -= flow * down[j]
        rise[faces] -= flow * up[j]
        give = plume.oxygen_rate * on * self.dt * max(0.0, 1 - rich / plume.fullest)
        if give > 0.0:
            v = pond.volume[j]
            give = min(give, max(0.0, plume.fullest - self.oxygen.item(k + j)) * v)
            self.oxygen[k + j] += give / v
            self.oxygen_in["from bubbles"][s] += give
        return j, entrained


class _Weights:
    """What each layer weighs, and the turning over of what lies heavy on light."""

    def __init__(self, column):
        size = column.m * column.n
        self.state, self.volume, self.n = column.state, column.volume, column.n
        self.a1, self.a2, self.a5 = (np.full(size, value) for value in (A1, A2, A5))
        self.x, self.y, self.light = (np.empty(size) for _ in range(3))
        self.step = np.empty(size - 1)          # in lightness, from each layer to the one below; 0 between ponds
        self.upper, self.lower = self.light[:-1], self.light[1:]
        self.seams = [s * column.n - 1 for s in range(1, column.m)]
        middle = np.concatenate([p.middle for p in column.ponds])
        self.by_pond, self.spare = column.by_pond * middle * (SUNK * GRAVITY * RHO0 / A4), column.spare

    def weigh(self):
        """Lightness of each layer, as :func:`lightness` gives it."""
        t, x, y = self.state[0], self.x, self.y
        subtract(t, self.a1, x)
        multiply(x, x, x)
        add(t, self.a2, y)
        multiply(x, y, x)
        add(t, self.a5, y)
        divide(x, y, self.light)
        self._compare()

    def _compare(self):
        subtract(self.upper, self.lower, self.step)
        for k in self.seams:
            self.step[k] = 0.0

    def turn_over(self):
        """Heavy water sinks."""
        self.weigh()
        step = self.step
        if step.item(step.argmin()) < -TINY:
            wrong = [k for k, value in enumerate(step.tolist()) if value < -TINY]
            before = self.by_pond @ self.light
            settle_heavy(wrong, self.state, self.volume, self.light, self.n)
            self.spare[:] = (before - self.by_pond @ self.light).tolist()
            self._compare()


class _Life:
    """Oxygen made and used in the water, and the sunlight that warms it."""

    def __init__(self, column, hours):
        size = column.m * column.n
        self.column, self.plant_light, self.sun = column, hours.plant_light, hours.sun
        self.temperature, self.oxygen, self.debt = column.state
        self.sun_share, self.shade = column.sun_share, None
        self.made, self.breathed, self.muddy, self.owed, self.sums = (np.zeros(size) for _ in range(5))
        self.x, self.y = np.empty(size), np.empty(size)
        self.booked = {"made": self.made, "used in water": self.breathed, "used by mud": self.muddy,
                       "owed": self.owed}

    def cover(self, dim):
        """Ice dims the light of each pond to a share."""
        column = self.column
        self.shade = np.repeat(dim, column.n) if min(dim) < 1.0 else None
        self.sun_share = column.sun_share if self.shade is None else column.sun_share * self.shade

    def set_rates(self):
        """Rates of making and using oxygen, by temperature, plankton and what is left; uses are counted anew."""
        column, x, y, dt = self.column, self.x, self.y, self.column.dt
        subtract(self.temperature, 20.0, x)
        warm = np.exp(multiply(x, 0.045929, y)) * np.repeat(column.stock, column.n)         # ln 1.047
        self.plants = column.plant_rate * dt * warm
        self.mud = column.mud_rate * dt * np.exp(multiply(x, 0.062975, y))                  # ln 1.065
        self.breath_rate = column.water_rate * dt * warm / maximum(self.oxygen, STARVED, out=y)
        self.mud_rate = self.mud / maximum(self.oxygen, LIMITED, out=y)
        self.still = 1.0 / (1.0 + self.breath_rate + self.mud_rate)
        self.sums.fill(0.0)

    def shine(self, i):
        """Sunlight warms the water at depth, and plants make oxygen in it."""
        strength = self.sun[i]
        if strength > 0:
            t, c, x = self.temperature, self.oxygen, self.x
            multiply(self.sun_share, strength, x)
            add(t, x, t)
            multiply(self.plants, self.plant_light[i], x)
            if self.shade is not None:
                multiply(x, self.shade, x)
            add(self.made, x, self.made)
            add(c, x, c)

    def breathe(self):
        """Water and mud use oxygen."""
        multiply(self.oxygen, self.still, self.oxygen)
        add(self.sums, self.oxygen, self.sums)

    def settle(self, steps):
        """Book what was used; what stagnant water owes grows by the mud's unmet demand, paid from what it meets."""
        c, b, x = self.oxygen, self.debt, self.x
        multiply(self.sums, self.breath_rate, x)
        add(self.breathed, x, self.breathed)
        multiply(self.sums, self.mud_rate, x)
        add(self.muddy, x, self.muddy)
        subtract(self.mud * steps, x, x)
        multiply(x, self.column.debt_share, x)
        add(self.owed, x, self.owed)
        add(b, x, b)
        np.minimum(b, c, out=x)
        subtract(c, x, c)
        subtract(b, x, b)


class _Mixing:
    """Wind, diffusion and bubble plumes, solved together as one tridiagonal system."""

    def __init__(self, column, hours):
        size = column.m * column.n
        self.column = column
        self.state, self.volume = column.state, column.volume
        self.tall_state, self.tall_rows = column.state.T, column.rows.T         # as the solver wants right-hand sides
        self.calm = (MOLECULAR + column.floor) * column.face
        self.wind, self.slow = hours.wind, hours.slow
        self.roof = [z for p in column.ponds for z in p.faces[:-1].tolist()]
        self.open = [1.0] * column.m                        # share without ice
        padded = np.zeros(size + 1)                         # exchange through the faces, none through the ends
        self.g, self.over, self.under = padded[1:-1], padded[:-1], padded[1:]
        self.diag, self.minus = np.empty(size), np.empty(size - 1)
        self.whole = 300.0 * float(column.volume.max())      # m3 a step, mixes layers; far more would cost digits
        above = np.concatenate([np.cumsum(p.volume) for p in column.ponds])
        self.swap = (above[:-1] * column.volume[1:] / (above[:-1] + column.volume[1:])).tolist()

    def cover(self, covered):
        """Wind reaches the water where there is no ice; `covered` is the share of each pond."""
        self.open = [1.0 - share for share in covered]

    def set_deep(self, step):
        """Mixing below the reach of the wind, by how much lighter each layer is than the one below (`step`)."""
        column = self.column
        open_face = np.repeat(self.open, column.n)[:-1]
        deep = column.deep * maximum(step * column.stiff, LEAST_N2) ** -0.43 * open_face
        self.calm = maximum(MOLECULAR + column.floor, deep) * column.face

    def stir(self, i, light):
        """Set up the system: wind and sinking water mix from the top down, as far as their energy reaches.

        i, light (array): The step's number, and the lightness of each layer.

        Of what cooled water sets free when it sinks, a fifth goes on to lift water from below (J. W. Deardorff, G. E.
        Willis and B. H. Stockton, 1980, Journal of Fluid Mechanics 100:41-64: 0.25 with the velocity scale of
        convection; 0.2 is the usual share).
        """
        g, n = self.g, self.column.n
        g[:] = self.calm
        work, light, spare = light.dot(self.column.work).tolist(), light.tolist(), self.column.spare
        for s, sunk in enumerate(spare):
            top = s * n
            if self.open[s] > 0.0:
                spare[s] = 0.0
            if self.open[s] > 0.0 and self.state.item(0, top) >= A1:        # colder water: `stir_cold`
                k, share = self._reach(top, top + n, sunk, self.open[s] * self.wind[s][i], self.slow[s][i], work,
                                       light)
                if k > top:
                    g[top:k] = self.whole
                if share > 0.0:
                    g[k] += share * self.swap[k]
        negative(g, self.minus)
        add(self.volume, self.over, self.diag)
        add(self.diag, self.under, self.diag)

    def _reach(self, top, end, sunk, wind, slow, work, light):
        """The lowest layer mixed whole with the top, and how much of the next is drawn in against what is left of it.

        sunk, wind: J from sinking water, and from the wind before `wind_bite`.
        slow: Richardson number a step of one in lightness makes, per meter of mixed water.
        """
        k, done, roof = top + 1, 0.0, light[top]
        while k < end:
            cost, lighter = work[k] - done, roof - light[k]
            if cost > 0.0 and lighter > TINY:
                bite = wind_bite(slow * self.roof[k] * lighter)
                if cost > sunk + bite * wind:
                    share = (sunk + bite * wind) / cost
                    return k - 1, share / (1.001 - share)
                done = work[k]
                if cost > sunk:
                    wind -= (cost - sunk) / bite
                    sunk = 0.0
                else:
                    sunk -= cost
            k += 1
        return end - 1, 0.0

    def solve(self):
        """Carry heat, oxygen and debt through the step without plumes."""
        multiply(self.state, self.volume, self.state)
        dptsv(self.diag, self.minus, self.tall_state, 1, 1, 1)

    def stir_by_plume(self, running, light, settled):
        """Carry heat, oxygen and debt through a step with plumes.

        running: Pond and share of the step for each plume that runs.
        light (array): Lightness of each layer.
        settled (array): Takes the layer where each pond's lifted water settles.
        """
        column, rows, n = self.column, self.column.rows, self.column.n
        sink, rise = self.minus.copy(), self.minus
        rows[3] = 0.0
        taken = []
        for s, on in running:
            j, entrained = column._plume(s, on, light, self.diag, sink, rise)
            taken.append(entrained)
            rows[3, s * n + j] = 1.0
            settled[s] = j
        multiply(self.state, self.volume, self.state)
        dgtsv(sink, self.diag, rise, self.tall_rows, 1, 1, 1, 1)
        for (s, on), entrained in zip(running, taken, strict=True):
            block = rows[:, s * n:(s + 1) * n]
            pull = block.dot(entrained) * (column.ponds[s].plume.flow * on * column.dt)
            block[:3] += block[3] * (pull[:3, None] / (1.0 - pull[3]))


class _Hours:
    """Everything about the weather that can be worked out before the first step."""

    def __init__(self, column, full_vapor):
        w, m = column.weather, column.m
        self.full_vapor = full_vapor
        ahead = [p.prepare(w) for p in column.ponds]

        self.slow = [(GRAVITY / A4 / np.maximum(a.shear, 1e-5) ** 2).tolist() for a in ahead]
        self.wind = [(1000.0 * a.shear ** 3 * p.stirring * p.area * column.dt).tolist()
                     for a, p in zip(ahead, column.ponds, strict=True)]
        self.plant_light = np.concatenate([a.plant_light for a in ahead], axis=1)
        self.sun = ((1 - REFLECTED) * w.sunlight).tolist()
        self.sky = (EMISSIVITY * w.sky_glow).tolist()
        self.damp, self.air = w.vapor_pressure.tolist(), w.air_temperature.tolist()
        self.vapor = [a.vapor.tolist() for a in ahead]
        self.warmth = [a.warmth.tolist() for a in ahead]
        self.push = [a.shear.tolist() for a in ahead]               # m/s, u* in the water
        self.gas = [(a.gas_speed * column.dt).tolist() for a in ahead]
        self.top_volume = [float(p.volume[0]) for p in column.ponds[:m]]

    def flux(self, s, i, ts):
        """Heat into open water other than sunlight, W/m2."""
        glow = EMISSIVITY * SIGMA * (ts + 273.15) ** 4
        steam = self.vapor[s][i] * (self.full_vapor[int(ts * 100) if ts > 0 else 0] - self.damp[i])
        return self.sky[i] - glow - steam - self.warmth[s][i] * (ts - self.air[i])

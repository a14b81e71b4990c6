"""How do heat and oxygen move up and down a pond in one hour, or in any short step?

How does water move up and down in a pond: by wind, by its own weight, and by bubbles?

The building blocks of the year in :mod:`pondcalc.the_year.seasons`: plain SI numbers, no quantities.

How do heat and oxygen move down a pond in one hour, or in any short step?

The machinery under :mod:`pondcalc.the_year.seasons`: plain SI numbers, no quantities. Several ponds
(the same one with and without air, say) are stepped side by side in one long column, so that
the fixed cost of each array operation is paid once.

Each step, in this order: heat and gas through the surface or the ice; sunlight at depth;
oxygen made and used; wind mixing, diffusion and the bubble plume, solved together as one
tridiagonal system; sinking of water heavier than what lies under it; freezing. Every three
hours: heat of the mud, the rates at which oxygen is used, and what stagnant water owes.

Everything that leaves a place arrives in another or is booked in a budget, so heat and oxygen
balance to rounding.
"""

import math

import numpy as np
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


def neutral_eddies(wind_2m, depth, latitude):
    """Wind's mixing without layers, and the factor that turns N squared into a Richardson number.

    wind_2m ((t,) array): Wind 2 m over the water, m/s.
    depth ((n,) array): Depths of the faces between layers, m.
    latitude: Degrees.
    Returns: K0, c : (t, n) arrays: K = K0/(1 + 37 Ri^2), Ri = (sqrt(1 + c N2) - 1)/20; K0 in m2/s.
    References: B. Henderson-Sellers, 1985, Applied Mathematical Modelling 9:441-446 (partly from memory).
    """
    wind = np.maximum(np.asarray(wind_2m, float), 0.02)[:, None]
    z = np.asarray(depth, float)[None, :]
    w = 0.0012 * wind
    fade = 6.6 * math.sqrt(max(math.sin(math.radians(abs(latitude))), 0.05)) * wind ** -1.84
    drop = np.exp(-np.minimum(fade * z, 40.0))
    return 0.4 * w * z * drop, 40 * 0.16 * z ** 2 / (w * drop) ** 2


def plume_tables(faces, submergence, plunge):
    """Flows of a bubble plume, per unit of water lifted to the surface, for each layer it may settle in.

    faces ((n+1,) array): Depths of layer faces, m.
    submergence (float).
    plunge: Surface water drawn down with each unit lifted.
    Returns: entrained : (n,) array: Taken from each layer; sums to 1 + plunge. diagonal : (n, n), lower, upper : (n,
        n-1) arrays: Row j: what to add to the tridiagonal system when the water settles in layer j.

    Lifted flow grows as height to the power 5/3 (Morton, Taylor and Turner 1956), so most water comes
    from near the top. Water that settles in layer j is made good by a flow toward each layer that lost
    some; those flows carry the water of the layer they leave.
    """
    n = len(faces) - 1
    height = np.maximum(submergence - faces, 0.0) / submergence
    rise = height ** (5 / 3)
    entrained = rise[:-1] - rise[1:]
    entrained[0] += plunge
    settle = np.eye(n) * (1 + plunge)
    down = np.cumsum(settle - entrained, axis=1)[:, :-1]          # through the face under each layer
    sink, rise_up = np.maximum(down, 0), np.maximum(-down, 0)
    diagonal = np.tile(entrained, (n, 1))
    diagonal[:, :-1] += sink
    diagonal[:, 1:] += rise_up
    return entrained, diagonal, sink, rise_up


def settle_heavy(doubtful, state, volume, light, size=None):
    """Mix water until nothing heavy lies over anything light.

    doubtful (list of int): Layers that are heavier than the one below, from the top.
    state ((k, n) array): Temperature in the first row, then whatever mixes with it; changed in place.
    volume ((n,) array).
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


SLOW = 3                        # hours between updates of what changes slowly: mud, rates of using oxygen
ICE_HEAT = 334e3 * 917.0        # J to melt a cubic metre of ice
ICE_CONDUCTS = 2.2              # W/(m K)
WATER_CONDUCTS = 0.56           # W/(m K)
MOLECULAR = 1.43e-7             # m2/s, heat in still water at 20 C
BEND = 37 / 400                 # how layers hold the wind's mixing down, see watermoves.neutral_eddies
LIMITED = 3.8                   # mg/L; below it mud uptake falls with oxygen (Mathias and Barica 1980)
STARVED = 1.0                   # mg/L; below it respiration in the water falls with oxygen; our choice
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
        self.stiff = np.zeros(m * n - 1)                    # N squared for a step of one in lightness, times BEND
        for s, p in enumerate(ponds):
            self.by_pond[s, s * n:(s + 1) * n] = p.volume
            self.face[s * n:(s + 1) * n - 1] = p.face_area / p.spacing * self.dt
            self.stiff[s * n:(s + 1) * n - 1] = BEND * GRAVITY / A4 / p.spacing
        surface = np.repeat([p.area for p in ponds], n)
        self.sun_share = flat("sun_share") * surface * self.dt / (HEAT_CAPACITY * self.volume)
        self.bed_pull = flat("bed_conductance") * flat("bed_area") * self.dt * self.slow / (HEAT_CAPACITY * self.volume)
        bed_heat = flat("bed_heat")                         # J/K under each layer
        self.bed_give = HEAT_CAPACITY * self.volume / np.where(bed_heat > 0, bed_heat, np.inf)
        self.bed_heat = bed_heat
        self.mud_rate = flat("mud_rate") * flat("bed_area") / self.volume       # mg/L/s at 20 C
        self.water_rate = np.repeat([p.water_rate for p in ponds], n)
        self.plant_rate = np.repeat([p.plant_rate for p in ponds], n)
        self.floor = np.repeat([p.least_mixing for p in ponds], n)[:-1]
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
        m, n, ponds, steps = self.m, self.n, self.ponds, len(self.weather.hour)
        size, between, dt, slow = m * n, range(m), self.dt, self.slow
        held, held_ice, settled = np.empty((steps, 3, size)), [], np.full((steps, m), -1, np.int16)
        add, subtract, multiply, divide = np.add, np.subtract, np.multiply, np.divide
        maximum, sqrt, negative = np.maximum, np.sqrt, np.negative
        hours = _Hours(self, full_vapor)
        eddy, damping, plant_light, sun = hours.eddy, hours.damping, hours.plant_light, hours.sun
        rows, state, (t, c, b) = self.rows, self.state, self.state
        tall_state, tall_rows = state.T, rows.T             # as the solver wants its right-hand sides
        volume, least = self.volume, self.floor * self.face
        one_face, none_face = np.ones(size - 1), np.zeros(size - 1)
        bend, root = np.full(size - 1, BEND), np.full(size - 1, math.sqrt(BEND))
        a1, a2, a5 = (np.full(size, value) for value in (A1, A2, A5))
        made, breathed, muddy, owed, sums = (np.zeros(size) for _ in range(5))
        plants = still = breath_rate = mud_rate = mud = None
        x, y, light, diag, stock = (np.empty(size) for _ in range(5))
        step, minus = np.empty(size - 1), np.empty(size - 1)
        padded = np.zeros(size + 1)                         # exchange through the faces, none through the ends
        g, over, under = padded[1:-1], padded[:-1], padded[1:]
        light_upper, light_lower = light[:-1], light[1:]
        seams = [s * n - 1 for s in range(1, m)]
        sun_share, open_face, shade = self.sun_share, one_face, None

        def weigh():
            subtract(t, a1, x)
            multiply(x, x, x)
            add(t, a2, y)
            multiply(x, y, x)
            add(t, a5, y)
            divide(x, y, light)
            subtract(light_upper, light_lower, step)
            for k in seams:
                step[k] = 0.0
        weigh()
        for i in range(steps):
            running, changed = self._surface(i, hours, saturation, exchange)
            if changed:
                shade = np.repeat(self.dim, n) if min(self.dim) < 1.0 else None
                sun_share = self.sun_share if shade is None else self.sun_share * shade
                covered = [h > 0 for h in self.ice]
                open_face = np.repeat(np.where(covered, 0.0, 1.0), n)[:-1] if any(covered) else one_face
            if i % slow == 0:
                self._mud_heat()
                # rates of using oxygen, by temperature, plankton and what is left
                for s in between:                                       # stock follows in about ten days
                    self.stock[s] += (self._stock(t.item(s * n)) - self.stock[s]) * (slow * dt / 864e3)
                    stock[s * n:(s + 1) * n] = self.stock[s]
                subtract(t, 20.0, x)
                warm = np.exp(multiply(x, 0.045929, y)) * stock                         # ln 1.047
                plants = self.plant_rate * dt * warm
                mud = self.mud_rate * dt * np.exp(multiply(x, 0.062975, y))             # ln 1.065
                breath_rate = self.water_rate * dt * warm / maximum(c, STARVED, out=y)
                mud_rate = mud / maximum(c, LIMITED, out=y)
                still = 1.0 / (1.0 + breath_rate + mud_rate)
                sums.fill(0.0)
            strength = sun[i]
            if strength > 0:
                multiply(sun_share, strength, x)
                add(t, x, t)
                multiply(plants, plant_light[i], x)
                if shade is not None:
                    multiply(x, shade, x)
                add(made, x, made)
                add(c, x, c)
            multiply(c, still, c)
            add(sums, c, sums)
            # mixing by wind, diffusion and plume: K0/(1 + 37 Ri^2) with Ri = (sqrt(1 + c N2) - 1)/20
            multiply(step, damping[i], g)
            maximum(g, none_face, out=g)
            add(g, bend, g)
            sqrt(g, g)
            subtract(g, root, g)
            multiply(g, g, g)
            add(g, one_face, g)
            divide(eddy[i], g, g)
            if open_face is not one_face:
                multiply(g, open_face, g)
            add(g, least, g)
            negative(g, minus)
            add(volume, over, diag)
            add(diag, under, diag)
            if running:
                sink, rise = minus.copy(), minus
                rows[3] = 0.0
                for s, on in running:
                    j = self._plume(s, on, light, diag, sink, rise)
                    rows[3, s * n + j] = 1.0
                    settled[i, s] = j
                multiply(state, volume, state)
                dgtsv(sink, diag, rise, tall_rows, 1, 1, 1, 1)
                for s, on in running:
                    plume, block = ponds[s].plume, rows[:, s * n:(s + 1) * n]
                    pull = block.dot(plume.entrained) * (plume.flow * on * dt)
                    block[:3] += block[3] * (pull[:3, None] / (1.0 - pull[3]))
            else:
                multiply(state, volume, state)
                dptsv(diag, minus, tall_state, 1, 1, 1)
            # heavy water sinks
            weigh()
            if step.item(step.argmin()) < -TINY:
                wrong = [k for k, value in enumerate(step.tolist()) if value < -TINY]
                settle_heavy(wrong, state, volume, light, n)
                subtract(light_upper, light_lower, step)
                for k in seams:
                    step[k] = 0.0
            self._freeze()
            held_ice.append(tuple(self.ice))
            if i % slow == slow - 1 or i == steps - 1:
                # what stagnant water owes grows by the mud's unmet demand and is paid from what it meets
                multiply(sums, breath_rate, x)
                add(breathed, x, breathed)
                multiply(sums, mud_rate, x)
                add(muddy, x, muddy)
                subtract(mud * (i % slow + 1), x, x)
                multiply(x, self.debt_share, x)
                add(owed, x, owed)
                add(b, x, b)
                np.minimum(b, c, out=x)
                subtract(c, x, c)
                subtract(b, x, b)
            held[i] = state
        booked = {"made": made, "used in water": breathed, "used by mud": muddy, "owed": owed}
        for key, amount in booked.items():
            self.oxygen_in[key] = (self.oxygen_in[key] + self.by_pond @ amount).tolist()
        return np.moveaxis(held, 1, 0).reshape(3, steps, m, n), np.array(held_ice), settled

    def _mud_heat(self):
        gain = (self.bed - self.temperature) * self.bed_pull
        self.temperature += gain
        self.bed -= gain * self.bed_give

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
                bare = min(1.0, pond.plume.open_water / a) if on > 0 else 0.0
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
        through = ICE_CONDUCTS / thick
        top = gain if gain > 0 else gain * through / (through + pull)       # W/m2, into the ice
        below = WATER_CONDUCTS * max(ts, 0.0) / (0.5 * pond.spacing)
        if ts > A1:                                     # warmer than the heaviest water rises against the ice
            below += (ts - A1) * top_heat / (a * dt)
        heat = -below * covered * a * dt
        self.heat_in[s] += (top * covered + sun * (passed * covered + bare)) * a * dt
        thick -= (top + below) * covered * dt / ICE_HEAT
        if bare > 0:
            open_heat = hours.flux(s, i, ts) * bare * a * dt
            heat += open_heat
            self.heat_in[s] += open_heat
        if thick < 0:
            heat -= thick * ICE_HEAT * a
            thick = 0.0
        self.ice[s] = thick
        return ts + heat / top_heat

    def _plume(self, s, on, light, diag, sink, rise):
        """Add a plume to the system; gives the layer its water settles in."""
        pond, n = self.ponds[s], self.n
        plume, k = pond.plume, s * n
        at, faces = slice(k, k + n), slice(k, k + n - 1)
        warm, rich = (self.state[:2, at].dot(plume.entrained) / (1.0 + plume.plunge)).tolist()
        j = max(int(np.count_nonzero(light[at] >= lightness(warm))) - 1, 0)
        flow = plume.flow * on * self.dt
        diag[at] += flow * plume.diagonal[j]
        sink[faces] -= flow * plume.sink[j]
        rise[faces] -= flow * plume.rise[j]
        give = plume.oxygen_rate * on * self.dt * max(0.0, 1 - rich / plume.fullest)
        if give > 0.0:
            v = pond.volume[j]
            give = min(give, max(0.0, plume.fullest - self.oxygen.item(k + j)) * v)
            self.oxygen[k + j] += give / v
            self.oxygen_in["from bubbles"][s] += give
        return j


class _Hours:
    """Everything about the weather that can be worked out before the first step."""

    def __init__(self, column, full_vapor):
        w, m = column.weather, column.m
        self.full_vapor = full_vapor
        ahead = [p.prepare(w) for p in column.ponds]

        def side_by_side(name):
            gap = np.zeros((len(w.hour), 1))
            parts = [x for a in ahead for x in (getattr(a, name), gap)]
            return np.concatenate(parts[:-1], axis=1)
        self.eddy = side_by_side("k0") * column.face
        self.damping = side_by_side("c0") * column.stiff
        self.plant_light = np.concatenate([a.plant_light for a in ahead], axis=1)
        self.sun = ((1 - REFLECTED) * w.sunlight).tolist()
        self.sky = (EMISSIVITY * w.sky_glow).tolist()
        self.damp, self.air = w.vapor_pressure.tolist(), w.air_temperature.tolist()
        self.vapor = [a.vapor.tolist() for a in ahead]
        self.warmth = [a.warmth.tolist() for a in ahead]
        self.gas = [(a.gas_speed * column.dt).tolist() for a in ahead]
        self.top_volume = [float(p.volume[0]) for p in column.ponds[:m]]

    def flux(self, s, i, ts):
        """Heat into open water other than sunlight, W/m2."""
        glow = EMISSIVITY * SIGMA * (ts + 273.15) ** 4
        steam = self.vapor[s][i] * (self.full_vapor[int(ts * 100) if ts > 0 else 0] - self.damp[i])
        return self.sky[i] - glow - steam - self.warmth[s][i] * (ts - self.air[i])

/** What unequal temperature of its two legs does to a hose level. */
import type { Fluid } from "../job/library-model.ts";
import type { SetUp } from "../job/model.ts";
import { type Celsius, type Metres, type Millimetres, metres, millimetres } from "../units.ts";
import type { TemperatureBound } from "./model.ts";

/**
 * Density of water free of air at one atmosphere, kg/m³, 0 to 100 °C; relative error below 1e-5.
 * Kell, "Density, thermal expansivity, and compressibility of liquid water from 0° to 150°C",
 * Journal of Chemical and Engineering Data 20 (1975), eq. 16. Throws outside that range.
 */
export function waterDensity(temperature: Celsius): number {
  const t = temperature;
  if (!(t >= 0 && t <= 100)) throw new RangeError(`water at ${t} °C is no liquid for a level`);
  const above =
    999.83952 + t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12))));
  return above / (1 + 16.87985e-3 * t);
}

/**
 * How far apart the two ends of a hose stand when its vertical legs have different temperatures:
 * Δh = H·(ρ₁/ρ₂ − 1), from equal pressure at the lowest point (hydrostatics). A level run adds nothing.
 */
export function legError(fluid: Fluid, leg: Metres, coolest: Celsius, warmest: Celsius): Millimetres {
  const ratio =
    fluid.kind === "water"
      ? waterDensity(coolest) / waterDensity(warmest)
      : 1 + fluid.expansionPerKelvin * (warmest - coolest);
  return millimetres(leg * 1000 * (ratio - 1));
}

/**
 * Bounds for the set-ups on whose sheet temperatures stand. Water is densest at 4 °C, so a range that
 * holds that temperature is split there and the larger part counts.
 */
export function temperatureBounds(setUps: readonly SetUp[]): TemperatureBound[] {
  return setUps.flatMap((setUp) => {
    const { temperature, instrument } = setUp;
    if (!temperature || !instrument.fluid) return [];
    const { fluid } = instrument;
    const { coolest, warmest, verticalLeg } = temperature;
    const between = (from: Celsius, to: Celsius) => Math.abs(legError(fluid, metres(1), from, to));
    const perMetre =
      fluid.kind === "water" && coolest < DENSEST && warmest > DENSEST
        ? Math.max(between(coolest, DENSEST), between(DENSEST, warmest))
        : between(coolest, warmest);
    return [{ setUpId: setUp.id, perMetreOfLeg: millimetres(perMetre), bound: millimetres(perMetre * verticalLeg) }];
  });
}

/** Water is densest here (from Kell's table). */
const DENSEST: Celsius = 3.98;

/**
 * Air as a medium: how fast sound travels and how much of it the air takes away.
 */
import { requirePositive, requireWithin } from "../../guard/arguments";

export interface Air {
  /** °C */
  readonly temperature: number;
  /** percent, 0…100 */
  readonly relativeHumidity: number;
  /** kilopascals; 101.325 at sea level */
  readonly pressure: number;
}

/** Air of a full, ventilated hall: 20 °C, 50 %, sea level. */
export const standardAir: Air = { temperature: 20, relativeHumidity: 50, pressure: 101.325 };

const referenceTemperature = 293.15;
const triplePoint = 273.16;
const referenceAtmosphere = 101.325;

/**
 * Speed of sound in air from its temperature alone.
 *
 * Humidity and pressure are left out: at 30 °C air saturated with water is 0.7 % faster than dry air.
 *
 * @param temperature  °C, −20 to 50
 * @returns metres per second
 * @throws RangeError outside −20 °C to 50 °C
 * @source ISO 9613-1:1993, annex A, 343.2 (T/293.15)^½; check: tests/acoustics/distance/air.test.ts
 * @example
 * acoustics.air.speedOfSound(20) // 343.2
 */
export function speedOfSound(temperature: number): number {
  requireWithin("temperature", temperature, -20, 50);
  return 343.2 * Math.sqrt((temperature + 273.15) / referenceTemperature);
}

/**
 * Attenuation of a pure tone by the air itself, per metre of path: what makes the treble of a far array dull.
 *
 * The standard states ±10 % where the molar concentration of water lies between 0.05 % and 5 % and the frequency
 * between 4·10⁻⁴ and 10 Hz per pascal (40 Hz to 1 MHz at sea level), less accuracy for drier air. Below that
 * frequency the formula is continued: the value is under 0.3 dB per kilometre there and matters to nobody.
 *
 * @param frequency  hertz, > 0, at most 10 Hz per pascal of pressure
 * @param air  temperature −20 to 50 °C; humidity such that the molar concentration of water is at least 0.005 %;
 *   pressure above 0 up to 200 kPa
 * @returns dB per metre
 * @throws RangeError outside these limits
 * @source ISO 9613-1:1993, eq. 3 to 5 and annex B; check: tests/acoustics/distance/air.test.ts
 * @example
 * const air = { ...acoustics.air.standard, relativeHumidity: 70 };
 * 1000 * acoustics.air.absorption(1000, air) // 4.98
 */
export function atmosphericAbsorption(frequency: number, air: Air): number {
  requirePositive("frequency", frequency);
  requireWithin("temperature", air.temperature, -20, 50);
  requireWithin("relative humidity", air.relativeHumidity, 0, 100);
  requireWithin("pressure", air.pressure, 0.001, 200);
  requireWithin("frequency over pressure (Hz/Pa)", frequency / (air.pressure * 1000), 0, 10);
  const kelvin = air.temperature + 273.15;
  const t = kelvin / referenceTemperature;
  const p = air.pressure / referenceAtmosphere;
  const h = waterConcentration(air);
  requireWithin("molar concentration of water (%)", h, 0.005, 100);
  const oxygen = p * (24 + (4.04e4 * h * (0.02 + h)) / (0.391 + h));
  const nitrogen = (p / Math.sqrt(t)) * (9 + 280 * h * Math.exp(-4.17 * (Math.cbrt(1 / t) - 1)));
  const f2 = frequency * frequency;
  const classical = (1.84e-11 / p) * Math.sqrt(t);
  const byOxygen = (0.01275 * Math.exp(-2239.1 / kelvin)) / (oxygen + f2 / oxygen);
  const byNitrogen = (0.1068 * Math.exp(-3352 / kelvin)) / (nitrogen + f2 / nitrogen);
  return 8.686 * f2 * (classical + t ** -2.5 * (byOxygen + byNitrogen));
}

/**
 * Molar concentration of water vapour in humid air.
 *
 * @param air  temperature −20 to 50 °C, any relative humidity, pressure > 0
 * @returns percent
 * @throws RangeError when temperature or pressure lie outside
 * @source ISO 9613-1:1993, annex B; check: tests/acoustics/distance/air.test.ts
 */
export function waterConcentration(air: Air): number {
  requireWithin("temperature", air.temperature, -20, 50);
  requirePositive("pressure", air.pressure);
  const kelvin = air.temperature + 273.15;
  const saturation = 10 ** (-6.8346 * (triplePoint / kelvin) ** 1.261 + 4.6151);
  return (air.relativeHumidity * saturation * referenceAtmosphere) / air.pressure;
}

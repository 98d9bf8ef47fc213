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
 * Speed of sound in humid air.
 *
 * The carbon dioxide content is an argument, for a crowd raises it a little; its effect is under 0.1 m/s.
 *
 * @param air  temperature 0 to 30 °C, relative humidity 0 to 100 %, pressure 75 to 102 kPa
 * @param carbonDioxide  molar fraction, 0 to 0.01
 * @returns metres per second, for frequencies of the audible range
 * @throws RangeError outside the limits above, which are the paper's
 * @source Cramer, The variation of the specific heat ratio and the speed of sound in air with temperature, pressure, humidity, and CO2 concentration, J. Acoust. Soc. Am. 93 (1993), 2510-2516, eq. 15; check: tests/acoustics/distance/air.test.ts
 */
export function speedOfSoundInAir(air: Air, carbonDioxide = 0.0004): number {
  const t = air.temperature;
  requireWithin("temperature", t, 0, 30);
  requireWithin("relative humidity", air.relativeHumidity, 0, 100);
  requireWithin("pressure", air.pressure, 75, 102);
  requireWithin("carbon dioxide", carbonDioxide, 0, 0.01);
  const p = air.pressure * 1000;
  const w = cramerWaterFraction(t, air.relativeHumidity, p);
  const c = carbonDioxide;
  return (
    331.5024 +
    0.603055 * t -
    0.000528 * t * t +
    (51.471935 + 0.1495874 * t - 0.000782 * t * t) * w +
    (-1.82e-7 + 3.73e-8 * t - 2.93e-10 * t * t) * p +
    (-85.20931 - 0.228525 * t + 5.91e-5 * t * t) * c -
    2.835149 * w * w -
    2.15e-13 * p * p +
    29.179762 * c * c +
    0.000486 * w * p * c
  );
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

/** Molar fraction of water, by the saturation pressure and enhancement factor that Cramer's fit was made with. */
function cramerWaterFraction(t: number, relativeHumidity: number, pascals: number): number {
  const kelvin = t + 273.15;
  const enhancement = 1.00062 + 3.14e-8 * pascals + 5.6e-7 * t * t;
  const saturation = Math.exp(
    1.2811805e-5 * kelvin * kelvin - 1.9509874e-2 * kelvin + 34.04926034 - 6.3536311e3 / kelvin,
  );
  return ((relativeHumidity / 100) * enhancement * saturation) / pascals;
}

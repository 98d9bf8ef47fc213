/** Runs simulated shows through the calibration and counts how often and how far it is right. */
import { balance } from "../../../lib/decision/balance/balance";
import { calibrate } from "../../../lib/decision/calibration/calibrate";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { show } from "./shows";

export interface Trials {
  readonly count: number;
  /** Share of shows whose interval holds the true offset. */
  readonly covered: number;
  /** Median over the shows of the cost at the calibrated offset over the least cost, dB, on the true seats. */
  readonly medianLoss_db: number;
  /** The same for the venue file alone, and for the microphones alone. */
  readonly medianLossOfFile_db: number;
  readonly medianLossOfMicrophones_db: number;
  /** Median size of the offset's error, dB. */
  readonly medianError_db: number;
  readonly medianErrorOfFile_db: number;
  /** Mean of the half width of the interval, dB. */
  readonly meanHalfWidth_db: number;
}

export function trials(count: number, firstSeed: number): Trials {
  let covered = 0;
  let width = 0;
  const loss: number[] = [];
  const lossOfFile: number[] = [];
  const lossOfMicrophones: number[] = [];
  const error: number[] = [];
  const errorOfFile: number[] = [];
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    const { file, seats, audience, measured, field } = show(seed);
    const truth = levelOffset(audience);
    const found = calibrate(file, measured, { seats, field });
    const cost = (offset: number) => balance(audience, { offset }).audience.rms_db - truth.cost_db;
    const { from_db, to_db } = found.interval;
    if (truth.offset_db >= from_db && truth.offset_db <= to_db) covered++;
    width += (to_db - from_db) / 2;
    loss.push(cost(found.offset_db));
    lossOfFile.push(cost(found.offsetBefore_db));
    lossOfMicrophones.push(cost(levelOffset(measured).offset_db));
    error.push(Math.abs(found.offset_db - truth.offset_db));
    errorOfFile.push(Math.abs(found.offsetBefore_db - truth.offset_db));
  }
  return {
    count,
    covered: covered / count,
    medianLoss_db: median(loss),
    medianLossOfFile_db: median(lossOfFile),
    medianLossOfMicrophones_db: median(lossOfMicrophones),
    medianError_db: median(error),
    medianErrorOfFile_db: median(errorOfFile),
    meanHalfWidth_db: width / count,
  };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}

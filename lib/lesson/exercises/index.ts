export {
  type Exercise,
  exercise,
  exerciseRows,
  type Mark,
  type Setting,
  type Solution,
  type Spot as MicrophoneSpot,
} from "./exercise";
export { type Candidate, type Examination, examine, type Tried } from "./grade";
export { type Misconception, misconceptions } from "./misconceptions";

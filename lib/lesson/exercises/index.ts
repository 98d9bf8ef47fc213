export {
  type Exercise,
  exercise,
  exerciseRows,
  type Mark,
  type Setting,
  type Solution,
  type Spot as MicrophoneSpot,
} from "./exercise";
export { type Candidate, type Grade as Examination, grade as examine, type Tried } from "./grade";
export { type Misconception, misconceptions } from "./misconceptions";

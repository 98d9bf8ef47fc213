/** Exercises on ideas that no venue decides. */
import type { Entry } from "../task";
import { filterDelayTask } from "./filter-delay";
import { firstArrivalTask } from "./first-arrival";
import { limiterTask } from "./limiter";
import { loudnessTask } from "./loudness";
import { meanLevelTask } from "./mean-level";

export const byHand = [
  {
    id: "meadow-mean",
    level: 1,
    venue: "ulverow-meadow",
    situation: "The organiser wants one number for the bass on the meadow, for the form that the town sends.",
    point: "Levels are averaged by power; where the mean of the decibels is another, positions differ.",
    microphones: 0,
    setUp: meanLevelTask(),
  },
  {
    id: "ballroom-filter",
    level: 3,
    venue: "marrowby-long-ballroom",
    situation: "The subs are late, says everyone with a stopwatch, and asks for the mains to wait for them.",
    point: "Group delay is the filter's own and shared by the pair; a delay is for a path.",
    microphones: 0,
    setUp: filterDelayTask(),
  },
  {
    id: "ballroom-voice",
    level: 2,
    venue: "marrowby-long-ballroom",
    situation:
      "The last tables complain that the speaker talks from the ceiling; the next ones, that they can't follow him.",
    point: "A voice is heard where it comes from first; level may do much before it changes that.",
    microphones: 0,
    setUp: firstArrivalTask(),
  },
  {
    id: "hall-loudness",
    level: 2,
    venue: "pennavoe-assembly-hall",
    situation:
      "Rehearsal and show are never equally loud in the assembly hall, and the headmaster has a meter.",
    point: "A target balance belongs to a listening level.",
    microphones: 0,
    setUp: loudnessTask(),
  },
  {
    id: "hall-limiter",
    level: 2,
    venue: "pennavoe-assembly-hall",
    situation: "The school's band says: just turn the subs up. Their amplifiers show yellow lamps by now.",
    point: "What a limiter refuses no fader gives; more cabinets do.",
    microphones: 0,
    setUp: limiterTask(),
  },
] as const satisfies readonly Entry[];

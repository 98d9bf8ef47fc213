/** All exercises: what the student meets, and what it is about. */
import { byHand } from "./by-hand/entries";
import { delayTask, polarityTask } from "./kinds/crossover";
import { dipTask, upToWall, wallOrNone } from "./kinds/dip";
import { faultyMicrophoneTask } from "./kinds/faulty-microphone";
import { jointTask } from "./kinds/joint";
import { layoutTask } from "./kinds/layout";
import { microphonesTask } from "./kinds/microphones";
import { correctionTask, mixPositionTask } from "./kinds/mix-position";
import { offsetTask } from "./kinds/offset";
import { distanceTask, trimTask, wiringTask } from "./kinds/rig";
import type { Entry } from "./task";
import { ROOMS } from "./truth/truth";

const theatre = [
  {
    id: "theatre-mix",
    level: 2,
    venue: "harbour-theatre",
    situation: "The console is bolted to its desk, and the desk to the floor.",
    point: "A fixed mix position is usable when its error is known as one number.",
    microphones: 4,
    setUp: correctionTask(),
  },
  {
    id: "theatre-level",
    level: 1,
    venue: "harbour-theatre",
    situation:
      "Last night's band took its own console and left the theatre's subs where its bass player liked them. Doors are in an hour.",
    point: "The level of the subs is decided for all people together; the front row alone would need less.",
    microphones: 4,
    setUp: offsetTask(),
  },
  {
    id: "theatre-dip",
    level: 2,
    venue: "harbour-theatre",
    situation:
      "The bass guitar loses one note in the whole house. The space under the stage was closed with boards last year. The set's wall behind the subs comes and goes with the play; the drawing has it where it stands tonight.",
    point:
      "The cause of a dip is what fills it when it is taken away; where a wall behind the subs stands, its frequency tells the distance.",
    microphones: 4,
    setUp: dipTask({
      causes: ["wall behind the subs", "cavity", "ceiling", "rear wall"],
      change: wallOrNone,
      upTo: upToWall,
    }),
  },
  {
    id: "theatre-stand",
    level: 2,
    venue: "harbour-theatre",
    situation:
      "The stacks are on wheels today, and the stage manager says: anywhere on that line, but tell me now.",
    point: "A wall behind a sub is harmless where its dip falls outside the subs' band.",
    microphones: 0,
    setUp: distanceTask({ steps: [-0.9, 0, 0.6, 1.1], wall: -1.05 }),
  },
  {
    id: "theatre-place",
    level: 2,
    venue: "harbour-theatre",
    situation:
      "Six seats at the back of the stalls are held for the console; the box office wants five of them back.",
    point: "A good mix position hears the mean of the house and does not change with a step.",
    microphones: 4,
    rooms: ROOMS,
    setUp: mixPositionTask(),
  },
] as const satisfies readonly Entry[];

const cellar = [
  {
    id: "cellar-everything",
    level: 3,
    venue: "ombrik-cellar",
    situation:
      "A touring duo's own system settings are still in the club's processor: level, delay and polarity of the subs are anybody's guess.",
    point: "Level, delay and polarity of the subs are one decision in the low band: time first, then level.",
    microphones: 5,
    setUp: jointTask(),
  },
  {
    id: "cellar-sum-dip",
    level: 3,
    venue: "ombrik-cellar",
    situation: "Subs alone sound full, mains alone sound clean, together there is a dip.",
    point: "What neither part has is made by both: look at the phase, not at the walls.",
    microphones: 4,
    setUp: dipTask({
      causes: ["mains against subs", "ceiling", "side walls", "rear wall"],
      fault: "inverted subs",
    }),
  },
  {
    id: "cellar-level",
    level: 1,
    venue: "ombrik-cellar",
    situation:
      "The neighbours' complaint of last week was answered by somebody with the sub fader. Tonight is full.",
    point: "Where nothing hangs, mains and subs fall off alike: one level suits nearly everybody.",
    microphones: 3,
    setUp: offsetTask(),
  },
  {
    id: "cellar-wiring",
    level: 2,
    venue: "ombrik-cellar",
    situation: "Both stacks were taken out to paint the wall and put back by the painters.",
    point: "The centre line is where two stacks show whether they agree.",
    microphones: 3,
    setUp: wiringTask(),
  },
  {
    id: "cellar-polarity",
    level: 1,
    venue: "ombrik-cellar",
    situation: "A new cable to the subs was soldered in the afternoon, by candlelight as they say here.",
    point: "In a low room reflections blur the sum: listen at several positions before you change anything.",
    microphones: 3,
    setUp: polarityTask(),
  },
  {
    id: "cellar-place",
    level: 2,
    venue: "ombrik-cellar",
    situation:
      "The mix engineer may stand anywhere along the back third of the floor, between the pillars and the bar.",
    point:
      "In a small room a metre decides: modes and reflections differ from position to position more than distance does.",
    microphones: 4,
    rooms: ROOMS,
    setUp: mixPositionTask(),
  },
] as const satisfies readonly Entry[];

const ballroom = [
  {
    id: "ballroom-delay",
    level: 2,
    venue: "marrowby-long-ballroom",
    situation:
      "The ballroom's processor was reset and reloaded from a memory card of unknown age. Levels are right; something in time is not.",
    point: "Align over the whole overlap and for the house, not at one frequency and for one seat.",
    microphones: 4,
    setUp: delayTask(),
  },
  {
    id: "ballroom-level",
    level: 1,
    venue: "marrowby-long-ballroom",
    situation:
      "A gala with speeches and a dance band. The block of subs was set by someone who stood at table 1.",
    point: "In a long room the first tables and the last want levels that are far apart; the people decide.",
    microphones: 4,
    setUp: offsetTask({ left: [5, 10] }),
  },
  {
    id: "ballroom-worst",
    level: 2,
    venue: "marrowby-long-ballroom",
    situation:
      "Every table costs the same here, and the organiser wants no table to have a reason to complain.",
    point: "Least worst is another aim than least mean square: it splits the difference of the extremes.",
    microphones: 5,
    setUp: offsetTask({ criterion: "least worst" }),
  },
  {
    id: "ballroom-microphones",
    level: 2,
    venue: "marrowby-long-ballroom",
    situation:
      "You own three microphones and the ballroom is forty metres long. The tables are laid; you may walk once.",
    point: "Few microphones are enough when they stand for different parts of the audience.",
    microphones: 3,
    setUp: microphonesTask(),
  },
  {
    id: "ballroom-mix",
    level: 2,
    venue: "marrowby-long-ballroom",
    situation: "The console stands where the caterers left a gap.",
    point: "What the mix position lacks must stay missing there.",
    microphones: 4,
    setUp: correctionTask(),
  },
  {
    id: "ballroom-trim",
    level: 3,
    venue: "marrowby-long-ballroom",
    situation:
      "The ballroom's hanging points have been checked by the house's riggers, who now ask how high.",
    point:
      "A higher hang keeps its level and leaves the subs behind; what counts is how the two drift apart.",
    microphones: 0,
    setUp: trimTask([-2, -1, 0]),
  },
] as const satisfies readonly Entry[];

const wideRoom = [
  {
    id: "wide-level",
    level: 1,
    venue: "estrum-wide-room",
    situation:
      "A product is presented to eight hundred people, and the opening film was mixed on headphones.",
    point: "In a wide room the seats at the sides are many: they count as people, not as corners.",
    microphones: 4,
    setUp: offsetTask(),
  },
  {
    id: "wide-layout",
    level: 2,
    venue: "estrum-wide-room",
    situation: "The rental truck brought six cabinets and no plan of how they should stand.",
    point: "Evenness comes from where the sources are, before any setting is made.",
    microphones: 0,
    setUp: layoutTask(),
  },
  {
    id: "wide-microphones",
    level: 2,
    venue: "estrum-wide-room",
    situation: "Three microphones for thirty-four metres of width; the aisle in the middle is so convenient.",
    point: "Microphones in one line tell about that line.",
    microphones: 3,
    setUp: microphonesTask(),
  },
  {
    id: "wide-place",
    level: 2,
    venue: "estrum-wide-room",
    situation: "The client offers six positions for the console, all with a good view of the lectern.",
    point: "A good view of the lectern does not make a good mix reference position.",
    microphones: 4,
    rooms: ROOMS,
    setUp: mixPositionTask(),
  },
] as const satisfies readonly Entry[];

const arena = [
  {
    id: "arena-level",
    level: 1,
    venue: "vollhaven-arena",
    situation: "The support act asked for more, got it, and left. Eight thousand people are waiting.",
    point: "Flown subs lose less on the way to the back, so one level can suit floor and stand.",
    microphones: 4,
    setUp: offsetTask(),
  },
  {
    id: "arena-microphone",
    level: 2,
    venue: "vollhaven-arena",
    situation:
      "The arena's measuring microphones hang there for years. The log says that one was replaced by a vocal one.",
    point: "A fault in the chain has a shape; distance has a level.",
    microphones: 6,
    setUp: faultyMicrophoneTask(),
  },
  {
    id: "arena-mix",
    level: 3,
    venue: "vollhaven-arena",
    situation: "The mix position of the tour is fixed by the camera lanes, to the centimetre.",
    point: "Give the engineer one number, and say where it comes from.",
    microphones: 5,
    setUp: correctionTask(),
  },
] as const satisfies readonly Entry[];

const meadow = [
  {
    id: "meadow-everything",
    level: 3,
    venue: "ulverow-meadow",
    situation:
      "The system tech fell ill after line check, and the notes are in a language that nobody reads.",
    point: "A level that was set before the delay is a level for the wrong delay.",
    microphones: 6,
    setUp: jointTask(),
  },
  {
    id: "meadow-level",
    level: 1,
    venue: "ulverow-meadow",
    situation:
      "An open-air night. The subs were set at dawn, from the barrier, so as not to wake the campsite.",
    point: "Without walls nothing but distance is left, and distance favours the front.",
    microphones: 4,
    setUp: offsetTask({ left: [5, 10] }),
  },
  {
    id: "meadow-worst",
    level: 3,
    venue: "ulverow-meadow",
    situation:
      "The organiser sells blankets for the slope at the far end and wants nobody there left without bass.",
    point: "The worst seats are the nearest and the farthest; the crowd between has no say in this.",
    microphones: 5,
    setUp: offsetTask({ criterion: "least worst" }),
  },
  {
    id: "meadow-stage",
    level: 2,
    venue: "ulverow-meadow",
    situation:
      "A string quartet opens the festival, and its microphones hear the subs as well as the crowd does.",
    point: "What spares the stage is a pattern, and a pattern needs cabinets one behind the other.",
    microphones: 0,
    setUp: layoutTask({ aim: "spill" }),
  },
  {
    id: "meadow-delay",
    level: 1,
    venue: "ulverow-meadow",
    situation: "The rows of subs were pushed around the mud, and the delays in the processor with them.",
    point: "Outdoors one arrival is all there is: the cleanest place to learn what a delay does.",
    microphones: 3,
    setUp: delayTask(),
  },
  {
    id: "meadow-trim",
    level: 3,
    venue: "ulverow-meadow",
    situation: "Wind is forecast, and the riggers would rather hang lower. How much does the audience mind?",
    point:
      "Trim moves the mains' share of the drift. Whether it may hang there at all is for the riggers to say.",
    microphones: 0,
    setUp: trimTask([-5, -2.5, 0]),
  },
] as const satisfies readonly Entry[];

const church = [
  {
    id: "church-level",
    level: 2,
    venue: "ansgrith-church",
    situation:
      "A choir with a rhythm section. The organist has asked for less of everything; someone found the sub fader.",
    point: "Beyond the critical distance the level hardly falls any more: the nave wants nearly one level.",
    microphones: 5,
    setUp: offsetTask(),
  },
  {
    id: "church-microphones",
    level: 3,
    venue: "ansgrith-church",
    situation: "The pews are full of rehearsing singers, and you have six microphones.",
    point: "In reverberation each trace is one draw of many: positions apart from each other average better.",
    microphones: 6,
    setUp: microphonesTask(),
  },
  {
    id: "church-microphone",
    level: 3,
    venue: "ansgrith-church",
    situation: "Six microphones of the parish, five of them alike. The sexton remembers a switch.",
    point: "Where the room makes every trace rough, a fault is found by comparing it with the model.",
    microphones: 6,
    setUp: faultyMicrophoneTask(),
  },
] as const satisfies readonly Entry[];

const hall = [
  {
    id: "hall-mix",
    level: 2,
    venue: "pennavoe-assembly-hall",
    situation: "The headmaster wants the mix engineer where he can see him.",
    point: "The bass near a wall or in the middle differs from that in the rows; the number says how far.",
    microphones: 4,
    setUp: correctionTask(),
  },
  {
    id: "hall-dip",
    level: 2,
    venue: "pennavoe-assembly-hall",
    situation:
      "Wherever one sits in the hall, the same low note is missing. The stage booms when one walks on it.",
    point: "A hollow stage answers as a pipe closed at its end.",
    microphones: 4,
    setUp: dipTask({ causes: ["cavity", "ceiling", "side walls", "rear wall"] }),
  },
  {
    id: "hall-layout",
    level: 3,
    venue: "pennavoe-assembly-hall",
    situation:
      "The hall's four old cabinets are replaced by six new ones, and the caretaker has sawn no platform yet.",
    point: "Compare layouts at their own best level: loudness is a fader, evenness is not.",
    microphones: 0,
    setUp: layoutTask(),
  },
  {
    id: "hall-level",
    level: 1,
    venue: "pennavoe-assembly-hall",
    situation:
      "The school's theatre group mixed its play with the subs as an effect. Tonight it is a concert.",
    point: "A raked floor does not change it: the nearest are few, and they are the loudest voice.",
    microphones: 3,
    setUp: offsetTask(),
  },
] as const satisfies readonly Entry[];

export const catalogue = [
  ...theatre,
  ...cellar,
  ...ballroom,
  ...wideRoom,
  ...arena,
  ...meadow,
  ...church,
  ...hall,
  ...byHand,
] as const satisfies readonly Entry[];

/** Names of the exercises, so that an editor completes them. */
export type ExerciseId = (typeof catalogue)[number]["id"];

/**
 * The entry of an exercise.
 *
 * @throws RangeError with all names where there is none of this one
 */
export function entryOf(id: ExerciseId): Entry {
  const entry: Entry | undefined = catalogue.find((each) => each.id === id);
  if (entry) return entry;
  throw new RangeError(
    `there is no exercise "${id}", expected ${catalogue.map((e) => `"${e.id}"`).join(", ")}`,
  );
}

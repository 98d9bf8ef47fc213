/** Mistakes that people make for a reason: each with a hint, and a stronger one for the second time. */

export const hints = {
  "front row decides": [
    "Your answer is right for those nearest the stage. How many people are they, and what do the others get?",
    "The front row is closest to the subs in proportion, so it needs the least level of them. Use decide.offset() on microphones spread from front to back; it weighs each by its people.",
  ],
  "back row decides": [
    "Your answer is right for those farthest away. Who pays for it?",
    "At the back the subs have lost most, so the back needs the most level of them. Let all people count: decide.offset() does it when the microphones are spread.",
  ],
  "mix position decides": [
    "Your answer is right where the engineer stands. Nobody paid for a ticket there.",
    "The mix position is one position with its own dips. Decide where people are, then tell the mix engineer how far the mix position is off.",
  ],
  "wrong sign": [
    "The size is about right. Say aloud who has to come up or down, earlier or later.",
    "Positive means: subs louder, subs later. Your answer has the opposite sign.",
  ],
  "left as it was": [
    "You changed nothing. Is that what the microphones say?",
    "Somebody left a setting behind. Compare what the subs do with what the drawing lets you expect, then decide by numbers.",
  ],
  "too few positions": [
    "Something of the answer is right, but it doesn't hold where you did not measure. Where did your microphones stand?",
    "Spread them: near, middle, far, and one away from the centre line. An answer from one position belongs to that position.",
  ],
  "not measured": [
    "No microphone has stood anywhere yet. What is your number founded on?",
    "Place microphones first, near, middle, far and beside the centre line: measure([…]) with names or metres. Then decide by what they heard.",
  ],
  "side by side spares nothing": [
    "Cabinets side by side send as much to the stage as to the front. What would make front and back differ?",
    "Only cabinets one behind the other can cancel backward: each waits until the wave from behind has come. decide.compareLayouts() calls what reaches the stage spill_db.",
  ],
  "deviation of the many": [
    "Your answer is best for the mean. Here nobody may be left far behind.",
    'The question is about the worst seat: decide.offset(survey, { criterion: "least worst" }) puts the two extremes at equal distance.',
  ],
  "level before time": [
    "The level is one part. When do the subs arrive, and in which polarity?",
    "Delay and polarity decide how far subs and mains help each other: decide.alignment(survey) first, then decide.offset(survey, { delay, polarity }) with the delay in seconds.",
  ],
  "polarity taken for delay": [
    "Inverting the subs helps at one frequency. What happens a third of an octave away?",
    "Half a period of delay and an inverted polarity agree at the crossover only. Look for the setting that works over the whole overlap: decide.alignment() tries both.",
  ],
  "a period off": [
    "At the crossover frequency itself it fits. Look beside it.",
    "You are a whole period late or early: the phase agrees again, but only there, and the beat is smeared. Take the choice with the least delay.",
  ],
  "distance alone": [
    "You have computed the path through the air. Which filters and which latency did the sound pass before?",
    "Distance over speed of sound is not all: filters turn the phase, and a system may hold a delay that nobody wrote down. Measure, then align.",
  ],
  "one seat aligned": [
    "It fits at one position. Paths from mains and subs differ elsewhere: who is in phase now?",
    "Align for the audience, not for one position: decide.alignment(survey) without the option at weighs all microphones by their people.",
  ],
  "polarity by habit": [
    "Polarity is no matter of custom. What do the sums at your microphones say?",
    "Compare the sum through the crossover both ways with decide.crossoverSum(survey, position, { polarity: -1 }): the right one is louder at most positions.",
  ],
  "wanders taken for stays": [
    "Follow the dip from row to row. Does it keep its frequency as what is near the subs would have it?",
    "What is near the subs dips at one frequency in every row. Take it away in the drawing: venues.without() leaves it out, decide.causes() asks of everything how much of the dip goes with it.",
  ],
  "stays taken for wanders": [
    "Follow the dip from row to row. Does it move?",
    "Modes and many paths together stay as well, but here it may be close to the subs: a wall behind them, or a cavity. Which of the two has the right length for this frequency? Take it away in the drawing and look again.",
  ],
  "wrong length": [
    "The kind of thing is right. Compute its frequency from its length.",
    "A wall at distance d behind a sub's acoustic centre cancels at c/(4d); a closed cavity of depth d answers at c/(4d) of its own depth. Put both numbers beside the dip.",
  ],
  "room blamed for the crossover": [
    "Look at subs alone and mains alone: does either of them have this dip?",
    "Neither does. Two parts of like level and opposite phase make a dip in the sum only: that is a matter of delay and polarity, not of the room.",
  ],
  "crossover blamed for the room": [
    "Look at the subs alone: is the dip gone?",
    "It is there without the mains. So no delay between mains and subs can correct it; something near the subs or in the room takes it away.",
  ],
  "most bass is best": [
    "There is much bass at this position. Is that what the audience hears?",
    "Where one hears more bass than the people do, the mix engineer turns it down. Look for the position where one hears what the audience hears, within a step around it.",
  ],
  "quiet corner": [
    "There is less bass at this position than the people get. What will the mix engineer do about it?",
    "Whoever hears too little turns it up, for everybody. Look for the position whose balance is the mean of the house.",
  ],
  "a step changes it": [
    "Its balance fits, here. Take one step to the side.",
    "A position is only good if a step changes little: read towardBack_db_per_m and towardLeft_db_per_m in decide.rankPositions(), and the spectrum that is its own.",
  ],
  "centre is best": [
    "The middle is comfortable. What do the left and right subs do on the centre line?",
    "Left and right add up on the centre line and hardly anywhere else. It hears more bass than the people beside it.",
  ],
  "nearest is best": [
    "Near the stage one hears detail. Is the balance there that of the audience?",
    "The balance drifts with distance; a position in the middle third of the depth is the likeliest to have the mean. Rank them: decide.rankPositions(audience, candidates).",
  ],
  "mix position made right": [
    "At zero the mix engineer hears the target balance. And the audience?",
    "What the mix position hears less than the people must stay missing there. decide.rankPositions() calls it the bias: that is the number.",
  ],
  "sign of the correction": [
    "The size is about right. Who hears more, the mix position or the people?",
    "If the mix position hears less bass than the audience, the engineer must be content with too little: a negative number. You have the other sign.",
  ],
  "drawing believed": [
    "Your number is what the drawing says. Is what your microphones heard what the drawing lets you expect?",
    "Something is not as drawn. Predict each of its suspects at your microphones, predict.survey(suspect.venue, heard.positions), and see with draw.comparison() which of them fits at most positions.",
  ],
  "microphone believed": [
    "Your number is neither that of the drawing nor that of what stands there. Do all of your microphones tell one story?",
    "One microphone has a fault, or two have each other's label. The position that fits no suspect, or whose coherence is low, has it: decide without it.",
  ],
  "limiter believed": [
    "Your subs are too loud by a few decibels, and all else fits. Did the subs do in the run what they were told?",
    "A limiter held them down while you measured: it rests in the show. Measure once more with the subs 10 dB down, and take 10 dB off the offset that this run asks for.",
  ],
  "bands left out": [
    "A third-octave band stands out at that position, and you kept it to yourself. What will the mix engineer do about it?",
    "Whoever hears 5 dB too little at 50 Hz adds 5 dB there, for everybody. Name the bands that stray most from the rest of the low end: decide.rankPositions() lists what is heard at each position relative to the audience.",
  ],
  "bands of another position": [
    "These bands are not what is heard at this position. Where were they measured, and at which setting?",
    "Bands belong to a position and to a delay. Compute them where the mix engineer will stand, with the delay and polarity that you hand over; a plus means more there than in the audience.",
  ],
  "louder is better": [
    "It has the most level. Is it even?",
    "Level can be raised; evenness can't. Compare the deviation over the seats at each layout's own best level: decide.compareLayouts().",
  ],
  "pair by habit": [
    "Left and right is how it is usually done. What happens between the two where people sit?",
    "Two stacks far apart leave nulls that run from front to back. How far apart are they in wavelengths at 60 Hz?",
  ],
  "pattern for its own sake": [
    "This layout does something for the stage or the sides. Does the audience profit?",
    "Steering costs evenness somewhere. Compare the deviation over the seats before you take it.",
  ],
  "all in front": [
    "Your microphones stand close to the stage. Who hears the rest?",
    "Put one where half the people are in front of it and half behind, one in each outer third.",
  ],
  "all at the back": [
    "Your microphones stand far back. What does the front get?",
    "Balance changes fastest near the stage: one microphone in the first third tells more than two at the back.",
  ],
  "all in one line": [
    "Your microphones stand in one line from front to back. What about the sides?",
    "What comes from left and right at once adds up on the centre line and hardly elsewhere. Move some microphones to the side, by a different distance each.",
  ],
  "loudest one is lying": [
    "It is the one that differs most in level. Positions near the stage are loud: is that a fault?",
    "Compare each trace with the model at the same position. A faulty microphone differs from it in shape, not just in level.",
  ],
  "all are lying a little": [
    "A difference from its neighbours is not a fault by itself. In which band does it differ?",
    "Look below 60 Hz only. One of the traces falls off there although the model does not.",
  ],
  "symptom on the wrong side": [
    "You would invert the healthy stack. Then both are inverted.",
    "The inverted stack is the one whose sound alone has the opposite phase to the mains through the crossover. Compare delays and phases at a position beside either stack.",
  ],
  "no fault seen": [
    "Walk along the centre line in the drawing. Left and right arrive together there: should it be quiet?",
    "Two like stacks must add on the centre line. Where they cancel, one of them is inverted.",
  ],
  "fault where none is": [
    "You would change something that works. What do the traces on the centre line say?",
    "On the centre line left and right add up as they should. Leave them.",
  ],
  "keep away from walls": [
    "A wall is not always an enemy. Where does the dip fall at this distance?",
    "The dip falls at c/(4d). Either so near that it lies above what the subs play, or so far that it lies below it; halfway is the worst.",
  ],
  "as near as can be": [
    "Nearer is not the answer here. Compute the frequency of the dip, and the level that the other paths leave.",
    "Put c/(4d) beside the band from 31.5 to 80 Hz for each choice, and let the model say what the seats get.",
  ],
  "higher is better": [
    "High hangs keep their level. Do the subs keep theirs?",
    "Subs on the floor lose level with distance. The mains agree with them best when they lose about as much: not at the highest trim.",
  ],
  "lower is better": [
    "Low hangs lose level as the subs do. At which frequencies do the first rows sit in their aim?",
    "Too low a hang loses more than the subs do, or leaves the aim of its lower elements. Compare the deviation for each height.",
  ],
  "ear taken for a meter": [
    "On the meter the balance is what it was. Is it for the ear?",
    "Look up the frequency on two contours: acoustics.loudness.contour(phon, frequency). In the bass they lie closer together than at 1 kHz.",
  ],
  "master fader forgotten": [
    "That is by how much the bass has to change in all. What has the master fader done to it already?",
    "Take the master fader's change off the difference of the two contours: the rest is what is to be done besides.",
  ],
  "raised regardless": [
    "The number of cabinets is what it was. How far do their limiters let them go?",
    "Each goes up by the headroom and no further. What is missing then comes from more cabinets, or not at all.",
  ],
  "powers for pressures": [
    "You added powers. Do cabinets side by side, with one signal, add by power?",
    "In phase their pressures add: twice as many are 6 dB, and not 3. So the number grows by 10^(missing / 20).",
  ],
  "headroom unused": [
    "Some of it needs no cabinet at all. How far may those that are there still go up?",
    "Take the headroom off first, and count cabinets for the rest.",
  ],
  "filter taken for a path": [
    "Part of that time is the filter's. Which part of the system has the same filter's time, and needs no waiting?",
    "Compute the lowpass's group delay in that band, −dφ/dω, and take it off: the highpass of the pair turns the phase as much.",
  ],
  "no path seen": [
    "You changed nothing. Is all of that time the filter's?",
    "Compute the lowpass's group delay in that band. What is left over of the time seen is a path.",
  ],
  "loudest is heard": [
    "You made them equally loud. Does the louder of two copies tell where a voice comes from?",
    "The first one does. Compute when each arrives, and then how much louder the second one may be.",
  ],
  "who comes first": [
    "You took the other one for the first. When does each arrive, its delay included?",
    "Distance over the speed of sound is the time on the way; the pair's delay comes on top of its own. The smaller sum is first.",
  ],
  "level there forgotten": [
    "That would be the limit if both were equally loud. Are they?",
    "The limit is counted from equal levels: take off how much louder the pair is there already.",
  ],
  "decibels averaged": [
    "You averaged the decibels. How much of the power is lost where one position in four hears nothing?",
    "Turn levels into powers, 10^(L/10), average these, and turn the mean back: 10 lg.",
  ],
  "sum for mean": [
    "That is the sum of the powers: more positions would make it louder.",
    "Divide by the number of positions before you turn it back into decibels.",
  ],
  "loudest for all": [
    "That is the loudest position. What do the others add to the mean?",
    "Turn levels into powers, 10^(L/10), average these, and turn the mean back: 10 lg.",
  ],
  "slip on the way": [
    "No usual mistake leads to this number. Write each step down, with its unit.",
    "Estimate first: which sign, and about how large? Then look at which step leaves that range.",
  ],
} as const;

export type Misconception = keyof typeof hints;

/**
 * What to say to someone who holds it.
 *
 * @param name  the misconception
 * @param attempt  1 for the first wrong answer, 2 and more for later ones
 */
export function hintFor(name: Misconception, attempt: number): string {
  return hints[name][attempt > 1 ? 1 : 0];
}

/** The survey of a model whose waves are cut finer than usual. */
import { drive } from "../../lib/field/drive";
import { modelFrequencies } from "../../lib/field/frequencies";
import { modelSurvey, responseOf } from "../../lib/field/model-survey";
import { handOver } from "../../lib/field/waves/low-band";
import { emitterOf, listener, record } from "../../lib/field/waves/recording";
import { waveRoom } from "../../lib/field/waves/room";
import { multiply } from "../../lib/numeric/complexes";
import type { Position, Survey } from "../../lib/survey/survey";
import type { Venue } from "../../lib/venue/venue";

/** @param size  side of a cube, metres */
export function fineSurvey(venue: Venue, positions: readonly Position[], size: number): Survey {
  const frequency = modelFrequencies();
  const low = frequency.filter((f) => f < handOver.to);
  const room = waveRoom(venue, size);
  const groups = (["mains", "subs"] as const).map((group) => venue.sources.filter((s) => s.group === group));
  const emitters = groups.map((sources) => {
    const emitter = emitterOf(sources, (point) => room.spot(point) !== undefined, room.speedOfSound);
    if (!emitter) throw new RangeError("a group sends out nothing");
    return emitter;
  });
  const recordings = record(room, emitters, room.around(positions.map((p) => p.point)));
  const paths = modelSurvey(venue, positions, { frequency, lowBand: "paths" });
  const [mains, subs] = groups.map((sources, g) => {
    const hear = listener([{ recording: recordings[g], weight: 1, delay: 0 }], low);
    const own = drive(sources[0], low);
    return positions.map(({ point }, i) => {
      const spot = room.spot(point);
      if (!spot) throw new RangeError("a position lies in no air");
      const heard = hear(spot);
      multiply(heard, own);
      const { re, im, diffuse } = (g === 0 ? paths.mains : paths.subs)[i];
      return responseOf(frequency, re.slice(), im.slice(), diffuse?.slice(), { first: 0, ...heard });
    });
  });
  return { ...paths, mains, subs };
}

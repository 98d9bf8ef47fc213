/** The show file of a proposal, as it was proposed or as a person has changed it. */
import type { ShowFile } from "../../lib/study/show-file";
import type { Proposal, ProposedTake, ProposedTrack } from "./propose";

export interface MadeShow {
  /** Absent where no take of mains or subs can be used. */
  readonly file?: ShowFile;
  /** What of the recordings is left out, and why. */
  readonly left: readonly string[];
}

export function showFrom(name: string, venue: string, proposal: Proposal): MadeShow {
  const left: string[] = [];
  const takes = proposal.takes.flatMap((take) => {
    if (take.holds !== "mains" && take.holds !== "subs" && take.holds !== "both") return [];
    return entriesOf(take, left);
  });
  if (takes.length === 0) return { left: [...left, "no take of mains, subs or both can be used"] };
  const inOne = (holds: "match" | "noise" | "calibrator"): ProposedTake | undefined => {
    const take = proposal.takes.find((t) => t.holds === holds);
    if (!take || new Set(take.tracks.map(({ file }) => file)).size === 1) return take;
    left.push(
      `"${take.name}" (${holds}) lies in several files, of which a show takes one: bounce them into one file of several channels`,
    );
    return undefined;
  };
  const match = inOne("match");
  const noise = inOne("noise");
  const calibrator = inOne("calibrator");
  const channels = match
    ? match.tracks.filter(({ use }) => use === "microphone").map(({ channel }) => channel)
    : [];
  if (calibrator)
    left.push(
      `"${calibrator.name}" is a calibrator: say on which microphone it sat, in microphoneMatch.calibrator of show.json`,
    );
  return {
    file: {
      name,
      venue,
      ...(match && channels.length > 1 && { microphoneMatch: { recording: match.tracks[0].file, channels } }),
      ...(noise && { noiseFloor: { recording: noise.tracks[0].file } }),
      takes,
    },
    left,
  };
}

function entriesOf(take: ProposedTake, left: string[]): ShowFile["takes"] {
  const seen = new Set<string>();
  const reference = take.tracks.find(({ use }) => use === "reference");
  if (!reference) {
    left.push(`"${take.name}" has no reference: say which channel holds what was sent`);
    return [];
  }
  const files = [...new Set(take.tracks.map(({ file }) => file))];
  return files.flatMap((file) => {
    const microphones: { [position: string]: number } = {};
    for (const track of take.tracks) {
      if (track.file !== file || track.use !== "microphone") continue;
      const problem = positionProblem(track, `${take.holds} `, seen);
      if (problem) left.push(problem);
      else microphones[track.position!] = track.channel;
    }
    if (Object.keys(microphones).length === 0) return [];
    const own =
      reference.file === file
        ? reference.channel
        : { recording: reference.file, channel: reference.channel, sameRecorder: true };
    const { holds, temperature, humidity } = take;
    return [
      {
        playing: holds as "mains" | "subs" | "both",
        recording: file,
        reference: own,
        microphones,
        ...(temperature !== undefined && { temperature }),
        ...(humidity !== undefined && { humidity }),
      },
    ];
  });
}

function positionProblem(
  { file, channel, position }: ProposedTrack,
  kind: string,
  seen: Set<string>,
): string | undefined {
  if (!position) return `"${file}", channel ${channel}: no position is known`;
  if (seen.has(kind + position))
    return `"${file}", channel ${channel}: ${kind}at "${position}" is there already`;
  seen.add(kind + position);
  return undefined;
}

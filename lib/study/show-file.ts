/**
 * The show file as a person writes it: which venue, which recordings or traces, and what was on each channel.
 *
 * It lies in the show's folder; every file that it names lies there too.
 */
import { z } from "zod";

const file = (text: string) => z.string().min(1).max(200).meta({ description: text });
const channel = z.int().min(1).max(64).meta({ description: "channel number in the recording, from 1" });
const band = (text: string) =>
  z.tuple([z.number().min(10).max(20000), z.number().min(10).max(20000)]).meta({ description: text });

const seconds = (text: string) => z.number().min(0).max(1e6).optional().meta({ description: text });
const part = {
  from: seconds("use the recording from here on, seconds from its start"),
  to: seconds(
    "use the recording up to here, seconds from its start; of more than two minutes the steadiest and loudest part is used",
  ),
};

const reference = z
  .union([
    channel,
    z.strictObject({
      recording: file("a WAV file of its own"),
      channel: channel.optional(),
      sameRecorder: z.boolean().optional().meta({
        description:
          "true where it is a track of the recorder that recorded the microphones, so that both share clock and start",
      }),
    }),
  ])
  .meta({
    description:
      "the signal as it was sent to the loudspeakers: a channel of this recording, or one of another file",
  });

const channels = z
  .record(z.string().min(1).max(80), channel)
  .refine((positions) => Object.keys(positions).length > 0, "is empty, expected at least one position")
  .meta({
    description:
      'position in the venue → channel of its microphone; several points around a position are "mix position/1", "mix position/2" and so on, and are averaged by power',
  });

const playing = z
  .enum(["mains", "subs", "both"])
  .meta({ description: "what was playing: mains alone, subs alone, or both" });

const recordedTake = z.strictObject({
  playing,
  recording: file("a WAV file: 16, 24 or 32-bit integer or 32-bit float, any number of channels"),
  reference,
  microphones: channels,
  delays: z
    .record(z.string(), z.number().min(-50).max(2000))
    .optional()
    .meta({ description: "position → delay in milliseconds, where you know better than the search" }),
  temperature: z.number().min(-20).max(50).optional().meta({
    description: "°C of the air while this take was recorded; its times are then those in the show's air",
  }),
  humidity: z
    .number()
    .min(1)
    .max(100)
    .optional()
    .meta({ description: "relative humidity while this take was recorded, percent" }),
  ...part,
});

const tracedTake = z.strictObject({
  playing,
  traces: z
    .record(z.string().min(1).max(80), file("a CSV trace file"))
    .refine((positions) => Object.keys(positions).length > 0, "is empty, expected at least one position")
    .meta({ description: "position in the venue → CSV trace file" }),
});

const walk = z.strictObject({
  recording: file("a WAV file, recorded while everything plays and one microphone is carried"),
  reference,
  microphone: channel,
  ...part,
  marks: z
    .array(
      z.strictObject({
        position: z.string().min(1).max(80).meta({ description: "position in the venue" }),
        at: z.number().min(0).max(1e6).meta({
          description: "when the microphone passed it, seconds from the start of the file",
        }),
      }),
    )
    .min(2)
    .max(200),
});
const enteredGroup = z
  .strictObject({
    level: z.number().min(-60).max(60).optional().meta({ description: "dB more than in the takes" }),
    delay: z.number().min(-1000).max(5000).optional().meta({
      description: "milliseconds more than in the takes",
    }),
    polarity: z.enum(["normal", "inverted"]).optional().meta({
      description: '"inverted" where it is the other one than in the takes',
    }),
  })
  .optional();

const verification = z
  .strictObject({
    takes: z
      .array(z.union([recordedTake.omit({ playing: true }), tracedTake.omit({ playing: true })]))
      .min(1)
      .max(100)
      .meta({
        description: "mains and subs together at the same positions, recorded after the setting was entered",
      }),
    entered: z.strictObject({ mains: enteredGroup, subs: enteredGroup }).optional().meta({
      description: "what was changed since the takes; by default what the study recommends",
    }),
  })
  .meta({ description: "tells whether the predicted result was reached" });

export const showFile = z.strictObject({
  $schema: z.string().optional(),
  name: z.string().min(1).max(120),
  venue: file("the venue file"),
  notes: z.string().max(4000).optional().meta({ description: "anything the report should carry" }),
  measuredBy: z.string().max(120).optional(),
  measuredOn: z.string().max(40).optional(),
  settings: z
    .strictObject({
      targetTilt: z
        .number()
        .min(-20)
        .max(30)
        .optional()
        .meta({ description: "target level of the low band over the mid band, dB" }),
      targetLevel: z.number().min(50).max(90).optional().meta({
        description:
          "listening level at which the target is meant, dB a third octave in the mid band; by default 85",
      }),
      lowBand: band("lowest and highest third-octave band of the low band, hertz").optional(),
      midBand: band("lowest and highest third-octave band of the mid band, hertz").optional(),
      crossover: z
        .number()
        .min(20)
        .max(400)
        .optional()
        .meta({ description: "where mains and subs meet, hertz" }),
      coherenceLimit: z
        .number()
        .min(0)
        .max(1)
        .optional()
        .meta({ description: "measured data below this coherence takes no part in decisions" }),
      headroom: z.number().min(0).max(40).optional().meta({
        description:
          "how far the subs can still be raised at the level of the show before their limiters act, dB",
      }),
      frontRowLevel: z
        .strictObject({ level: z.number().min(60).max(140), weighting: z.enum(["A", "C", "Z"]) })
        .optional()
        .meta({ description: "highest level at the front row, dB; needs a calibrator's recording" }),
      frontRowDose: z
        .strictObject({ percent: z.number().min(1).max(1000), hours: z.number().min(0.05).max(24) })
        .optional()
        .meta({
          description:
            "highest noise dose at the front row, percent of NIOSH 98-126, over so many hours; needs a calibrator's recording. Local law rules",
        }),
      louder: z
        .number()
        .min(-60)
        .max(60)
        .optional()
        .meta({ description: "how much louder the show plays than the measurement did, dB" }),
      temperature: z.number().min(-30).max(55).optional().meta({ description: "°C on the day" }),
    })
    .optional(),
  microphoneMatch: z
    .strictObject({
      recording: file("a WAV file: all microphones at one position, one signal"),
      channels: z.array(channel).min(2).max(64),
      ...part,
      calibrator: z
        .strictObject({
          recording: file("a WAV file of a calibrator on one microphone"),
          channel,
          microphone: channel.optional().meta({
            description:
              "the channel of microphoneMatch whose microphone it sat on; by default the same number as channel",
          }),
          level: z.number().min(60).max(130).optional().meta({ description: "dB; 94 by default" }),
        })
        .optional(),
    })
    .optional(),
  noiseFloor: z
    .strictObject({
      recording: file(
        "the noise-floor recording: a WAV file made while the system plays nothing, the microphones on the channels of the takes",
      ),
      ...part,
    })
    .optional()
    .meta({ description: "tells noise from reverberation where the coherence is low" }),
  takes: z
    .array(z.union([recordedTake, tracedTake]))
    .min(1)
    .max(200)
    .meta({
      description: "each recording, or set of traces, with what was playing and where the microphones stood",
    }),
  walks: z.array(walk).max(20).optional().meta({
    description:
      "one microphone carried past positions while everything plays: where low and mid band part on the way, and where to stop",
  }),
  verification: verification.optional(),
});

export type ShowFile = z.infer<typeof showFile>;
export type Take = ShowFile["takes"][number];
export type RecordedTake = z.infer<typeof recordedTake>;
export type ShowWalk = z.infer<typeof walk>;
export type EnteredInFile = NonNullable<z.infer<typeof verification>["entered"]>;

/** All takes with where they stand in the file; those of the verification are takes of both. */
export function allTakes({ takes, verification }: ShowFile): readonly {
  readonly take: Take;
  readonly where: string;
  readonly isVerification: boolean;
}[] {
  return [
    ...takes.map((take, i) => ({ take, where: `takes[${i}]`, isVerification: false })),
    ...(verification?.takes ?? []).map((take, i) => ({
      take: { ...take, playing: "both" as const },
      where: `verification.takes[${i}]`,
      isVerification: true,
    })),
  ];
}

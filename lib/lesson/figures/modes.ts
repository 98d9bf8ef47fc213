import type { RoomMode } from "../../acoustics/room/modes";
import { frequencyAxis, linearAxis } from "./parts/axes";
import type { Figure, FigureTrace } from "./parts/figure";

/**
 * The modes of a rectangular room as vertical strokes over frequency: long for axial, shorter for tangential, short for
 * oblique ones.
 *
 * Across: frequency (Hz, logarithmic). The height of a stroke is its kind, not a level. Look for gaps and for modes that
 * fall together: far apart they are heard one by one, close together they blend, as above the Schroeder frequency.
 *
 * @param modes  from `acoustics.room.modes`, ascending
 * @param options  a frequency to point at, title
 * @returns a figure, for `show`
 * @throws RangeError when there is no mode
 * @source frequency axis at the nominal mid-band frequencies of IEC 61260-1; else own way, no outside source; check:
 *   tests/lesson/figures/lesson-figures.test.ts
 * @example
 * const modes = acoustics.room.modes({ length: 12, width: 8, height: 3 }, 100);
 * show(draw.modes(modes, { schroeder: acoustics.room.schroeder(0.8, 12 * 8 * 3) }));
 */
export function modesFigure(
  modes: readonly RoomMode[],
  options: {
    /** The Schroeder frequency to point at, hertz, from `acoustics.room.schroeder`; none by default. */
    readonly schroeder?: number;
    /** Above the figure. Default "Modes of the room". */
    readonly title?: string;
  } = {},
): Figure {
  if (modes.length === 0) throw new RangeError("there is no mode to draw: give a higher limit");
  const { schroeder, title = "Modes of the room" } = options;
  const from = Math.min(16, modes[0].frequency * 0.95);
  const to = Math.max(modes[modes.length - 1].frequency, (schroeder ?? 0) * 1.1) * 1.02;
  const count = (kind: RoomMode["kind"]) => modes.filter((m) => m.kind === kind).length;
  return {
    title,
    alt: `${modes.length} modes up to ${Math.round(modes[modes.length - 1].frequency)} Hz: ${count("axial")} axial, ${count("tangential")} tangential, ${count("oblique")} oblique. The lowest lies at ${modes[0].frequency.toFixed(1)} Hz.${schroeder ? ` Schroeder frequency: ${Math.round(schroeder)} Hz.` : ""}`,
    height: 260,
    data: (["oblique", "tangential", "axial"] as const).map((kind) => strokes(modes, kind)),
    layout: {
      xaxis: frequencyAxis(from, to),
      yaxis: linearAxis("", 0, 1.15, {
        tickvals: [0.4, 0.7, 1],
        ticktext: ["oblique", "tangential", "axial"],
      }),
      margin: { l: 90, t: 30 },
      shapes: schroeder
        ? [
            {
              type: "line",
              x0: schroeder,
              x1: schroeder,
              yref: "paper",
              y0: 0,
              y1: 1,
              line: { color: "@mark", width: 2, dash: "dot" },
            },
          ]
        : [],
      annotations: schroeder
        ? [
            {
              text: `Schroeder, ${Math.round(schroeder)} Hz`,
              x: Math.log10(schroeder),
              xanchor: schroeder > Math.sqrt(from * to) ? "right" : "left",
              yref: "paper",
              y: 1,
              yanchor: "bottom",
              showarrow: false,
              font: { color: "@mark" },
            },
          ]
        : [],
    },
  };
}

const heights = { axial: 1, tangential: 0.7, oblique: 0.4 } as const;
const looks = { axial: "@subs", tangential: "@mains", oblique: "@faint" } as const;

/** All modes of a kind as one broken line, each stroke from the axis to its height. */
function strokes(modes: readonly RoomMode[], kind: RoomMode["kind"]): FigureTrace {
  const own = modes.filter((m) => m.kind === kind);
  return {
    type: "scatter",
    mode: "lines",
    x: own.flatMap((m) => [m.frequency, m.frequency, null]),
    y: own.flatMap(() => [0, heights[kind], null]),
    line: { color: looks[kind], width: kind === "axial" ? 2.5 : 1.2 },
    hovertemplate: `${kind}, %{x:.1f} Hz<extra></extra>`,
  };
}

/**
 * What a filter is, as its settings: plain data that a file can hold.
 */
export type Filter =
  | {
      readonly kind: "butterworth";
      readonly type: "lowpass" | "highpass";
      /** 1 to 8 */
      readonly order: number;
      /** hertz, where the level is 3.01 dB down */
      readonly frequency: number;
    }
  | {
      readonly kind: "bessel";
      readonly type: "lowpass" | "highpass";
      /** 1 to 8 */
      readonly order: number;
      /** hertz; what it means depends on `normalisation` */
      readonly frequency: number;
      /**
       * "magnitude" (when left out): 3.01 dB down at `frequency`. "phase": the far slope is that of a Butterworth
       * filter of the same frequency, and the phase at `frequency` is half of its limit, to within 3 %.
       */
      readonly normalisation?: "magnitude" | "phase";
    }
  | {
      readonly kind: "linkwitz-riley";
      readonly type: "lowpass" | "highpass";
      /** Of order 2, lowpass and highpass sum flat only with one of them reversed in polarity. */
      readonly order: 2 | 4 | 8;
      /** hertz, where the level is 6.02 dB down */
      readonly frequency: number;
    }
  | {
      readonly kind: "peak" | "low-shelf" | "high-shelf";
      /** hertz; the centre of a peak, the place of half the gain in dB of a shelf */
      readonly frequency: number;
      /** dB */
      readonly gain: number;
      /** centre over width of a peak, measured where it has half its gain in dB; 0.71 gives a shelf without overshoot */
      readonly q: number;
    }
  | {
      readonly kind: "all-pass";
      readonly order: 1 | 2;
      /** hertz, where the phase has turned by 90° for order 1, by 180° for order 2 */
      readonly frequency: number;
      /** order 2 only; 0.71 when left out */
      readonly q?: number;
    };

/** A step of loudspeaker processing: a filter, or what acts on all frequencies alike. */
export type Processing =
  | Filter
  | {
      readonly kind: "delay";
      /** seconds, positive is later */
      readonly delay: number;
    }
  | {
      readonly kind: "polarity";
      /** −1 inverts */
      readonly polarity: 1 | -1;
    }
  | {
      readonly kind: "gain";
      /** dB */
      readonly gain: number;
    };

/** A complex number. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

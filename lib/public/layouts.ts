/** Layouts of subwoofers: how the cabinets stand, how they are delayed and how they are driven. */
export * from "../venue/layouts";

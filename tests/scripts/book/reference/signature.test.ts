import { describe, expect, it } from "vitest";
import type { Entry } from "../../../../scripts/book/reference/declarations";
import { shortened, signatureOf } from "../../../../scripts/book/reference/signature";

const entry = (types: { readonly [name: string]: string }, more: Partial<Entry> = {}): Entry => ({
  name: "decide.offset",
  kind: "function",
  summary: "",
  throws: [],
  examples: [],
  parameters: Object.entries(types).map(([name, type]) => ({
    name: name.replace("?", ""),
    optional: name.endsWith("?"),
    type,
    text: "",
    fields: type.includes("\n") ? [{ name: "a", optional: false, type: "number", text: "" }] : [],
  })),
  type: "readonly number[]",
  fields: [],
  ...more,
});

describe("a signature", () => {
  it("stands on one line where it fits, else a parameter a line", () => {
    expect(signatureOf(entry({ seats: "Survey", "options?": "Options" }))).toBe(
      "decide.offset(seats: Survey, options?: Options): number[]",
    );
    expect(
      signatureOf(entry({ seats: "Survey", positions: "readonly Position[]", "options?": "Options" })),
    ).toBe("decide.offset(\n  seats: Survey,\n  positions: Position[],\n  options?: Options,\n): number[]");
  });

  it("leaves out fields that stand in a table of their own", () => {
    expect(signatureOf(entry({ "options?": "{\n    readonly a: number;\n}" }))).toBe(
      "decide.offset(options?: { … }): number[]",
    );
  });

  it("of any number of arguments has three dots before the name, of none is short, of a value has no brackets", () => {
    expect(signatureOf(entry({ things: "...readonly Figure[]" }))).toBe(
      "decide.offset(...things: Figure[]): number[]",
    );
    expect(signatureOf(entry({}))).toBe("decide.offset(): number[]");
    expect(signatureOf(entry({}, { kind: "value", type: "Air" }))).toBe("decide.offset: Air");
  });
});

describe("a type", () => {
  it("stands on one line where it fits, else is indented by two blanks", () => {
    expect(shortened("{\n    readonly [label: string]: Survey;\n}")).toBe("{ [label: string]: Survey }");
    const long =
      "{\n    readonly name: string;\n    readonly at: {\n        readonly microphonePosition: string;\n        readonly level: number;\n    };\n}";
    expect(shortened(long)).toBe(
      "{\n  name: string;\n  at: {\n    microphonePosition: string;\n    level: number;\n  };\n}",
    );
  });

  it("keeps the lines of one that has words within", () => {
    expect(shortened("{\n    /** dB */\n    readonly a: number;\n}")).toBe("{\n  /** dB */\n  a: number;\n}");
  });
});

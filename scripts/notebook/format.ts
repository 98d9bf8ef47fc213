/** Notebooks as they lie on the disk, in Jupyter's format 4. */

export type Text = string | readonly string[];

export interface Output {
  output_type: string;
  name?: string;
  text?: Text;
  data?: { readonly [mimeType: string]: Text };
  metadata?: object;
  execution_count?: number | null;
  ename?: string;
  evalue?: string;
  traceback?: readonly string[];
}

export interface Cell {
  cell_type: string;
  source: Text;
  metadata?: {
    readonly tags?: readonly string[];
    readonly nbgrader?: { readonly [field: string]: unknown };
  };
  outputs: Output[];
  execution_count?: number | null;
  readonly attachments?: { readonly [name: string]: { readonly [mimeType: string]: string } };
}

export interface Notebook {
  cells: Cell[];
}

/** A text that may be kept as a list of its lines. */
export const joined = (text: Text = ""): string => (typeof text === "string" ? text : text.join(""));

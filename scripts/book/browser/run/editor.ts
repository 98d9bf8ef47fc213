/** The editor of a cell, loaded when the first one is opened. */
import {
  autocompletion,
  type CompletionContext,
  closeBrackets,
  completionKeymap,
} from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap } from "@codemirror/commands";
import { javascript } from "@codemirror/lang-javascript";
import { bracketMatching, HighlightStyle, indentOnInput, syntaxHighlighting } from "@codemirror/language";
import { EditorState } from "@codemirror/state";
import { drawSelection, EditorView, hoverTooltip, keymap } from "@codemirror/view";
import { tags } from "@lezer/highlight";

type Ask = (type: string, content: object) => Promise<{ readonly [field: string]: unknown }>;

export interface EditorOptions {
  readonly text: string;
  readonly label: string;
  readonly onChange: (text: string) => void;
  readonly onRun: () => void;
  /** A question to the kernel: what may stand here, what this is. */
  readonly ask: Ask;
}
export interface Editor {
  readonly element: HTMLElement;
  focus(): void;
  setText(text: string): void;
}

function openEditor({ text, label, onChange, onRun, ask }: EditorOptions): Editor {
  const run = () => {
    onRun();
    return true;
  };
  const view: EditorView = new EditorView({
    state: EditorState.create({
      doc: text,
      extensions: [
        history(),
        drawSelection(),
        indentOnInput(),
        bracketMatching(),
        closeBrackets(),
        javascript({ typescript: true }),
        syntaxHighlighting(colours),
        autocompletion({ override: [completionsFrom(ask)] }),
        tooltipsFrom(ask),
        EditorView.lineWrapping,
        EditorView.contentAttributes.of({ "aria-label": label, spellcheck: "false" }),
        EditorView.updateListener.of((update) => update.docChanged && onChange(view.state.doc.toString())),
        // Tab leaves the editor, as it leaves any field: who works by keyboard is not held in it.
        keymap.of([
          { key: "Shift-Enter", run },
          { key: "Mod-Enter", run },
          ...completionKeymap,
          ...defaultKeymap,
          ...historyKeymap,
        ]),
      ],
    }),
  });
  return {
    element: view.dom,
    focus: () => view.focus(),
    setText: (content) => view.dispatch({ changes: { from: 0, to: view.state.doc.length, insert: content } }),
  };
}

const characters = (text: string) => [...text].length;
const units = (text: string, count: number) => [...text].slice(0, count).join("").length;

const completionsFrom = (ask: Ask) => async (context: CompletionContext) => {
  const code = context.state.doc.toString();
  if (!context.explicit && !/[\w$."'`]$/.test(code.slice(0, context.pos))) return null;
  const cursor_pos = characters(code.slice(0, context.pos));
  const {
    matches = [],
    cursor_start,
    cursor_end,
  } = (await ask("complete_request", { code, cursor_pos })) as {
    matches?: string[];
    cursor_start: number;
    cursor_end: number;
  };
  if (matches.length === 0) return null;
  return {
    from: units(code, cursor_start),
    to: units(code, cursor_end),
    options: matches.slice(0, 200).map((label) => ({ label })),
  };
};

const tooltipsFrom = (ask: Ask) =>
  hoverTooltip(async ({ state }, pos) => {
    const code = state.doc.toString();
    const cursor_pos = characters(code.slice(0, pos));
    const { data } = (await ask("inspect_request", { code, cursor_pos })) as {
      data?: { "text/plain"?: string };
    };
    const text = data?.["text/plain"];
    if (!text) return null;
    const dom = document.createElement("pre");
    dom.className = "told";
    dom.textContent = text;
    return { pos, create: () => ({ dom }) };
  });

const colours = HighlightStyle.define([
  { tag: tags.comment, class: "c-comment" },
  { tag: tags.string, class: "c-string" },
  { tag: tags.number, class: "c-number" },
  { tag: [tags.keyword, tags.operatorKeyword], class: "c-keyword" },
  { tag: [tags.bool, tags.null], class: "c-literal" },
]);

Object.assign(globalThis, { evengroundEditor: openEditor });

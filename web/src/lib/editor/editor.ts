/** The text editor; loaded only when the file is opened. */
import {
  autocompletion,
  type CompletionContext,
  type CompletionResult,
  closeBrackets,
  completionKeymap,
} from '@codemirror/autocomplete';
import { defaultKeymap, history, historyKeymap } from '@codemirror/commands';
import { bracketMatching, HighlightStyle, StreamLanguage, syntaxHighlighting } from '@codemirror/language';
import { toml } from '@codemirror/legacy-modes/mode/toml';
import { type Diagnostic, lintGutter, lintKeymap, setDiagnostics } from '@codemirror/lint';
import { EditorState } from '@codemirror/state';
import { drawSelection, EditorView, highlightActiveLine, keymap, lineNumbers } from '@codemirror/view';
import { tags } from '@lezer/highlight';
import type { Problem } from '../api/types';
import { type Offer, offersFor, placeAt, type Schema } from './complete';

export interface Editor {
  readonly view: EditorView;
  text(): string;
  replace(text: string): void;
  problems(list: readonly Problem[]): void;
  toLine(line: number): void;
  close(): void;
}

export interface Wiring {
  readonly parent: HTMLElement;
  readonly text: string;
  readonly schema: Schema | null;
  readonly points: () => readonly string[];
  readonly changed: (text: string) => void;
  readonly moved: (line: number) => void;
  readonly saved: () => void;
}

const ink = HighlightStyle.define([
  { tag: tags.comment, color: 'var(--soft)', fontStyle: 'italic' },
  { tag: tags.string, color: 'var(--link)' },
  { tag: [tags.number, tags.bool, tags.atom], color: 'var(--good)' },
  { tag: [tags.propertyName, tags.definition(tags.propertyName)], color: 'var(--ink)' },
  { tag: [tags.heading, tags.keyword], color: 'var(--link)', fontWeight: '600' },
]);

const look = EditorView.theme({
  '&': { height: '100%', fontSize: '14px', backgroundColor: 'var(--sheet)', color: 'var(--ink)' },
  '.cm-scroller': { fontFamily: 'ui-monospace, "DejaVu Sans Mono", monospace', lineHeight: '1.5' },
  '.cm-content': { caretColor: 'var(--ink)' },
  '.cm-cursor': { borderLeftColor: 'var(--ink)', borderLeftWidth: '2px' },
  '.cm-gutters': { backgroundColor: 'var(--paper)', color: 'var(--soft)', borderRight: '1px solid var(--line)' },
  '.cm-activeLine, .cm-activeLineGutter': { backgroundColor: 'color-mix(in srgb, var(--mark) 45%, transparent)' },
  '&.cm-focused .cm-selectionBackground, .cm-selectionBackground': { backgroundColor: 'var(--mark) !important' },
  '.cm-tooltip': { backgroundColor: 'var(--sheet)', color: 'var(--ink)', border: '1.5px solid var(--ink)' },
  '.cm-tooltip-autocomplete ul li[aria-selected]': { backgroundColor: 'var(--ink)', color: 'var(--sheet)' },
  '.cm-diagnostic': { whiteSpace: 'pre-wrap', maxWidth: '60ch' },
});

/** What a problem says, in the order of the terminal: what, expected, hint. */
export function problemText({ what, expected, hint }: Problem): string {
  return [what, expected ? `expected ${expected}` : '', hint ? `hint: ${hint}` : '']
    .filter((part) => part !== '')
    .join('\n');
}

/** Opens an editor in an element. */
export function openEditor(wiring: Wiring): Editor {
  const view = new EditorView({
    parent: wiring.parent,
    state: EditorState.create({
      doc: wiring.text,
      extensions: [
        lineNumbers(),
        history(),
        drawSelection(),
        highlightActiveLine(),
        bracketMatching(),
        closeBrackets(),
        lintGutter(),
        StreamLanguage.define(toml),
        syntaxHighlighting(ink),
        look,
        EditorView.lineWrapping,
        EditorView.contentAttributes.of({ 'aria-label': 'Vehicle file', tabindex: '0' }),
        autocompletion({ override: [(context) => offers(context, wiring)], icons: false }),
        keymap.of([
          { key: 'Mod-s', run: () => save(wiring), preventDefault: true },
          ...completionKeymap,
          ...lintKeymap,
          ...historyKeymap,
          ...defaultKeymap,
        ]),
        EditorView.updateListener.of((update) => {
          if (update.docChanged) wiring.changed(update.state.doc.toString());
          if (update.selectionSet || update.docChanged)
            wiring.moved(update.state.doc.lineAt(update.state.selection.main.head).number);
        }),
      ],
    }),
  });
  return {
    view,
    text: () => view.state.doc.toString(),
    replace: (text) => view.dispatch({ changes: { from: 0, to: view.state.doc.length, insert: text } }),
    problems: (list) =>
      view.dispatch(
        setDiagnostics(
          view.state,
          list.flatMap((problem) => diagnosticOf(problem, view.state)),
        ),
      ),
    toLine: (line) => toLine(view, line),
    close: () => view.destroy(),
  };
}

function save({ saved }: Wiring): boolean {
  saved();
  return true;
}

function offers(context: CompletionContext, { schema, points }: Wiring): CompletionResult | null {
  if (!schema) return null;
  const place = placeAt(context.state.sliceDoc(0, context.pos));
  if (place.prefix === '' && !context.explicit && place.key === null) return null;
  const found: Offer[] = offersFor(place, schema, points());
  if (found.length === 0) return null;
  const quoted =
    context.state.sliceDoc(context.pos - place.prefix.length - 1, context.pos - place.prefix.length) === '"';
  return {
    from: context.pos - place.prefix.length,
    validFor: /^[^"\n]*$/,
    options: found.map(({ label, apply, detail }) => ({
      label,
      apply: place.key !== null && !quoted ? `"${apply}"` : apply,
      info: detail === '' ? undefined : detail,
    })) as CompletionResult['options'],
  };
}

function diagnosticOf(problem: Problem, state: EditorState): Diagnostic[] {
  if (problem.line < 1 || problem.line > state.doc.lines) return [];
  const line = state.doc.line(problem.line);
  // The program counts characters, the editor counts UTF-16 units.
  const before = Array.from(line.text)
    .slice(0, problem.column - 1)
    .join('').length;
  const from = Math.min(line.to, line.from + before);
  const word = /^("[^"]*"|[\w./-]+)/.exec(line.text.slice(before))?.[0].length ?? 1;
  return [{ from, to: Math.min(line.to, from + word), severity: problem.severity, message: problemText(problem) }];
}

function toLine(view: EditorView, line: number): void {
  const at = view.state.doc.line(Math.min(Math.max(1, line), view.state.doc.lines));
  view.dispatch({ selection: { anchor: at.from }, effects: EditorView.scrollIntoView(at.from, { y: 'center' }) });
  view.focus();
}

/**
 * How much of each list is printed, so that the page stays one on A4 and on Letter. Rows are those of the print size in
 * theme/shift.css, counted on the shorter of the two papers, with some to spare. The screen shows all.
 */
export interface PrintedTexts {
  readonly notes: readonly string[];
  readonly incomplete: readonly string[];
  readonly unknown: readonly string[];
  readonly complete: readonly string[];
  readonly events: readonly string[];
}
/** How many of each list are printed, from its first on. */
export type Printed = Readonly<Record<keyof PrintedTexts | 'rigs', number>>;

/** From the table of rigs to the foot of the page. */
const ROWS = 61;
const MOST_RIGS = 16;
const RIG_ROWS = 1.3;
const MOST_NOTE_ROWS = 5;
/** Headings of the three parts, the head of the table, the lines of definitions. */
const FRAME_ROWS = 9;
const HEADING_ROWS = 1.6;
/** Characters in a row of one of two columns, and in one of the whole width. */
const COLUMN = 70;
const WIDE = 150;

/** What each list gets before the incomplete joints take the rest. */
const AT_LEAST = { unknown: 2, complete: 2, events: 3 } as const;

export function printPlan(rigs: number, texts: PrintedTexts): Printed {
  const notes = inColumns(texts.notes, MOST_NOTE_ROWS);
  const lists = { unknown: texts.unknown, complete: texts.complete, events: texts.events };
  let left =
    ROWS - FRAME_ROWS - Math.min(rigs, MOST_RIGS) * RIG_ROWS - (rigs > MOST_RIGS ? 1 : 0) - MOST_NOTE_ROWS;
  for (const list of [texts.incomplete, texts.unknown, texts.complete])
    if (list.length > 0) left -= HEADING_ROWS;
  const wanted = {
    unknown: columnRows(lists.unknown),
    complete: wideRows(lists.complete),
    events: columnRows(lists.events),
  };
  const given = {
    unknown: Math.min(wanted.unknown, AT_LEAST.unknown),
    complete: Math.min(wanted.complete, AT_LEAST.complete),
    events: Math.min(wanted.events, AT_LEAST.events),
  };
  const kept = given.unknown + given.complete + given.events;
  const incompleteRows = Math.max(1, Math.min(columnRows(texts.incomplete), Math.floor(left - kept)));
  left = Math.max(0, Math.floor(left - kept - incompleteRows));
  for (const name of ['events', 'unknown', 'complete'] as const) {
    const more = Math.min(left, wanted[name] - given[name]);
    given[name] += more;
    left -= more;
  }
  return {
    rigs: Math.min(rigs, MOST_RIGS),
    notes,
    incomplete: inColumns(texts.incomplete, incompleteRows),
    unknown: inColumns(lists.unknown, given.unknown),
    complete: inWidth(lists.complete, given.complete),
    events: inColumns(lists.events, given.events),
  };
}

const linesOf = (text: string): number => Math.max(1, Math.ceil(text.length / COLUMN));
const columnRows = (texts: readonly string[]): number =>
  Math.ceil(texts.reduce((sum, text) => sum + linesOf(text), 0) / 2);

/** In two columns; where not all fit, the last line says how many more there are. */
function inColumns(texts: readonly string[], rows: number): number {
  if (columnRows(texts) <= rows) return texts.length;
  let left = rows * 2 - 1;
  const cut = texts.findIndex(text => {
    left -= linesOf(text);
    return left < 0;
  });
  return cut;
}

/** Each text takes its own length and a gap. */
const perRow = (texts: readonly string[]): number =>
  Math.max(1, Math.floor(WIDE / (Math.max(1, ...texts.map(text => text.length)) + 4)));
const wideRows = (texts: readonly string[]): number => Math.ceil(texts.length / perRow(texts));

function inWidth(texts: readonly string[], rows: number): number {
  return wideRows(texts) <= rows ? texts.length : Math.max(0, rows * perRow(texts) - 2);
}

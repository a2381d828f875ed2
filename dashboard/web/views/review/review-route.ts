import { WINDOW_NAMES, type WindowName } from './window-names.ts';

/** A joint under review. Everything that is looked at stands in the address, so that it can be sent to somebody. */
export interface ReviewRoute {
  readonly view: 'jointReview';
  readonly joint: string;
  /** The pass looked at; null: the first that somebody will ask about. */
  readonly pass: string | null;
  /** Stretch of it, mm along its side; null: all of it. */
  readonly fromMm: number | null;
  readonly toMm: number | null;
  readonly cursorMm: number | null;
  readonly axis: 'mm' | 's';
  readonly rows: 'windows' | 'sectors';
  /** What the joints beside it are compared by. */
  readonly quantity: WindowName;
  /** Other joints beside it, at most three. */
  readonly beside: readonly string[];
}

export const MOST_BESIDE = 3;

const numberOf = (text: string | null): number | null => {
  const value = text === null || text === '' ? Number.NaN : Number(text);
  return Number.isFinite(value) ? value : null;
};

/** `joints/{joint}/review?pass=&from=&to=&at=&axis=&rows=&of=&beside=`, already decoded; null for any other path. */
export function parseReviewRoute(
  parts: readonly (string | undefined)[],
  query: URLSearchParams,
): ReviewRoute | null {
  const [top, joint, page] = parts;
  if (top !== 'joints' || joint === undefined || joint === '' || page !== 'review') return null;
  return {
    view: 'jointReview',
    joint,
    pass: query.get('pass'),
    fromMm: numberOf(query.get('from')),
    toMm: numberOf(query.get('to')),
    cursorMm: numberOf(query.get('at')),
    axis: query.get('axis') === 's' ? 's' : 'mm',
    rows: query.get('rows') === 'sectors' ? 'sectors' : 'windows',
    quantity: WINDOW_NAMES.find(one => one === query.get('of')) ?? WINDOW_NAMES[0]!,
    beside: [...new Set(query.getAll('beside'))].slice(0, MOST_BESIDE),
  };
}

export function reviewUrl(route: ReviewRoute): string {
  const query = new URLSearchParams();
  if (route.pass !== null) query.set('pass', route.pass);
  if (route.fromMm !== null) query.set('from', String(Math.round(route.fromMm)));
  if (route.toMm !== null) query.set('to', String(Math.round(route.toMm)));
  if (route.cursorMm !== null) query.set('at', String(Math.round(route.cursorMm)));
  if (route.axis !== 'mm') query.set('axis', route.axis);
  if (route.rows !== 'windows') query.set('rows', route.rows);
  if (route.beside.length > 0 && route.quantity !== WINDOW_NAMES[0]) query.set('of', route.quantity);
  for (const joint of route.beside) query.append('beside', joint);
  const asked = query.toString();
  return `#/joints/${encodeURIComponent(route.joint)}/review${asked === '' ? '' : `?${asked}`}`;
}

/** A whole joint, nothing picked yet. */
export const wholeReview = (joint: string): ReviewRoute => ({
  view: 'jointReview',
  joint,
  pass: null,
  fromMm: null,
  toMm: null,
  cursorMm: null,
  axis: 'mm',
  rows: 'windows',
  quantity: WINDOW_NAMES[0]!,
  beside: [],
});

/** The sums; `name` null is the list of them. */
export interface SumsRoute {
  readonly view: 'sums';
  readonly name: string | null;
}

/** `sums[/{name}]`, already decoded; null for any other path. */
export function parseSumsRoute([top, name]: readonly (string | undefined)[]): SumsRoute | null {
  if (top !== 'sums') return null;
  return { view: 'sums', name: name === undefined || name === '' ? null : name };
}

export const sumsUrl = (name: string | null): string =>
  name === null ? '#/sums' : `#/sums/${encodeURIComponent(name)}`;

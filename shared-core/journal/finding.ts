import type { Finding } from '../messages/api-journal.ts';

/** A path of the page: parts encoded, undefined query values left out. */
export function pagePath(
  parts: readonly string[],
  query: Readonly<Record<string, string | undefined>> = {},
): string {
  const asked = Object.entries(query).flatMap(([key, value]) =>
    value === undefined ? [] : [`${key}=${encodeURIComponent(value)}`],
  );
  const path = `/${parts.map(encodeURIComponent).join('/')}`;
  return asked.length === 0 ? path : `${path}?${asked.join('&')}`;
}

/** Page of a joint, or of one task of it. */
export const jointPath = (
  joint: string,
  task?: string,
  query: Readonly<Record<string, string | undefined>> = {},
): string => pagePath(task === undefined ? ['joints', joint] : ['joints', joint, 'enter', task], query);

/** One finding; a text or link longer than its schema allows is cut, never refused. */
export function finding(code: string, text: string, action: string, link: string | null): Finding {
  return {
    code,
    text: cut(text, 300),
    action: cut(action, 200),
    link: link !== null && link.length > 200 ? null : link,
  };
}

const cut = (text: string, most: number): string =>
  text.length <= most ? text : `${text.slice(0, most - 1)}…`;

/** Each sentence once, in the order first said. */
export function onceEach(findings: readonly Finding[]): Finding[] {
  const said = new Set<string>();
  return findings.filter(({ code, text }) => {
    const key = `${code} ${text}`;
    if (said.has(key)) return false;
    said.add(key);
    return true;
  });
}

/** "2026-05-12 08:00 UTC": as stored, to the minute. */
export const whenWords = (utc: string): string => `${utc.slice(0, 10)} ${utc.slice(11, 16)} UTC`;

/** At most `digits` behind the point, no trailing zeros. */
export const numberWords = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));

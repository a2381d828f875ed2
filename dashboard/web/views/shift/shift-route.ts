import type { Origin } from '#core/messages/common';

/** One shift: the day it began, one site, one origin; null leaves it to the server. */
export interface ShiftRoute {
  readonly view: 'shift';
  readonly date: string | null;
  readonly site: string | null;
  readonly origin: Origin | null;
}

const ORIGINS = ['real', 'simulated', 'replay'] as const satisfies readonly Origin[];

/** `shift?date=&site=&origin=`, already decoded; null for any other path. */
export function parseShiftRoute(
  parts: readonly (string | undefined)[],
  asked: URLSearchParams,
): ShiftRoute | null {
  if (parts[0] !== 'shift') return null;
  const date = asked.get('date') ?? '';
  return {
    view: 'shift',
    date: /^\d{4}-\d\d-\d\d$/.test(date) && !Number.isNaN(Date.parse(date)) ? date : null,
    site: asked.get('site') || null,
    origin: ORIGINS.find(one => one === asked.get('origin')) ?? null,
  };
}

/** What is asked of the server, and stands in the address. */
export function shiftQuery({ date, site, origin }: Omit<ShiftRoute, 'view'>): Record<string, string> {
  return {
    ...(date === null ? {} : { date }),
    ...(site === null ? {} : { site }),
    ...(origin === null ? {} : { origin }),
  };
}

export function shiftUrl(route: Omit<ShiftRoute, 'view'>): string {
  const asked = new URLSearchParams(shiftQuery(route)).toString();
  return asked === '' ? '#/shift' : `#/shift?${asked}`;
}

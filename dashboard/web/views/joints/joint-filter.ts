/** What the list of joints is narrowed to. All of it stands in the address. */
import { localDay, localMoment } from '#core/csv/local-time';
import { DECISIONS } from '#core/journal/decisions';

export interface JointFilter {
  readonly station?: string;
  /** YYYY-MM-DD: joints with an arc on that day, by the clocks of the place. */
  readonly day?: string;
  /** "site/rig". */
  readonly rig?: string;
  /** "id" or "id rev. 3" as typed in the address: "id.3". */
  readonly procedure?: string;
  readonly deviations?: string;
  readonly disposition?: string;
  readonly incomplete?: string;
}

export const FILTER_KEYS = [
  'station',
  'day',
  'rig',
  'procedure',
  'deviations',
  'disposition',
  'incomplete',
] as const;
export type FilterKey = (typeof FILTER_KEYS)[number];

const YES_NO = ['yes', 'no'];
const KNOWN: Partial<Record<FilterKey, (value: string) => boolean>> = {
  day: value => localMoment(value, 0, 'UTC') !== null,
  rig: value => /^[a-z0-9-]+\/[a-z0-9-]+$/.test(value),
  procedure: value => /^[a-z0-9-]+(\.[1-9]\d*)?$/.test(value),
  deviations: value => YES_NO.includes(value),
  disposition: value => value === 'none' || DECISIONS.some(one => one === value),
  incomplete: value => YES_NO.includes(value),
};

/** What of an address is a filter; nonsense is none, and `unknownInAddress` says which. */
export function parseJointFilter(query: URLSearchParams): JointFilter {
  return Object.fromEntries(
    FILTER_KEYS.flatMap(key => {
      const value = query.get(key)?.trim() ?? '';
      return value !== '' && (KNOWN[key]?.(value) ?? true) ? [[key, value]] : [];
    }),
  );
}

/** What stands in an address and narrows nothing: a value no filter has, or a word that is none. As `day=today`. */
export function unknownInAddress(query: URLSearchParams): string[] {
  const known = parseJointFilter(query);
  return [...new Set(query.keys())].flatMap(key => {
    const value = query.get(key)?.trim() ?? '';
    const isFilter = FILTER_KEYS.some(one => one === key && known[one] !== undefined);
    return key === 'find' || isFilter || (value === '' && FILTER_KEYS.some(one => one === key))
      ? []
      : [`${key}=${value}`.slice(0, 80)];
  });
}

/** The same as the server asks for it. `zone`: by whose clocks a day is meant. */
export function filterQuery(find: string, filter: JointFilter, zone: string): Record<string, string> {
  const { day, procedure, ...plain } = filter;
  const span = day === undefined ? null : localDay(day, zone);
  const [procedureId, procedureRevision] = procedure?.split('.') ?? [];
  const asked = {
    ...plain,
    find: find.trim(),
    procedureId,
    procedureRevision,
    fromUtc: span === null ? undefined : new Date(span.fromMs).toISOString(),
    toUtc: span === null ? undefined : new Date(span.toMs).toISOString(),
  };
  return Object.fromEntries(
    Object.entries(asked).filter((pair): pair is [string, string] => pair[1] !== undefined && pair[1] !== ''),
  );
}

import type { Origin } from '#core/messages/common';
import type { LinkInfo } from '../data/rig-entry.ts';
import type { SideView } from '../data/side-view.ts';
import type { Texts } from '../text/en.ts';
import type { Formats } from '../text/format.ts';

export interface TrustField {
  readonly key: string;
  readonly label: string;
  readonly value: string;
  /** warn: look when you can; fail: evidence is being lost or cannot be seen. */
  readonly level: 'ok' | 'warn' | 'fail';
}

export interface TrustSummary {
  readonly origin: string;
  readonly originKind: Origin | 'mixed' | 'unknown';
  readonly fields: readonly TrustField[];
}

const RIGS_NAMED = 3;
const ORIGINS: readonly Origin[] = ['real', 'simulated', 'replay'];

function originOf(t: Texts, views: readonly SideView[]): Pick<TrustSummary, 'origin' | 'originKind'> {
  const counts = ORIGINS.map(origin => ({ origin, n: views.filter(v => v.origin === origin).length })).filter(
    ({ n }) => n > 0,
  );
  const [only] = counts;
  if (only === undefined) return { origin: t.originUnknown, originKind: 'unknown' };
  if (counts.length === 1) return { origin: t.origin[only.origin], originKind: only.origin };
  const parts = counts.map(({ origin, n }) => `${n} ${t.origin[origin]}`).join(', ');
  return { origin: t.originMixed(parts), originKind: 'mixed' };
}

function named(t: Texts, what: string, views: readonly SideView[]): string {
  const names = views.slice(0, RIGS_NAMED).map(view => view.rig);
  return t.trust.onRigs(what, `${names.join(', ')}${views.length > RIGS_NAMED ? ' …' : ''}`);
}

/** What a rig last said of itself holds only while it is being heard. */
const heard = ({ feed, clock }: SideView): boolean =>
  clock !== null && (feed.cause === null || feed.cause === 'source' || feed.cause === 'held');

function clockField(t: Texts, format: Formats, views: readonly SideView[]): TrustField {
  const base = { key: 'clock', label: t.trust.clock };
  for (const state of ['unsynced', 'holdover'] as const) {
    const affected = views.filter(view => heard(view) && view.clock?.state === state);
    if (affected.length > 0)
      return { ...base, value: named(t, t.trust.clockState[state], affected), level: 'warn' };
  }
  const known = views.filter(heard);
  if (known.length === 0) return { ...base, value: t.trust.unknown, level: 'ok' };
  const offsets = known.map(view => view.clock?.offsetMs ?? null).filter(offset => offset !== null);
  const worst = offsets.length === 0 ? null : Math.max(...offsets.map(Math.abs));
  const shown = worst === null ? '' : ` ${t.trust.clockOffset(format.fixed(Math.ceil(worst), 0))}`;
  return { ...base, value: `${t.trust.clockState.synced}${shown}`, level: 'ok' };
}

function storedField(t: Texts, format: Formats, views: readonly SideView[]): TrustField {
  const buffers = views.filter(heard).flatMap(({ buffer }) => buffer ?? []);
  const times = buffers.map(({ storedTo }) => (storedTo === null ? null : Date.parse(storedTo)));
  const base = { key: 'stored', label: t.trust.stored };
  if (buffers.length === 0) return { ...base, value: t.trust.unknown, level: 'ok' };
  const known = times.filter(time => time !== null);
  if (known.length < times.length) return { ...base, value: t.trust.storedNone, level: 'warn' };
  const oldest = format.timeOfDay(Math.min(...known));
  const note = known.length > 1 ? ` (${t.trust.oldest(String(known.length))})` : '';
  return { ...base, value: `${oldest}${note}`, level: 'ok' };
}

function bufferField(t: Texts, views: readonly SideView[]): TrustField {
  const buffers = views.filter(heard).flatMap(({ buffer }) => buffer ?? []);
  const waiting = buffers.reduce((sum, buffer) => sum + buffer.waiting, 0);
  const value =
    buffers.length === 0
      ? t.trust.unknown
      : waiting === 0
        ? t.trust.bufferEmpty
        : t.trust.bufferWaiting(waiting);
  return { key: 'buffer', label: t.trust.buffer, value, level: 'ok' };
}

function recordingField(t: Texts, views: readonly SideView[]): TrustField {
  const base = { key: 'recording', label: t.trust.recording };
  for (const state of ['failed', 'lagging'] as const) {
    const affected = views.filter(view => heard(view) && view.buffer?.recording === state);
    if (affected.length > 0) {
      return {
        ...base,
        value: named(t, t.trust.recordingState[state], affected),
        level: state === 'failed' ? 'fail' : 'warn',
      };
    }
  }
  const unheard = views.filter(view => !heard(view));
  if (unheard.length === views.length) return { ...base, value: t.trust.unknown, level: 'ok' };
  if (unheard.length > 0) return { ...base, value: named(t, t.trust.unknown, unheard), level: 'ok' };
  return { ...base, value: t.trust.recordingState.ok, level: 'ok' };
}

/** The trust line over all rigs: the worst of each is what it says, with the rigs it is true of. */
export function trustSummary(
  t: Texts,
  format: Formats,
  views: readonly SideView[],
  link: LinkInfo,
  thinned: boolean,
): TrustSummary {
  const since = link.downSinceMs === null ? null : format.timeOfDay(link.downSinceMs);
  const server =
    link.state === 'open'
      ? thinned
        ? t.trust.thinned
        : t.trust.serverOpen
      : since === null || link.state === 'connecting'
        ? t.trust.serverConnecting
        : t.trust.serverDown(since);
  return {
    ...originOf(t, views),
    fields: [
      clockField(t, format, views),
      storedField(t, format, views),
      bufferField(t, views),
      recordingField(t, views),
      { key: 'server', label: t.trust.server, value: server, level: link.state === 'down' ? 'fail' : 'ok' },
    ],
  };
}

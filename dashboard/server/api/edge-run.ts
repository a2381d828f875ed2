import { lastRunWithoutArc } from '#core/checks/run-without-arc';
import type { EdgeRun } from '#core/messages/api-journal';
import { concatChunks } from '#core/sample/chunk';
import type { RigAddress } from '#core/topics/topics';
import type { DashboardStore } from '../store/store.ts';

/** How far back a run is looked for: a verification is entered soon after it, µs. */
const LOOK_BACK_US = 15 * 60_000_000;

/** The newest run without an arc among the stored samples of the last quarter of an hour; null where there is none. */
export function edgeRun(
  store: DashboardStore,
  address: RigAddress,
  channel: 'travelSpeed' | 'wireFeedSpeed',
): EdgeRun | null {
  const newest = store.newestSample(address);
  if (!newest) return null;
  const fromUs = Math.max(0, newest.lastUs - LOOK_BACK_US);
  const span = store.sampleSpan(address, {
    kind: 'record',
    fromUs,
    toUs: newest.lastUs,
    stream: newest.stream,
  });
  if (!span) return null;
  const chunks = span.chunks.filter(chunk => chunk.lastUs >= fromUs);
  const run = lastRunWithoutArc(
    concatChunks(chunks.flatMap(chunk => store.chunkSamples(chunk) ?? [])),
    channel,
  );
  if (!run) return null;
  const utc = (us: number): string => new Date(us / 1000 + span.utcMinusRecordMs).toISOString();
  const { runS, meanMmPerS } = run;
  return { startUtc: utc(run.startUs), endUtc: utc(run.endUs), runS, meanMmPerS };
}

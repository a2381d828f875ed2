import type { RigAddress } from '#core/topics/topics';
import type { DashboardStore, SampleRange } from '../store/store.ts';
import { ApiProblem } from './problem.ts';
import type { Moment } from './query-schemas.ts';

const DEFAULT_US = 300_000_000;
const LONGEST_US = 12 * 3_600_000_000;

/** What `from`, `to` and `stream` mean: both moments of one kind, `to` open meaning the newest, `from` 5 min before. */
export function sampleRange(
  store: DashboardStore,
  address: RigAddress,
  query: { from?: Moment | undefined; to?: Moment | undefined; stream?: string | undefined },
  now: () => Date,
): SampleRange {
  const { from, to, stream } = query;
  if (from && to && from.kind !== to.kind) {
    throw new ApiProblem(400, 'rangeInvalid', 'Give from and to both as UTC or both as record time.');
  }
  if (from?.kind === 'utc' || to?.kind === 'utc') {
    const toMs = to?.kind === 'utc' ? to.ms : now().getTime();
    const fromMs = from?.kind === 'utc' ? from.ms : Math.max(0, toMs - DEFAULT_US / 1000);
    refuseBadRange(fromMs * 1000, toMs * 1000);
    return { kind: 'utc', fromMs, toMs };
  }
  const newestUs = store.newestSample(address)?.lastUs ?? now().getTime() * 1000;
  const toUs = to?.kind === 'record' ? to.us : Math.max(newestUs, from?.kind === 'record' ? from.us + 1 : 0);
  const fromUs = from?.kind === 'record' ? from.us : Math.max(0, toUs - DEFAULT_US);
  refuseBadRange(fromUs, toUs);
  return { kind: 'record', fromUs, toUs, stream };
}

function refuseBadRange(fromUs: number, toUs: number): void {
  if (!(toUs > fromUs)) throw new ApiProblem(400, 'rangeInvalid', 'The range ends before it begins.');
  if (toUs - fromUs > LONGEST_US) {
    throw new ApiProblem(400, 'rangeTooLong', 'A range of samples is at most 12 hours; ask for it in parts.');
  }
}

/** Many readers of one event stream, and what feeding them costs the process that does it. */
import { waitUntil } from '../../support/wait-until.ts';
import type { FanOutAnswer, FanOutOrder } from '../roles/fan-out.ts';
import type { BenchContext } from './figure.ts';
import { openLiveStream } from './live-stream.ts';
import { startRole } from './role.ts';

const RIGS = 16;
const WARM_UP_MS = 1000;

/**
 * CPU of the streaming process as a share of one core, over `ms`. Rejects when a reader has not been given the
 * last message of every rig, or one older than what it had.
 */
export async function fanOutLoad(
  context: BenchContext,
  { clients, hub, ms }: { clients: number; hub: boolean; ms: number },
): Promise<number> {
  const order: FanOutOrder = { hub, rigs: RIGS };
  const server = await startRole<{ port: number }>(context, 'fan-out', [], order);
  const closes: (() => void)[] = [];
  const newest = Array.from({ length: clients }, () => new Map<string, number>());
  let backwards = 0;
  try {
    for (const seen of newest) {
      const close = await openLiveStream(`http://127.0.0.1:${server.said.port}`, ({ rigs }) => {
        for (const { rig, live } of rigs) {
          if (live.tUs <= (seen.get(rig) ?? 0)) backwards++;
          seen.set(rig, live.tUs);
        }
      });
      closes.push(close);
    }
    await new Promise(resolve => setTimeout(resolve, WARM_UP_MS));
    await server.ask<FanOutAnswer>({ read: 'begin' });
    const started = performance.now();
    await new Promise(resolve => setTimeout(resolve, ms));
    const { cpuS, newest: last } = await server.ask<FanOutAnswer>({ read: 'end' });
    const seconds = (performance.now() - started) / 1000;
    const hasAll = (seen: ReadonlyMap<string, number>): boolean =>
      seen.size === RIGS && [...seen.values()].every(tUs => tUs === last);
    await waitUntil(
      () => newest.every(hasAll),
      () =>
        `${newest.filter(seen => !hasAll(seen)).length} of ${clients} readers to be given the last of every rig`,
    );
    if (backwards > 0) throw new Error(`${backwards} messages came twice or in the wrong order`);
    return cpuS / seconds;
  } finally {
    for (const close of closes) close();
    await server.stop();
  }
}

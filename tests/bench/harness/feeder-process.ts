import type { FeederOrder } from '../roles/feeder.ts';
import type { BenchContext } from './figure.ts';
import { startRole } from './role.ts';

/** Starts a device that sends; resolves with the path or URL to read it at. */
export async function startFeeder(
  context: BenchContext,
  order: FeederOrder,
): Promise<{ at: string; stop: () => Promise<void> }> {
  const { said, stop } = await startRole<{ ready: string }>(context, 'feed', [], order);
  return { at: said.ready, stop };
}

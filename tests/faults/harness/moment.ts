import { waitUntil } from '../../support/wait-until.ts';
import type { NumberedRig } from './numbered-rig.ts';

/** A moment that depends on the seed and on nothing in the programs: after the device has made so many more samples. */
export async function afterSamples(rig: NumberedRig, count: number): Promise<void> {
  const until = rig.produced() + count;
  await waitUntil(() => rig.produced() >= until, `${count} more samples of the device`, 60_000 + count * 50);
}

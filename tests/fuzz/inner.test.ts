/** A share of `npm run fuzz`: whatever arrives, nothing throws, grows or is taken for what it is not. */
import { it } from 'vitest';
import { holdShare } from './hold-share.ts';
import { innerTargets } from './targets.ts';

it.each(innerTargets.map(target => [target.name, target] as const))('%s', async (_name, target) => {
  await holdShare(target, 1 / 100);
});

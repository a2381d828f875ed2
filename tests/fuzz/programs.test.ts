/** A share of `npm run fuzz` at the built programs: they answer as documented, show nothing of their inside and go on. */
import { it } from 'vitest';
import { holdShare } from './hold-share.ts';
import { programTargets } from './targets.ts';

it.each(programTargets.map(target => [target.name, target] as const))('%s', async (_name, target) => {
  await holdShare(target, 1 / 50);
});

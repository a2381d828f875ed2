import { expect, it } from 'vitest';
import type { PassMismatch } from '#core/messages/live';
import { en } from '../../../dashboard/web/text/en.ts';
import { mismatchSentence } from '../../../dashboard/web/views/live/side-message.tsx';

const flag: PassMismatch = {
  assigned: 'fill 1',
  likelier: ['hot'],
  wireFeedMmS: 11_460 / 60,
  travelMmS: 17.42,
  program: 2,
  sinceUs: 1,
  travelledMm: 25.9,
  text: 'as the edge says it',
};

it('names the likelier pass with what was measured, in the units of the screen', () => {
  expect(mismatchSentence(en, flag)).toBe(
    'Looks like hot, not fill 1: feed 11.5 m/min, travel 17.4 mm/s, program 2',
  );
});

it('names all that cannot be told apart, and no number where the device gives none', () => {
  const several = { ...flag, likelier: ['fill 1', 'fill 2', 'fill 3'], assigned: 'root', program: null };
  expect(mismatchSentence(en, several)).toBe(
    'Looks like fill 1, fill 2 or fill 3, not root: feed 11.5 m/min, travel 17.4 mm/s',
  );
  const many = ['fill 1', 'fill 2', 'fill 3', 'fill 4', 'fill 5'];
  expect(mismatchSentence(en, { ...several, likelier: many })).toContain(
    'Looks like fill 1, fill 2, fill 3 or 2 more, not root',
  );
});

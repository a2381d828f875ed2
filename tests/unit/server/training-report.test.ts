import { execFileSync, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { debriefSchema } from '#core/messages/api-training';
import { faultWords } from '../../../dashboard/server/report/fault-words.ts';
import { trainingReport } from '../../../dashboard/server/report/training-report.ts';
import { FAULT_KINDS } from '../../../dashboard/web/views/training/fault-kinds.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { testDebrief } from '../../support/training-debrief.ts';
import { trainingMark } from '../../support/training-session.ts';

const noPoppler = spawnSync('pdftotext', ['-v']).error !== undefined;
if (noPoppler && process.env['CI'] === 'true')
  throw new Error('pdftotext is missing: apt install poppler-utils');

const paper = { software: '0.1.0', paper: 'a4' } as const;
const report = (debrief = testDebrief()) => trainingReport({ debrief, ...paper });

/** The text of each page, its blanks made one. */
function pagesOf(bytes: Buffer): string[] {
  const file = join(tempDir(), 'debrief.pdf');
  writeFileSync(file, bytes);
  const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file]).toString())?.[1]);
  return Array.from({ length: pages }, (_, i) =>
    execFileSync('pdftotext', ['-layout', '-f', `${i + 1}`, '-l', `${i + 1}`, file, '-'])
      .toString()
      .replaceAll(/\s+/g, ' '),
  );
}

describe('the debrief on paper', () => {
  it('names every fault in words, with the unit that the desk shows', () => {
    for (const { name, unit } of FAULT_KINDS) {
      const words = faultWords(name, -2.5);
      expect(words).not.toBe(`${name} -2.5`);
      expect(words.endsWith(`, −2.5 ${unit}`)).toBe(unit !== null);
    }
    expect(faultWords('stickOutGrowth', 6)).toBe('stick-out grows, 6 mm');
    expect(faultWords('ofTomorrow', 2)).toBe('ofTomorrow 2');
  });

  it('stands on a debrief as the API gives it, and is byte-identical twice', async () => {
    expect(debriefSchema.safeParse(testDebrief()).error).toBeUndefined();
    const [one, two] = [await report(), await report()];
    expect(one.equals(two)).toBe(true);
    expect(one.equals(await report(testDebrief({ selfRating: 3 })))).toBe(false);
  });

  it.skipIf(noPoppler)('says what was true, what was marked, and what to keep and change', async () => {
    const text = pagesOf(await report()).join(' ');
    for (const words of [
      'Training debrief: T. Learner',
      'Hits 1 of 2',
      'Missed 1',
      'False alarms 1',
      'Left alone, rightly 1 of 1',
      'd′ needs at least 10 windows',
      'stickOut 4',
      'welding current: right',
      '4.0 s, 30 mm',
      'MISSED',
      '1. Looked early.',
      '2. …',
      'Looked at the right side.',
      'Welding current is low.',
      '4 of 5',
      'no qualification',
    ]) {
      expect(text).toContain(words);
    }
  });

  it.skipIf(noPoppler)('says on every page that it is simulated', async () => {
    const marks = Array.from({ length: 120 }, (_, i) => trainingMark(`m${i}`, 4 * i));
    const pages = pagesOf(await report(testDebrief({ marks })));
    expect(pages.length).toBeGreaterThan(2);
    // Once across the page, once in the footer.
    for (const page of pages) expect(page.match(/SIMULATED — TRAINING/g)?.length).toBeGreaterThanOrEqual(1);
    for (const page of pages) expect(page).toContain('T. Learner, taught by B. Teacher');
  });

  it.skipIf(noPoppler)('of a hurried lesson says that nothing is scored', async () => {
    const text = pagesOf(await report(testDebrief({ hurried: true }))).join(' ');
    expect(text).toContain('Not scored. The lesson ran at another speed');
    expect(text).not.toContain('Hits');
  });
});

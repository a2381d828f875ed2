import { execFileSync, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { debriefSchema } from '#core/messages/api-training';
import { DEBRIEF_PHRASES } from '#core/phrases/es-phrases-debrief';
import { faultWords } from '../../../dashboard/server/report/fault-words.ts';
import { type ReportManner, sayIn } from '../../../dashboard/server/report/report-manner.ts';
import { trainingReport } from '../../../dashboard/server/report/training-report.ts';
import {
  CHANNEL_WORDS,
  RESULT_WORDS,
  TRAINING_WORDS,
} from '../../../dashboard/server/report/training-words.ts';
import { FAULT_KINDS } from '../../../dashboard/web/views/training/fault-kinds.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { testDebrief } from '../../support/training-debrief.ts';
import { trainingMark } from '../../support/training-session.ts';

const noPoppler = spawnSync('pdftotext', ['-v']).error !== undefined;
if (noPoppler && process.env['CI'] === 'true')
  throw new Error('pdftotext is missing: apt install poppler-utils');

const ENGLISH = { language: 'en', units: 'metric', decimal: 'point', zone: 'UTC' } as const;
const SPANISH = { ...ENGLISH, language: 'es', decimal: 'comma', zone: 'America/Mexico_City' } as const;
const report = (debrief = testDebrief(), manner: ReportManner = ENGLISH) =>
  trainingReport({ debrief, software: '0.1.0', paper: 'a4', manner });

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

  it.skipIf(noPoppler)(
    'says all of it in Spanish where that is asked for, and in the clocks of the job',
    async () => {
      const text = pagesOf(await report(testDebrief(), SPANISH)).join(' ');
      for (const words of ['Repaso de la formación', 'SIMULADO — FORMACIÓN', 'Aciertos 1/2', 'Omisiones 1'])
        expect(text).toContain(words);
      // Every word of the program: what is left in English is what people entered, and names of faults and rigs.
      const words = [
        ...Object.values(TRAINING_WORDS.sections),
        ...Object.values(RESULT_WORDS),
        ...Object.values(CHANNEL_WORDS),
        ...[
          'Trainee',
          'Self-rating',
          'False alarms',
          'Right channel',
          'Keep',
          'practice, with hints',
          'SIMULATED',
        ],
      ];
      expect(words.filter(word => text.includes(` ${word} `))).toEqual([]);
      for (const { name } of FAULT_KINDS) {
        const english = faultWords(name, 2);
        expect(sayIn(SPANISH, DEBRIEF_PHRASES)(english), english).not.toBe(english);
      }
    },
  );

  it.skipIf(noPoppler)('says what was true, what was marked, and what to keep and change', async () => {
    const text = pagesOf(await report()).join(' ');
    for (const words of [
      'Training debrief: T. Learner',
      'Hits 1/2',
      'Missed 1',
      'False alarms 1',
      'Left alone, rightly 1/1',
      'd′ needs at least 10 windows',
      'stickOut 4',
      'welding current: right',
      '4.0 s, 30 mm',
      'MISSED',
      '1. Looked early.',
      '2. …',
      'Looked at the right side.',
      'Welding current is low.',
      '4/5',
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

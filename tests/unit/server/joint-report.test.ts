/** Structure of the report by the markers that ISO 19005-3 asks for, read from the bytes; not a certification. */
import { execFileSync, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { jointReviewSchema } from '#core/messages/api-review';
import { jointReport, type ReportInput } from '../../../dashboard/server/report/joint-report.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { testReview } from '../../support/test-review.ts';

const input = (parts: Partial<ReportInput> = {}): ReportInput => ({
  review: testReview(),
  record: { text: '{"joint":"J-0042"}', sha256: 'ab'.repeat(32) },
  seals: ['Seal 1 of rig-a'],
  windowsCsv: 'joint\r\nJ-0042\r\n',
  software: '0.1.0',
  paper: 'a4',
  nameOf: id => id,
  manner: { language: 'en', units: 'metric', decimal: 'point', zone: 'UTC' },
  ...parts,
});
const noPoppler = spawnSync('pdftotext', ['-v']).error !== undefined;
if (noPoppler && process.env['CI'] === 'true')
  throw new Error('pdftotext is missing: apt install poppler-utils');

describe('the report of a joint', () => {
  it('stands on a review as the API gives it', () => {
    expect(jointReviewSchema.safeParse(testReview()).error).toBeUndefined();
  });

  it('is byte-identical twice', async () => {
    const [one, two] = [await jointReport(input()), await jointReport(input())];
    expect(one.equals(two)).toBe(true);
    const later = await jointReport(input({ review: testReview({ sealedAt: '2026-06-01T00:00:00.000Z' }) }));
    expect(one.equals(later)).toBe(false);
  });

  it('carries what PDF/A-3b asks for: XMP part and conformance, output intent, embedded fonts, related files', async () => {
    const bytes = (await jointReport(input())).toString('latin1');
    expect(bytes.startsWith('%PDF-1.7')).toBe(true);
    expect(bytes).toContain('<pdfaid:part>3</pdfaid:part>');
    expect(bytes).toContain('<pdfaid:conformance>B</pdfaid:conformance>');
    expect(bytes).toContain('/OutputIntent');
    expect(bytes).toContain('/GTS_PDFA1');
    expect(bytes.match(/\/AFRelationship \/Data/g)).toHaveLength(3);
    expect(bytes).toContain('/FontFile2');
    expect(bytes).not.toContain('/Encrypt');
    expect(bytes).not.toContain('/JavaScript');
  });

  it.skipIf(noPoppler)(
    'says what a reviewer must know, on A4 and on Letter, on pages of one size',
    async () => {
      const folder = tempDir();
      for (const paper of ['a4', 'letter'] as const) {
        const file = join(folder, `${paper}.pdf`);
        writeFileSync(file, await jointReport(input({ paper })));
        const run = (...command: [string, ...string[]]) =>
          execFileSync(command[0], command.slice(1)).toString();
        const info = run('pdfinfo', file);
        expect(info).toMatch(paper === 'a4' ? /595\.28 x 841\.89/ : /612 x 792/);
        const fonts = run('pdffonts', file).split('\n').slice(2).filter(Boolean);
        expect(fonts.length).toBeGreaterThan(0);
        // Columns emb, sub, uni.
        for (const font of fonts) expect(font).toMatch(/yes\s+yes\s+yes/);
        expect(run('pdfdetach', '-list', file)).toContain('3 embedded files');
        const text = run('pdftotext', '-layout', file, '-').replaceAll(/\s+/g, ' ');
        for (const words of [
          'Girth weld J-0042',
          'example-610 rev. 1',
          'not a procedure to weld by',
          'Indication 3: lack of fusion',
          'NO DISPOSITION',
          'No alarm and no deviation is not acceptance',
          `Record SHA-256 ${'ab'.repeat(32)}`,
          'contact tip',
        ]) {
          expect(text).toContain(words);
        }
        expect(text).not.toContain('SIMULATED');
        // 360 · mm / (π · 610 mm), 30° an hour, with the clock on side B from 12: arithmetic.
        const [, from, to, hours] = /(\d+) to (\d+) mm, (\d+:\d\d to \d+:\d\d)/.exec(text) ?? [];
        const clock = (mm: number): string => {
          const minutes = Math.round((mm / (Math.PI * 610)) * 720);
          return `${Math.floor(minutes / 60) || 12}:${String(minutes % 60).padStart(2, '0')}`;
        };
        expect(hours).toBe(`${clock(Number(from))} to ${clock(Number(to))}`);
        // Limits stand from low to high; a span of the clock may pass 12.
        const ranges = [...text.matchAll(/(?<![:\d.])(\d+(?:\.\d+)?) to (\d+(?:\.\d+)?)(?![:\d])/g)];
        expect(ranges.length).toBeGreaterThan(0);
        expect(ranges.filter(([, low, high]) => Number(low) > Number(high)).map(([span]) => span)).toEqual(
          [],
        );
      }
    },
  );

  it.skipIf(noPoppler)('of simulated data says so across every page', async () => {
    const file = join(tempDir(), 'simulated.pdf');
    writeFileSync(file, await jointReport(input({ review: testReview({ origin: 'simulated' }) })));
    const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file]).toString())?.[1]);
    expect(pages).toBeGreaterThan(1);
    for (let page = 1; page <= pages; page++) {
      const text = execFileSync('pdftotext', ['-f', `${page}`, '-l', `${page}`, file, '-']).toString();
      expect(text.replaceAll(/\s+/g, ' ')).toContain('SIMULATED');
    }
  });

  it('of a joint with nothing recorded is still a report', async () => {
    const empty = testReview({
      passes: [],
      indications: [],
      sealedAt: null,
      procedure: null,
      verifications: [],
    });
    expect((await jointReport(input({ review: empty, record: null }))).length).toBeGreaterThan(1000);
  });
});

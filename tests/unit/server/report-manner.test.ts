import { execFileSync, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { jointReport } from '../../../dashboard/server/report/joint-report.ts';
import { type ReportManner, sayIn } from '../../../dashboard/server/report/report-manner.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { testReview } from '../../support/test-review.ts';

const SPANISH: ReportManner = {
  language: 'es',
  units: 'inch',
  decimal: 'comma',
  zone: 'America/Mexico_City',
};
const report = (manner: ReportManner): Promise<Buffer> =>
  jointReport({
    review: testReview(),
    record: { text: '{}', sha256: 'ab'.repeat(32) },
    seals: ['B root: sealed by spread-1/rig-a with key 12ab; it fits what was recorded.'],
    windowsCsv: 'joint\r\n',
    software: '0.1.0',
    paper: 'a4',
    nameOf: id => id,
    manner,
  });
const noPoppler = spawnSync('pdftotext', ['-v']).error !== undefined;
if (noPoppler && process.env['CI'] === 'true')
  throw new Error('pdftotext is missing: apt install poppler-utils');

describe('how a report is written', () => {
  // Factors: NIST SP 811 (2008), appendix B.8, exact; America/Mexico_City is UTC −6 all year (IANA, since 2022).
  it('has job time with its offset beside UTC, units and decimal sign as asked', () => {
    const say = sayIn(SPANISH);
    expect(say('rig-a, as it stood on 2026-05-12 08:00:00 UTC: ready')).toBe(
      'rig-a, como estaba el 2026-05-12 02:00:00 -06:00 (08:00:00 UTC): listo',
    );
    expect(say('190 to 260 A')).toBe('190 a 260 A');
    expect(say('5.00 to 9.00 mm/s')).toBe('11,8 a 21,3 in/min');
    expect(say('0.742 kJ/mm (instantaneous)')).toBe('18,8 kJ/in (instantánea)');
    expect(
      sayIn({ ...SPANISH, language: 'en', units: 'metric', decimal: 'point', zone: 'UTC' })('9.5 mm/s'),
    ).toBe('9.5 mm/s');
  });

  it('asked the same it is the same bytes, asked otherwise it is not', async () => {
    const [one, two, other] = await Promise.all([
      report(SPANISH),
      report(SPANISH),
      report({ ...SPANISH, units: 'metric' }),
    ]);
    expect(one.equals(two)).toBe(true);
    expect(one.equals(other)).toBe(false);
    expect(one.toString('latin1')).toContain('/Lang (es)');
  });

  it.skipIf(noPoppler)(
    'is Spanish from the title to the footer, with no metric unit left in US units',
    async () => {
      const file = join(tempDir(), 'es.pdf');
      writeFileSync(file, await report(SPANISH));
      const text = execFileSync('pdftotext', ['-layout', file, '-']).toString().replaceAll(/\s+/g, ' ');
      for (const words of [
        'Soldadura circunferencial J-0042',
        'no es un procedimiento con que soldar',
        'Indicación 3: lack of fusion',
        'SIN DISPOSICIÓN',
        'La ausencia de alarmas y desviaciones no es aceptación',
        'Mapa horario',
        'Diámetro exterior',
        'Aporte térmico',
        'Evaluación',
        'mirando',
        'Junta J-0042',
      ]) {
        expect(text).toContain(words);
      }
      expect(text).not.toMatch(/\d (mm|mm\/s|m\/min|kJ\/mm)\b/);
      // What people and files named stays; of the program's own words none is left.
      for (const words of [
        'Arc time',
        'Heat input',
        'Limits',
        'Verdict',
        'Samples',
        'Not observed',
        'Complete',
        'Side, pass',
      ]) {
        expect(text).not.toContain(words);
      }
    },
  );
});

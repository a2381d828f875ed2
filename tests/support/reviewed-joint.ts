/** Joints welded and stored in a test dashboard, with their samples: what a review is made of. Invented values. */
import type { EntryBody } from '#core/journal/entry';
import type { PassMessage } from '#core/messages/pass';
import { procedureSchema } from '#core/procedure/procedure';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { SignalWriter } from './engine-run.ts';
import { answer } from './http-answers.ts';
import { journal, RIG } from './http-journal.ts';
import { recordedPass } from './recorded-pass.ts';
import { START_MS } from './test-records.ts';

const limit = (quantity: string, unit: string, min: number, max: number) => ({
  quantity,
  unit,
  basis: 'window',
  min,
  nominal: (min + max) / 2,
  max,
});

/** Compound bevel of 15.9 mm: root face 1.3, 45° for 2.3 mm, then 5°. */
export const REVIEW_WPS = procedureSchema.parse({
  schema: 'girthlog.procedure/1',
  id: 'review-610',
  revision: 1,
  title: 'For tests',
  exampleOnly: true,
  pipe: { outsideDiameterMm: 610, wallThicknessMm: 15.9 },
  bevel: { type: 'compound', anglesDegrees: [45, 5], rootFaceMm: 1.3, lowerHeightMm: 2.3, gapMm: 0 },
  passes: [
    { name: 'root', type: 'root', wire: { diameterMm: 1 }, limits: [limit('weldingCurrent', 'A', 150, 210)] },
    {
      name: 'fill 1',
      type: 'fill',
      wire: { diameterMm: 1 },
      limits: [limit('weldingCurrent', 'A', 190, 260), limit('arcVoltage', 'V', 21, 26)],
    },
  ],
});

export interface Weld {
  readonly joint: string;
  readonly side: 'A' | 'B';
  readonly pass: 'root' | 'fill 1';
  /** Of arc; travel of a fill is 7.5 mm/s, of a root 11.5. */
  readonly arcS: number;
  /** Past 12 o'clock in the side's own direction. */
  readonly startDegrees?: number;
  /** Current of the moment, A; as usual where not given. */
  readonly amps?: (s: number) => number;
}

const RATE_PERIOD_S = 0.02;

/** A dashboard that has the procedure, and takes welds. */
export async function reviewDashboard() {
  const dashboard = await journal();
  await answer(
    ROUTES.addProcedure,
    await dashboard.post('/api/v1/procedures', { author: dashboard.author, procedure: REVIEW_WPS }),
  );
  let made = 0;
  const weld = async ({ joint, side, pass, arcS, amps, startDegrees = 0 }: Weld): Promise<PassMessage> => {
    const work = {
      ...{ joint, side, pass, procedureId: REVIEW_WPS.id, procedureRevision: 1 },
      ...{ outsideDiameterMm: 610, startDegrees },
    };
    const assigned = await answer(
      ROUTES.addAssignment,
      await dashboard.post('/api/v1/assignments', { ...RIG, author: dashboard.author, work }),
    );
    const isRoot = pass === 'root';
    const current = amps ?? (() => (isRoot ? 180 : 236));
    const writer = new SignalWriter({ periodS: RATE_PERIOD_S });
    writer.skip(START_MS / 1000 + 1000 + made * 200);
    made++;
    const lit = (value: number) => (s: number) => (s < arcS ? value : 0);
    const chunk = writer.stretch(arcS + 2, {
      weldingCurrent: s => (s < arcS ? current(s) : 0),
      // Restless by a tenth: readings that never change are held, and no arc.
      arcVoltage: s => (s < arcS ? (isRoot ? 19.5 : 24) + (Math.round(s * 50) % 2 === 0 ? 0.05 : -0.05) : 0),
      wireFeedSpeed: lit(isRoot ? 114.7 : 171.2),
      travelSpeed: lit(isRoot ? 11.5 : 7.5),
    });
    const { message, records } = recordedPass({
      assignment: { id: assigned.assignment!.id, ...work, procedure: REVIEW_WPS },
      chunk,
      stream: String(made).padStart(32, '0'),
      samplePeriodS: RATE_PERIOD_S,
    });
    for (const record of records) dashboard.receive('girthlog/1/spread-1/rig-a/record', record);
    await dashboard.settle();
    return message;
  };
  return { ...dashboard, weld };
}

/** Root and fill of side B, 7.5 mm/s for 64 s = 480 mm; the fill's current is 280 A from 20 s to 30 s (150 to 225 mm). */
export const flaggedFill = (joint: string): Weld => ({
  ...{ joint, side: 'B', pass: 'fill 1', arcS: 64 },
  amps: s => (s >= 20 && s < 30 ? 280 : 236),
});
export const plainRoot = (joint: string): Weld => ({ joint, side: 'B', pass: 'root', arcS: 64 });

export const scanReport = (
  joint: string,
  parts: Partial<Extract<EntryBody, { kind: 'scanReport' }>> = {},
): EntryBody => ({
  kind: 'scanReport',
  joint,
  reference: 'UT-7',
  technique: 'automated ultrasonic testing',
  takenAt: new Date(START_MS).toISOString(),
  frame: { zeroDegrees: 0, sense: 'clockwise', referenceDiameterMm: null, zeroUncertaintyMm: 10 },
  indications: [
    { label: '1', type: 'lack of fusion', position: 180, unit: 'mm', lengthMm: 15, depthMm: 10, heightMm: 2 },
  ],
  ...parts,
});

import { describe, expect, it } from 'vitest';
import { alarmsSchema } from '#core/messages/alarms';
import type { Drifting } from '#core/messages/drift';
import type { OutOfRange } from '#core/messages/live';
import { type ConditionInput, Conditions } from '../../../edge/capture/conditions.ts';

const AT = '2026-05-12T08:00:00.000Z';
const QUIET: ConditionInput = {
  nowUs: 60_000_000,
  assignment: {
    origin: 'simulated',
    id: 'a1',
    at: AT,
    author: 'p1',
    work: {
      joint: 'J-7',
      side: 'B',
      pass: 'fill 1',
      procedureId: 'example',
      procedureRevision: 1,
      // A circumference of 1200 mm: 100 mm is one hour of the clock.
      outsideDiameterMm: 1200 / Math.PI,
      startDegrees: 0,
    },
  },
  passIndex: 4,
  position: { circumferentialMm: 400, clock: 4, alongMm: 400, uncertaintyMm: 5 },
  outOfRange: [],
  passMismatch: null,
  drifting: [],
  arcWasOn: true,
  silentMs: 10,
  held: false,
  sourceState: 'streaming',
  recording: 'ok',
  waiting: 0,
  stuckMs: 0,
  quarantine: null,
};
const out = (quantity: string, sinceUs: number, alongMm: number): OutOfRange => ({
  quantity,
  unit: 'mm/s',
  value: 9,
  min: 5,
  max: 8,
  sinceUs,
  sincePositionMm: alongMm,
  lengthMm: 10,
});

describe('conditions of an edge', () => {
  it('are one for a side, a pass and a cause: a second quantity joins the first', () => {
    const conditions = new Conditions();
    const [one] = conditions.update({ ...QUIET, outOfRange: [out('travelSpeed', 50e6, 300)] });
    const both = conditions.update({
      ...QUIET,
      nowUs: 61e6,
      outOfRange: [out('arcVoltage', 60e6, 380), out('travelSpeed', 50e6, 300)],
    });
    expect(both).toHaveLength(1);
    expect(both[0]).toMatchObject({
      key: one!.key,
      sinceUs: 50e6,
      quantity: 'travelSpeed',
      quantities: ['travelSpeed', 'arcVoltage'],
      work: { joint: 'J-7', side: 'B', pass: 'fill 1' },
      passIndex: 4,
      // Side B runs with the clock: 300 mm of 1200 is three o'clock.
      place: { alongMm: 300, clock: 3 },
    });
    expect(both[0]!.text).toBe(
      'Travel speed (limits 5 to 8 mm/s), arc voltage (limits 5 to 8 mm/s): out of range (joint J-7, side B, fill 1).',
    );
    expect(alarmsSchema.safeParse({ origin: 'simulated', at: AT, conditions: both }).success).toBe(true);
  });

  it('say where the arc was last seen when data stops', () => {
    const [lost] = new Conditions().update({ ...QUIET, silentMs: 2100 });
    expect(lost).toMatchObject({
      cause: 'noDataWithArc',
      priority: 'high',
      place: { alongMm: 400, clock: 4 },
    });
  });
});

describe('changes along the weld', () => {
  const change = (more: Partial<Drifting>): Drifting => ({
    number: 1,
    rule: 'drifting',
    quantity: 'weldingCurrent',
    unit: 'A',
    direction: 'low',
    sinceUs: 50e6,
    sincePositionMm: 300,
    change: -12,
    changeSigma: -5,
    crossingInMm: null,
    text: 'Welding current down by 12 A (5.0 σ) since 300 mm, 3:00 o’clock.',
    looksLike: [
      { cause: 'stick-out longer', text: 'The stick-out is longer.', speaksFor: [], speaksAgainst: [] },
    ],
    ...more,
  });

  it('are one low condition of a side and pass, in words, with what it looks like', () => {
    const [condition] = new Conditions().update({ ...QUIET, drifting: [change({})] });
    expect(condition).toMatchObject({
      key: 'B:fill 1:drifting',
      cause: 'drifting',
      priority: 'low',
      quantity: 'weldingCurrent',
      quantities: ['weldingCurrent'],
      sinceUs: 50e6,
      place: { alongMm: 300, clock: 3 },
    });
    expect(condition!.text).toBe(
      'Welding current down by 12 A (5.0 σ) since 300 mm, 3:00 o’clock (joint J-7, side B, fill 1). Looks like: stick-out longer; not a verdict.',
    );
    expect(condition!.action).toMatch(/tell the welding inspector/);
    alarmsSchema.parse({ origin: 'simulated', at: AT, conditions: [condition] });
  });

  it('stay one condition when more of them hold, and become medium on the way to a limit', () => {
    const conditions = new Conditions();
    const [one] = conditions.update({ ...QUIET, drifting: [change({})] });
    const projected = change({
      number: 3,
      rule: 'projected',
      crossingInMm: 120,
      text: 'Welding current is on its way to the lower limit of 216 A and meets it at 550 mm, before the pass ends, if it goes on like this.',
    });
    const more = conditions.update({
      ...QUIET,
      nowUs: 70e6,
      drifting: [change({}), change({ number: 2, quantity: 'arcVoltage', sinceUs: 60e6 }), projected],
    });
    expect(more).toHaveLength(1);
    expect(more[0]).toMatchObject({
      key: one!.key,
      priority: 'medium',
      sinceUs: 50e6,
      quantities: ['weldingCurrent', 'arcVoltage'],
    });
    expect(more[0]!.text).toMatch(/^Welding current is on its way .* 3 changes hold\. /);
    expect(more[0]!.text.length).toBeLessThanOrEqual(300);
    expect(conditions.update(QUIET)).toEqual([]);
  });
});

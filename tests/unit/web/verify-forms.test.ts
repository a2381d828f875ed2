import { describe, expect, it } from 'vitest';
import { newEntrySchema } from '#core/journal/entry';
import { checkSchema } from '#core/journal/rig-entries';
import {
  checkEntry,
  correctionEntry,
  proposedShiftDate,
} from '../../../dashboard/web/views/verify/check-entry.ts';
import {
  defaultSettings,
  keepSettings,
  readSettings,
} from '../../../dashboard/web/views/verify/check-settings.ts';
import { clockResult, missingClockFields } from '../../../dashboard/web/views/verify/clock-form.ts';
import {
  type MeterForm,
  meterResult,
  missingMeterFields,
} from '../../../dashboard/web/views/verify/meter-form.ts';
import {
  likelierUnit,
  missingRunFields,
  type RigFacts,
  runResult,
  type TimedRunForm,
} from '../../../dashboard/web/views/verify/timed-run-form.ts';
import { typedLength, typedLengthMm } from '../../../dashboard/web/views/verify/typed-length.ts';

const NOTHING: RigFacts = { referenceRadiusMm: null, correctionFactor: null, procedureMmPerS: null };
const travel: TimedRunForm = {
  ...defaultSettings('travel'),
  state: 'asFound',
  tapeOn: 'pipe',
  outsideDiameter: '',
  bandHeight: '',
  runS: '15',
  measured: '95',
  shown: '380',
  shownUnit: 'mm/min',
  edgeMmPerS: null,
};
const result = (form: TimedRunForm, facts = NOTHING, check: 'travel' | 'wireFeed' = 'travel') => {
  expect(missingRunFields(check, form, facts)).toEqual([]);
  const answer = runResult(check, form, facts);
  if (answer.kind !== 'value') throw new Error(answer.text);
  expect(checkSchema.parse(answer.value.check)).toEqual(answer.value.check);
  return answer.value;
};

describe('a tape as people read it', () => {
  it('takes decimals and, in inches, fractions: 1 in = 25.4 mm exactly (international inch, 1959)', () => {
    expect(['95', '95,5', '3 3/4'].map(text => typedLength(text, 'mm'))).toEqual([95, 95.5, null]);
    expect(['3 3/4', '3-3/4', '1/16', '3.75', '3/0', 'a'].map(text => typedLength(text, 'in'))).toEqual([
      3.75,
      3.75,
      0.0625,
      3.75,
      null,
      null,
    ]);
    expect(typedLengthMm('3 3/4', 'in')).toBeCloseTo(95.25, 12);
  });
});

describe('a timed run', () => {
  it('15 s are × 4 and 6 s × 10 for the minute (common practice, no source)', () => {
    // 95 mm in 15 s: 95 × 4 = 380 mm/min. 25 in in 6 s: 25 × 10 = 250 in/min.
    expect(result(travel).check).toMatchObject({ errorPercent: expect.closeTo(0, 9) });
    const wire = { ...travel, ...defaultSettings('wireFeed'), runS: '6', lengthUnit: 'in' as const };
    const fed = result(
      { ...wire, measured: '25', shown: '250', shownUnit: '[in_i]/min' },
      NOTHING,
      'wireFeed',
    );
    expect(fed.check).toMatchObject({ check: 'wireFeed', errorPercent: expect.closeTo(0, 9) });
    expect(fed.check.measuredMmPerS).toBeCloseTo((250 * 25.4) / 60, 9);
  });

  it('6 s by hand cannot show 2 %: ± 0.2 s of 6 s is 3.3 %, as limits 2·3.33/√3 = 3.85 % at k = 2 (GUM 4.3.7)', () => {
    const form = { ...travel, runS: '6', measured: '1027', tapeMm: '0', shown: '10270' };
    const found = result(form, NOTHING, 'wireFeed');
    expect(found.check.expandedUncertaintyPercent).toBeCloseTo((2 * 100 * 0.2) / 6 / Math.sqrt(3), 9);
    expect(found.check.result).toBe('notShown');
    // The proposed run makes it 1 %: 6 s × 3.849 = 23.1 s, up to the next second.
    expect(found.shown.proposedRunS).toBe(24);
    const longer = { ...form, runS: '24', measured: String((1027 / 6) * 24) };
    expect(result(longer, NOTHING, 'wireFeed').check.result).toBe('pass');
  });

  it('reads 4 % high: fails, and the factor brings it back', () => {
    const form = { ...travel, runS: '60', measured: '450', shown: '468' };
    const found = result(form);
    expect(found.check).toMatchObject({ result: 'fail', errorPercent: expect.closeTo(4, 9) });
    const corrected = result(form, { ...NOTHING, correctionFactor: found.newFactor });
    expect(corrected.check).toMatchObject({ result: 'pass', correctionFactor: found.newFactor });
    expect(corrected.newFactor).toBeCloseTo(found.newFactor, 12);
  });

  it('takes the factor from the edge’s own value where it saw the run', () => {
    const found = result({ ...travel, runS: '60', measured: '450', shown: '450', edgeMmPerS: 7.8 });
    expect(found.shown.result).toBe('pass');
    expect(found.edge?.result).toBe('fail');
    expect(found.newFactor).toBeCloseTo(7.5 / 7.8, 12);
  });

  it('a tape on the pipe or on the band: at the rig’s radius (geometry)', () => {
    const facts = { ...NOTHING, referenceRadiusMm: 325 };
    expect(missingRunFields('travel', travel, facts)).toEqual(['outsideDiameter']);
    const onPipe = { ...travel, outsideDiameter: '610', measured: '95' };
    const onBand = { ...onPipe, tapeOn: 'band' as const, bandHeight: '20' };
    expect(result(onPipe, facts).check).toMatchObject({
      measuredMmPerS: expect.closeTo(((95 / 15) * 325) / 305, 9),
      tapeRadiusMm: 305,
      referenceRadiusMm: 325,
    });
    expect(result(onBand, facts).check.measuredMmPerS).toBeCloseTo(95 / 15, 9);
    // No reference radius: travel is taken as at the pipe, so the band's must be brought there.
    expect(result(onBand).check.measuredMmPerS).toBeCloseTo(((95 / 15) * 305) / 325, 9);
  });

  it('names what is missing in the order of the page', () => {
    const empty = {
      ...travel,
      runS: '0.5',
      measured: '',
      shown: '0',
      tapeMm: 'x',
      limitPercent: '0',
      validHours: '',
    };
    expect(missingRunFields('travel', empty, NOTHING)).toEqual([
      'runS',
      'measured',
      'shown',
      'tape',
      'limitPercent',
      'validHours',
    ]);
  });

  it('asks about the unit when another would agree with the tape', () => {
    const slip = { ...travel, shownUnit: 'mm/s' };
    expect(likelierUnit('travel', slip, result(slip))).toBe('mm/min');
    expect(likelierUnit('travel', travel, result(travel))).toBeNull();
  });
});

describe('a reading against a reference', () => {
  const volts: MeterForm = {
    ...defaultSettings('arcVoltage'),
    state: 'asFound',
    unit: 'V',
    shown: '24.1',
    reference: '24',
    serial: ' M-118 ',
    due: '2026-12-31',
    referenceUncertainty: '0.1',
  };
  const at = Date.UTC(2026, 4, 12);

  it('combines reference and reading, limits ÷ √3 (GUM 4.3.7, 5.1.6)', () => {
    const answer = meterResult('arcVoltage', volts, at);
    expect(answer).toMatchObject({
      value: {
        check: {
          result: 'pass',
          errorPercent: expect.closeTo((0.1 / 24) * 100, 9),
          expandedUncertaintyPercent: expect.closeTo((2 * 100 * Math.hypot(0.1, 0.1)) / Math.sqrt(3) / 24, 9),
          referenceSerial: 'M-118',
          referenceDue: '2026-12-31T23:59:59.999Z',
        },
      },
    });
    if (answer.kind === 'value') expect(checkSchema.parse(answer.value.check)).toEqual(answer.value.check);
  });

  it('shows nothing by a reference past its date, on the day itself still', () => {
    const result = (ms: number) => {
      const answer = meterResult('arcVoltage', volts, ms);
      return answer.kind === 'value' ? answer.value.check.result : answer.text;
    };
    expect(result(Date.UTC(2026, 11, 31, 20))).toBe('pass');
    expect(result(Date.UTC(2027, 0, 1))).toBe('notShown');
  });

  it('stores °F as °C: 212 °F is 100 °C, a difference of 1.8 °F is 1 K (definition)', () => {
    const form = {
      ...volts,
      unit: '[degF]',
      shown: '212',
      reference: '212',
      referenceUncertainty: '1.8',
      readingUncertainty: '0',
    };
    const answer = meterResult('temperature', form, at);
    expect(answer).toMatchObject({
      value: {
        check: { unit: 'Cel', shown: 100, reference: 100, referenceUncertainty: expect.closeTo(1, 9) },
      },
    });
  });

  it('names what is missing', () => {
    const empty = { ...volts, shown: '', serial: ' ', due: '', referenceUncertainty: '' };
    expect(missingMeterFields(empty)).toEqual(['shown', 'serial', 'due', 'referenceUncertainty']);
  });
});

describe('a clock', () => {
  const form = {
    ...defaultSettings('clock'),
    state: 'asFound',
    offsetMs: '-120',
    uncertaintyMs: '50',
  } as const;
  it('passes, fails or cannot tell within 200 ms', () => {
    expect(clockResult(form)).toMatchObject({ result: 'pass', offsetMs: -120, limitMs: 200 });
    expect(clockResult({ ...form, uncertaintyMs: '300' }).result).toBe('notShown');
    expect(clockResult({ ...form, offsetMs: '900' }).result).toBe('fail');
    expect(missingClockFields({ ...form, offsetMs: '' })).toEqual(['offsetMs']);
    expect(checkSchema.safeParse(clockResult(form)).success).toBe(true);
  });
});

describe('the entry', () => {
  const frame = { site: 'spread-1', rig: 'rig-1', author: 'p-1', shiftDate: '2026-05-12' };
  const at = Date.UTC(2026, 4, 12, 14);

  it('is good for the hours asked only when it passed', () => {
    const passed = checkEntry(frame, result({ ...travel, runS: '60', measured: '380' }).check, '12', at);
    expect(newEntrySchema.parse(passed)).toEqual(passed);
    expect(passed.body).toMatchObject({ validUntil: '2026-05-13T02:00:00.000Z' });
    const failed = checkEntry(frame, result({ ...travel, runS: '60', measured: '450' }).check, '12', at);
    expect(failed.body).toMatchObject({ validUntil: null, outcome: { result: 'fail' } });
  });

  it('of a correction has old and new, the moment and why', () => {
    const entry = correctionEntry(frame, {
      channel: 'travelSpeed',
      factor: 0.9615,
      previous: 1,
      fromMs: at,
      reason: ' Travel check: 4.0 % high. ',
    });
    expect(newEntrySchema.parse(entry)).toEqual(entry);
    expect(entry).toMatchObject({
      reason: 'Travel check: 4.0 % high.',
      body: { factor: 0.9615, previous: 1, from: '2026-05-12T14:00:00.000Z' },
    });
  });

  it('proposes the day the shift began', () => {
    expect(proposedShiftDate(new Date(2026, 4, 13, 2, 30))).toBe('2026-05-12');
    expect(proposedShiftDate(new Date(2026, 4, 1, 5, 59))).toBe('2026-04-30');
    expect(proposedShiftDate(new Date(2026, 4, 13, 6, 0))).toBe('2026-05-13');
  });
});

describe('what was last set', () => {
  it('comes back, and rubbish in its place does no harm', () => {
    const kept = new Map<string, string>();
    const storage = {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
    };
    keepSettings(storage, 'travel', { ...travel, limitPercent: '3', lengthUnit: 'in' });
    expect(readSettings(storage, 'travel')).toEqual({
      ...defaultSettings('travel'),
      limitPercent: '3',
      lengthUnit: 'in',
    });
    expect([...kept.values()].join()).not.toContain('measured');
    kept.set('girthlog.check.travel', '{"limitPercent":7,"lengthUnit":"furlong"');
    expect(readSettings(storage, 'travel')).toEqual(defaultSettings('travel'));
  });
});

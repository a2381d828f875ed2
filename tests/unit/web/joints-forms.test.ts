import { beforeEach, describe, expect, it, vi } from 'vitest';
import { entryBodySchema } from '#core/journal/entry';
import { resolveLimit } from '#core/procedure/limits';
import type { FormContext } from '../../../dashboard/web/views/joints/forms/joint-form.ts';
import { JOINT_FORMS, TASK_OF_KIND } from '../../../dashboard/web/views/joints/forms/joint-forms.ts';
import {
  EMPTY_PARTICULARS,
  particularsOf,
} from '../../../dashboard/web/views/joints/forms/particulars-form.tsx';
import {
  againstLimit,
  temperatureForm,
} from '../../../dashboard/web/views/joints/forms/temperature-form.tsx';
import { JOINT_TASKS } from '../../../dashboard/web/views/joints/joint-routes.ts';
import type { TemperatureUnit } from '../../../dashboard/web/views/joints/temperature-unit.ts';
import { PEOPLE, PROCEDURE, START_UTC_MS } from '../../support/dashboard-fixtures.ts';

const context: FormContext = {
  joint: 'J-0412',
  state: null,
  procedure: PROCEDURE,
  procedures: [{ at: '2026-05-12T00:00:00.000Z', author: 'p-1', procedure: PROCEDURE }],
  limitsOf: () => [
    resolveLimit({ quantity: 'preheatTemperature', unit: 'Cel', basis: 'pass', min: 100 }),
    resolveLimit({ quantity: 'interpassTemperature', unit: '[degF]', basis: 'pass', max: 482 }),
  ],
  passNames: PROCEDURE.passes.map(({ name }) => name),
  people: PEOPLE,
  nameOf: id => id,
  qualifications: [],
  start: {},
  nowMs: START_UTC_MS,
};

const kept = new Map<string, string>();
beforeEach(() => {
  kept.clear();
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => kept.set(key, value),
  });
});

/** What a person types into each form, at its fullest. */
const TYPED: Readonly<Record<(typeof JOINT_TASKS)[number], Readonly<Record<string, string>>>> = {
  particulars: {
    ...EMPTY_PARTICULARS,
    station: '14+220',
    upNumber: 'P-1',
    upHeat: 'H-1',
    downNumber: 'P-2',
    outsideDiameter: '610',
    wall: '15,9',
    procedure: 'example-610@1',
  },
  lots: { wireLot: 'W-1', gasLot: '' },
  polarity: { polarity: 'electrodeNegative' },
  crew: { weldSetter: '', operatorA: 'p-1', operatorB: '' },
  qualification: { person: 'p-1', process: '135', range: 'all positions', expires: '2027-01-31' },
  temperature: {
    quantity: 'interpassTemperature',
    pass: 'hot',
    value: '212',
    unit: '[degF]',
    where: 'clock',
    clock: '4:30',
    instrument: 'IR-7',
    takenAt: '2026-05-12T13:50',
  },
  release: { pass: 'root', released: 'no', note: 'undercut at 5' },
  hold: { on: 'on' },
  elsewhere: {
    pass: 'root',
    side: 'both',
    weldedBy: 'stamp 12',
    how: 'internal root',
    weldedAt: '2026-05-12T13:00',
    current: '120',
    voltage: '',
    travel: '2.5',
    energy: '',
  },
};

describe('every form of a joint', () => {
  it.each(JOINT_TASKS)('%s makes an entry the journal takes, and begins a correction with it', task => {
    const form = JOINT_FORMS[task];
    expect(form.problems(TYPED[task], context)).toEqual({});
    const body = form.body(TYPED[task], context);
    expect(entryBodySchema.safeParse(body).error).toBeUndefined();
    expect(TASK_OF_KIND[body.kind]).toBe(task);
    const entry = {
      ...{ number: 1, id: 'e-1', at: '2026-05-12T14:00:00.000Z', origin: 'simulated' as const },
      ...{ author: 'p-1', shiftDate: '2026-05-12', reason: null, corrects: null, body },
    };
    const again = form.body(form.from(entry, context), context);
    expect(again).toEqual(body);
  });

  it.each(JOINT_TASKS)('%s names what is missing where nothing is typed', task => {
    const form = JOINT_FORMS[task];
    const empty = Object.fromEntries(Object.keys(TYPED[task]).map(key => [key, '']));
    expect(Object.values(form.problems(empty, context)).filter(text => text !== undefined)).not.toEqual([]);
  });
});

describe('values as typed', () => {
  it('keeps 212 °F as 100 °C (SI brochure: t/°F = 9/5 t/°C + 32) at 4:30 o’clock', () => {
    expect(temperatureForm.body(TYPED.temperature as never, context)).toMatchObject({
      valueCel: 100,
      clock: 4.5,
    });
  });

  it('keeps 24 in as 609.6 mm and 0.625 in as 15.875 mm (1 in = 25.4 mm exactly)', () => {
    const draft = { ...EMPTY_PARTICULARS, unit: 'in', outsideDiameter: '24', wall: '5/8' };
    expect(particularsOf(draft, [])).toEqual({ outsideDiameterMm: 609.6, wallThicknessMm: 15.875 });
  });

  it.each([
    ['preheatTemperature', '99.9', 'Cel', '99.9 °C is below the 100 °C the procedure asks for.'],
    ['preheatTemperature', '211', '[degF]', '211 °F is below the 212 °F the procedure asks for.'],
    ['preheatTemperature', '100', 'Cel', null],
    ['interpassTemperature', '251', 'Cel', '251 °C is above the 250 °C the procedure allows.'],
    ['interpassTemperature', '482', '[degF]', null],
    ['interpassTemperature', 'hot', 'Cel', null],
  ] as const)('%s of %s %s against the limit: %s', (quantity, value, unit, said) => {
    const draft = { ...TYPED.temperature, quantity, value, unit: unit as TemperatureUnit };
    expect(againstLimit(draft as never, context)).toBe(said);
  });

  it('takes no time of the future, no zero and no words for numbers', () => {
    const elsewhere = JOINT_FORMS.elsewhere;
    expect(elsewhere.problems({ ...TYPED.elsewhere, current: '0' }, context)).toHaveProperty('current');
    expect(elsewhere.problems({ ...TYPED.elsewhere, voltage: 'x' }, context)).toHaveProperty('voltage');
    const ahead = { ...TYPED.elsewhere, weldedAt: '2027-05-12T13:00' };
    expect(elsewhere.problems(ahead, context)).toHaveProperty('weldedAt');
    const heatOnly = { ...TYPED.particulars, upNumber: '' };
    expect(JOINT_FORMS.particulars.problems(heatOnly, context)).toHaveProperty('upNumber');
  });
});

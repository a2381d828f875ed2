import { describe, expect, it } from 'vitest';
import { CATALOGUE, calculationNamed } from '#core/calculations/catalogue';
import { runCalculation } from '#core/calculations/run-calculation';
import { parseRoute, routeUrl } from '../../../dashboard/web/routes.ts';
import { isAmbiguous, typedNumber } from '../../../dashboard/web/text/typed-number.ts';
import {
  plainNumber,
  shownUncertainty,
  shownWithUncertainty,
} from '../../../dashboard/web/views/sums/shown-number.ts';
import {
  fieldProblem,
  firstDraft,
  givenOf,
  type SumDraft,
  sumProblems,
  withLabels,
} from '../../../dashboard/web/views/sums/sum-form.ts';
import {
  readSumsMemory,
  type SumsMemory,
  withAnswer,
  withoutInputs,
  writeSumsMemory,
} from '../../../dashboard/web/views/sums/sums-memory.ts';
import { mostUsed, sumsGroups } from '../../../dashboard/web/views/sums/sums-order.ts';

const NOTHING: SumsMemory = { used: {}, last: {}, units: {}, uncertainties: false };
const named = (name: string) => calculationNamed(name)!;

function filled(name: string, typed: Readonly<Record<string, readonly [string, string?]>>): SumDraft {
  const draft = firstDraft(named(name), NOTHING);
  return Object.fromEntries(
    Object.entries(draft).map(([key, one]) => {
      const [value, unit] = typed[key] ?? [one.value];
      return [key, { ...one, value, unit: unit ?? one.unit }];
    }),
  );
}

describe('the list', () => {
  it('reaches every calculation of the catalogue, each at an address of its own', () => {
    const all = sumsGroups(CATALOGUE, '').flatMap(({ entries }) => entries);
    expect(all.map(({ name }) => name).toSorted()).toEqual(CATALOGUE.map(({ name }) => name).toSorted());
    for (const { name } of CATALOGUE) {
      expect(parseRoute(routeUrl({ view: 'sums', name }))).toEqual({ view: 'sums', name });
    }
    expect(parseRoute('#/sums')).toEqual({ view: 'sums', name: null });
  });

  it('puts the usual ones first until this device knows better', () => {
    expect(mostUsed(CATALOGUE, NOTHING)[0]?.name).toBe('travel-check');
    const used = { ...NOTHING, used: { position: 9, 'heat-input': 2 } };
    const names = mostUsed(CATALOGUE, used).map(({ name }) => name);
    expect(names.slice(0, 2)).toEqual(['position', 'heat-input']);
    expect(names).toHaveLength(6);
  });

  it('finds by any word of title, inputs and results', () => {
    const found = (typed: string) => sumsGroups(CATALOGUE, typed).flatMap(({ entries }) => entries);
    expect(found('spool').map(({ name }) => name)).toContain('spool-left');
    expect(found('PREHEAT method').map(({ name }) => name)).toEqual(['preheat']);
    expect(found('no such word')).toEqual([]);
  });
});

describe('what is typed', () => {
  it.each([
    ['7.5', 7.5],
    ['7,5', 7.5],
    ['.5', 0.5],
    [' −10 ', -10],
    ['1e3', null],
    ['1,234.5', null],
    ['seven', null],
    ['NaN', null],
    ['', null],
  ])('%j is %j', (typed, value) => expect(typedNumber(typed)).toBe(value));

  it('refuses a comma that may have meant thousands', () => {
    expect([isAmbiguous('1,234'), isAmbiguous('1.234')]).toEqual([true, false]);
    expect(typedNumber('1,234')).toBeNull();
  });

  it('says what is missing, no number, or beyond what is plausible, in the unit chosen', () => {
    const travel = named('arc-energy-means').inputs['travelSpeed']!;
    const draft = { value: '', unit: '[in_i]/min', plus: '', plusUnit: 'same', plusKind: 'limits' } as const;
    expect(fieldProblem(travel, draft, false)).toEqual({ kind: 'missing' });
    expect(fieldProblem(travel, { ...draft, value: 'x' }, false)).toEqual({ kind: 'notNumber' });
    // 200 mm/s = 472.44 in/min (1 in = 25.4 mm, exact).
    expect(fieldProblem(travel, { ...draft, value: '473' }, false)).toEqual({
      kind: 'implausible',
      range: 'above 0 and up to 472.4 in/min',
    });
    expect(fieldProblem(travel, { ...draft, value: '472' }, false)).toBeNull();
    expect(fieldProblem(travel, { ...draft, value: '9', plus: '-1' }, true)).toEqual({
      kind: 'plusNotNumber',
    });
  });

  it('speaks of inputs by their words, not by their keys', () => {
    expect(withLabels('a tape on the pipe needs outsideDiameter', named('travel-check'))).toBe(
      'A tape on the pipe needs outside diameter',
    );
  });
});

describe('the answer', () => {
  it('29 V, 325 A, 12.5 in/min is 45.24 kJ/in (welding inspection forum, "Heat Input Caculation" worked example)', () => {
    const draft = filled('arc-energy-means', {
      voltage: ['29'],
      current: ['325'],
      travelSpeed: ['12,5', '[in_i]/min'],
    });
    const run = runCalculation(named('arc-energy-means'), givenOf(named('arc-energy-means'), draft, false));
    if (run.kind !== 'value') throw new Error(run.kind);
    expect(plainNumber(run.results[0]!.also[0]!.value)).toBe('45.24');
  });

  it('carries the uncertainty of what was entered: 1 % limits on one factor are 1.15 % at k = 2 (GUM 4.3.7, 2/√3)', () => {
    const draft = filled('arc-energy-means', { voltage: ['24'], current: ['236'], travelSpeed: ['7.5'] });
    const voltage = { ...draft['voltage']!, plus: '1', plusUnit: 'percent' } as const;
    const sum = named('arc-energy-means');
    const run = runCalculation(sum, givenOf(sum, { ...draft, voltage }, true));
    if (run.kind !== 'value') throw new Error(run.kind);
    const { value, expandedUncertainty } = run.results[0]!;
    expect(expandedUncertainty! / Number(value)).toBeCloseTo((0.01 * 2) / Math.sqrt(3), 8);
    // With the switch off nothing of it counts.
    const off = runCalculation(sum, givenOf(sum, { ...draft, voltage }, false));
    expect(off.kind === 'value' && off.results[0]?.expandedUncertainty).toBeNull();
  });

  it('outside its range there is no number: method B holds from 0.5 kJ/mm (EN 1011-2 Annex C.3)', () => {
    const draft = filled('preheat', {
      cet: ['0.3'],
      thickness: ['15.9'],
      hydrogen: ['5'],
      heatInput: ['0.3'],
    });
    expect(sumProblems(named('preheat'), draft, false).size).toBe(0);
    const run = runCalculation(named('preheat'), givenOf(named('preheat'), draft, false));
    expect(run).toMatchObject({ kind: 'outOfRange', range: { min: 0.5, max: 4 } });
    expect(run).not.toHaveProperty('results');
  });

  it.each([
    [0, '0'],
    [7.56667, '7.567'],
    [12_345.67, '12346'],
    [-0.881, '−0.881'],
    [0.000123456, '0.0001235'],
    [100, '100'],
    [9.9999, '10'],
    [-0.0000000001, '0'],
  ])('%d is shown as %s', (value, shown) => expect(plainNumber(value)).toBe(shown));

  it('rounds to two digits of the uncertainty: 10.05762 Ω, 27 mΩ is 10.058 (GUM 7.2.6)', () => {
    expect(shownWithUncertainty(10.05762, 0.027)).toEqual({ value: '10.058', uncertainty: '0.027' });
    expect(shownWithUncertainty(1234.5, 99.96)).toEqual({ value: '1235', uncertainty: '100' });
    expect(shownWithUncertainty(5, null)).toEqual({ value: '5', uncertainty: null });
    expect([1.8454, 1.9847].map(shownUncertainty)).toEqual(['1.8', '2.0']);
  });
});

describe('what this device remembers', () => {
  class Store {
    readonly #kept = new Map<string, string>();
    getItem = (key: string) => this.#kept.get(key) ?? null;
    setItem = (key: string, value: string) => void this.#kept.set(key, value);
  }

  it('fills in what was entered last, until it is cleared', () => {
    const store = new Store();
    const sum = named('heat-input');
    const inputs = filled('heat-input', { arcEnergy: ['19.2', 'kJ/[in_i]'] });
    writeSumsMemory(store, withAnswer(NOTHING, sum.name, { atMs: 5, inputs }));
    const memory = readSumsMemory(store);
    expect(memory.used).toEqual({ 'heat-input': 1 });
    expect(firstDraft(sum, memory)).toEqual(inputs);
    expect(firstDraft(sum, withoutInputs(memory, sum.name))['arcEnergy']?.value).toBe('');
  });

  it('offers the unit chosen once everywhere the same is measured', () => {
    const units = { 'travel speed|mm/s': '[in_i]/min', 'wire feed speed|mm/s': 'furlong' };
    const draft = firstDraft(named('deposit-area'), { ...NOTHING, units });
    expect([draft['travelSpeed']?.unit, draft['wireFeedSpeed']?.unit]).toEqual(['[in_i]/min', 'mm/s']);
    expect(firstDraft(named('deposit-area'), NOTHING)['wireFeedSpeed']?.unit).toBe('m/min');
  });

  it.each(['', 'null', '[]', '{"used":{"a":-1},"last":{"x":{"atMs":1,"inputs":{"a":3}}}}', '{'])(
    'starts anew from storage that is not its own: %s',
    kept => {
      const store = new Store();
      store.setItem('girthlog.sums', kept);
      expect(readSumsMemory(store)).toEqual(NOTHING);
    },
  );
});

import { describe, expect, it } from 'vitest';
import { newProcedureSchema } from '#core/messages/api';
import { procedureProblems } from '#core/procedure/impossible';
import { LIMIT_UNITS, LIMITED_QUANTITIES } from '#core/procedure/limit-units';
import { type Procedure, procedureSchema } from '#core/procedure/procedure';
import { procedureDifferences } from '#core/procedure/procedure-differences';
import { isCommensurable } from '#core/units/ucum';
import { parseRoute, routeUrl } from '../../../dashboard/web/routes.ts';
import {
  addLimit,
  addPass,
  copyPass,
  movePass,
  removeLimit,
  removePass,
  withField,
  withLimit,
  withPassField,
} from '../../../dashboard/web/views/procedures/draft-changes.ts';
import { readDraft, writeDraft } from '../../../dashboard/web/views/procedures/draft-store.ts';
import {
  DraftReader,
  emptyDraft,
  fieldId,
  limitFieldId,
  passFieldId,
} from '../../../dashboard/web/views/procedures/procedure-draft.ts';
import { clockOf, procedureOfDraft } from '../../../dashboard/web/views/procedures/procedure-of-draft.ts';
import { readProcedureFile } from '../../../dashboard/web/views/procedures/read-procedure-file.ts';
import { refusalOf } from '../../../dashboard/web/views/procedures/refusal-place.ts';
import { LIMIT_UNIT_CHOICES } from '../../../dashboard/web/views/procedures/unit-system.ts';
import example from '../../../simulator/demo/example-procedure.json' with { type: 'json' };

const FULL: Procedure = procedureSchema.parse({
  ...example,
  scope: 'mainline',
  code: 'invented code, edition 1',
  qualificationRecords: ['Q-1', 'Q-2'],
  baseMaterial: { grade: 'invented', outsideDiameterMinMm: 508, outsideDiameterMaxMm: 711, pcmMax: 0.22 },
  bevel: { type: 'compound', anglesDegrees: [45, 5], rootFaceMm: 1.3, gapMm: 0 },
  ndtRule: 'As the project says.',
  passes: [
    {
      ...example.passes[0],
      process: '135',
      polarity: 'electrodePositive',
      technique: 'weave',
      torchAngleDegrees: -10,
      limits: [
        { quantity: 'travelSpeed', unit: '[in_i]/min', basis: 'window', nominal: 27.3, tolerancePercent: 8 },
        {
          quantity: 'wireFeedSpeed',
          unit: 'm/min',
          basis: 'pass',
          min: 6.41,
          max: 7.37,
          clockZone: { from: 4.5, to: 8 },
        },
        { quantity: 'interpassTemperature', unit: '[degF]', basis: 'instant', max: 482 },
        { quantity: 'oscillationFrequency', unit: 'Hz', basis: 'instant', exact: 2.5 },
      ],
    },
  ],
});

const limitOf = (procedure: Procedure, i: number) => procedure.passes[0]!.limits[i]!;

describe('a procedure in the form', () => {
  it.each(['metric', 'inch'] as const)(
    'comes out as it went in: every field, to the last digit (%s)',
    system => {
      const { procedure, problems } = procedureOfDraft(new DraftReader(system).read(FULL));
      expect([...problems]).toEqual([]);
      expect(procedureSchema.parse(procedure)).toEqual(procedure);
      expect(procedureDifferences(FULL, procedure)).toEqual([]);
    },
  );

  it('stores SI: 10 in/min is 4.2333 mm/s, 212 °F is 100 °C, 25.4 kJ/in is 1 kJ/mm (1 in = 25.4 mm, exact)', () => {
    let draft = emptyDraft('inch');
    for (const quantity of ['travelSpeed', 'interpassTemperature', 'arcEnergy'] as const) {
      draft = addLimit(draft, 1, quantity);
    }
    const typed = ['10', '212', '25.4'];
    draft.passes[0]!.limits.forEach(({ key, numbers }, i) => {
      draft = withLimit(draft, 1, key, { numbers: { ...numbers, max: typed[i]! } });
    });
    const { procedure } = procedureOfDraft(draft);
    expect([0, 1, 2].map(i => limitOf(procedure, i).unit)).toEqual(['mm/s', 'Cel', 'kJ/mm']);
    expect(limitOf(procedure, 0).max).toBeCloseTo(254 / 60, 12);
    expect(limitOf(procedure, 1).max).toBe(100);
    expect(limitOf(procedure, 2).max).toBeCloseTo(1, 12);
  });

  it('keeps a number as typed when its unit is changed', () => {
    const draft = new DraftReader('metric').read(FULL);
    const wire = draft.passes[0]!.limits[1]!;
    const { procedure } = procedureOfDraft(withLimit(draft, 1, wire.key, { unit: 'mm/s' }));
    expect(limitOf(procedure, 1).min).toBe(6.41);
  });

  it('names every field that is missing or cannot be read', () => {
    let draft = addLimit(emptyDraft('metric'), 1, 'travelSpeed');
    const key = draft.passes[0]!.limits[0]!.key;
    draft = withField(withField(draft, 'revision', '1.5'), 'pipe.wallThicknessMm', '15.9');
    draft = withPassField(draft, 1, 'wire.classification', 'solid');
    draft = withLimit(draft, 1, key, { zoned: true, from: '4:30', to: '13' });
    expect(Object.fromEntries(procedureOfDraft(draft).problems)).toEqual({
      [fieldId('id')]: 'missing',
      [fieldId('revision')]: 'notWhole',
      [fieldId('title')]: 'missing',
      [fieldId('pipe.outsideDiameterMm')]: 'missing',
      [passFieldId(1, 'name')]: 'missing',
      [passFieldId(1, 'type')]: 'missing',
      [passFieldId(1, 'wire.diameterMm')]: 'missing',
      [limitFieldId(key, 'min')]: 'noNumber',
      [limitFieldId(key, 'to')]: 'notClock',
    });
  });

  it('reads clock positions as people write them', () => {
    expect(['4:30', '4.5', '4,5', '12', '0:15'].map(clockOf)).toEqual([4.5, 4.5, 4.5, 12, 0.25]);
    expect(['12:30', '4:75', '-1', 'top', ''].map(clockOf)).toEqual([null, null, null, null, null]);
  });

  it('adds, copies, moves and removes passes and limits', () => {
    const first = new DraftReader('metric').read(FULL);
    const copied = copyPass(first, 1);
    expect(copied.passes.map(({ fields }) => fields['name'])).toEqual(['root', '']);
    const named = withPassField(copied, copied.passes[1]!.key, 'name', 'hot');
    const { procedure } = procedureOfDraft(named);
    // The copy carries the stored numbers, not their rounding.
    expect(procedure.passes[1]?.limits).toEqual(procedure.passes[0]?.limits);
    const moved = movePass(named, named.passes[1]!.key, -1);
    expect(moved.passes.map(({ fields }) => fields['name'])).toEqual(['hot', 'root']);
    expect(movePass(moved, moved.passes[0]!.key, -1)).toBe(moved);
    const keys = addPass(moved).passes.flatMap(pass => [pass.key, ...pass.limits.map(({ key }) => key)]);
    expect(new Set(keys).size).toBe(keys.length);
    expect(removePass(moved, moved.passes[0]!.key).passes).toHaveLength(1);
    const gone = removeLimit(first, 1, first.passes[0]!.limits[0]!.key);
    expect(gone.passes[0]?.limits).toHaveLength(3);
  });

  it('offers for every quantity only units that measure it, its stored one among them', () => {
    for (const quantity of LIMITED_QUANTITIES) {
      expect(LIMIT_UNIT_CHOICES[quantity]).toContain(LIMIT_UNITS[quantity]);
      for (const unit of LIMIT_UNIT_CHOICES[quantity]) {
        expect(isCommensurable(unit, LIMIT_UNITS[quantity]), `${quantity} in ${unit}`).toBe(true);
      }
    }
  });

  it('is kept while it is typed; anything else in storage is as if it were not there', () => {
    const kept = new Map<string, string>();
    const store = {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (k: string, v: string) => void kept.set(k, v),
    };
    const draft = new DraftReader('inch').read(FULL);
    writeDraft(store, 'new', { atMs: 7, draft });
    expect(readDraft(store, 'new')).toEqual({ atMs: 7, draft });
    for (const other of ['', '{}', '[1]', 'x', '{"atMs":1,"draft":{}}']) {
      kept.set('girthlog.procedure-draft.new', other);
      expect(readDraft(store, 'new')).toBeNull();
    }
  });
});

describe('a refusal of the server', () => {
  const draft = new DraftReader('metric').read(FULL);
  const [first, zoned] = draft.passes[0]!.limits;

  /** The words of dashboard/server/api/route.ts for a body that does not fit. */
  function refused(change: (procedure: Procedure) => void): { id: string | null; text: string } {
    const procedure = structuredClone(FULL);
    change(procedure);
    const read = newProcedureSchema.safeParse({ author: 'p-1', procedure });
    const issue = read.error!.issues[0]!;
    const at = issue.path.length > 0 ? ` at ${issue.path.join('.')}` : '';
    return refusalOf(`The body is not valid${at}: ${issue.message}.`, draft);
  }

  it('stands at the field it names', () => {
    const crossed = refused(p => Object.assign(limitOf(p, 1), { min: 9, max: 8 }));
    expect(crossed).toEqual({
      id: limitFieldId(zoned!.key, 'min'),
      text: 'limit on wireFeedSpeed: min 9 is not below max 8.',
    });
    expect(refused(p => Object.assign(p, { id: 'Not An Id' })).id).toBe(fieldId('id'));
    expect(refused(p => Object.assign(p.passes[0]!, { process: 'x' })).id).toBe(passFieldId(1, 'process'));
    expect(refused(p => p.passes.push(structuredClone(p.passes[0]!))).id).toBeNull();
    expect(refused(p => Object.assign(limitOf(p, 0), { tolerancePercent: 200 })).id).toBe(
      limitFieldId(first!.key, 'tolerancePercent'),
    );
    expect(refused(p => Object.assign(p.bevel!, { anglesDegrees: [45, 999] })).id).toBe(
      fieldId('bevel.anglesDegrees'),
    );
    expect(refused(p => Object.assign(p.pipe!, { wallThicknessMm: -1 })).id).toBe(
      fieldId('pipe.wallThicknessMm'),
    );
  });

  it('of a table that no rig can meet stands at the limit it names', () => {
    const fast = structuredClone(FULL);
    fast.passes[0]!.limits[1]!.max = 60;
    const [problem] = procedureProblems(fast);
    expect(problem?.path).toBe('passes.0.limits.1.max');
    expect(refusalOf(problem!.message, draft)).toEqual({
      id: limitFieldId(zoned!.key, 'max'),
      text: problem!.message,
    });
  });

  it('that names no field is shown as it is', () => {
    expect(refusalOf('The store cannot be written.', draft)).toEqual({
      id: null,
      text: 'The store cannot be written.',
    });
  });
});

describe('a procedure file', () => {
  const withChange = (change: (file: Record<string, unknown>) => void): string => {
    const file = structuredClone(FULL) as unknown as Record<string, unknown>;
    change(file);
    return JSON.stringify(file);
  };

  it('is taken whole', () => {
    expect(readProcedureFile(JSON.stringify(FULL))).toEqual({ kind: 'procedure', procedure: FULL });
  });

  it.each([
    ['{', { kind: 'notJson' }],
    ['[]', { kind: 'notProcedure' }],
    ['{"schema":"other/1"}', { kind: 'notProcedure' }],
    [withChange(f => Object.assign(f, { passes: [] })), { kind: 'noPasses' }],
    [withChange(f => Object.assign(f, { surprise: 1 })), { kind: 'unknownKey', at: 'surprise' }],
    [withChange(f => Object.assign(f, { bevel: { shape: 'x' } })), { kind: 'unknownKey', at: 'bevel.shape' }],
    [withChange(f => Object.assign(f, { title: 5 })), { kind: 'wrongKind', at: 'title' }],
    [
      withChange(f => Object.assign((f['passes'] as Procedure['passes'])[0]!.limits[2]!, { unit: 'mm' })),
      { kind: 'wrongKind', at: 'passes.0.limits.2.unit' },
    ],
  ])('is refused with the place named: %#', (text, problem) => {
    expect(readProcedureFile(text)).toEqual({ kind: 'problem', problem });
  });
});

describe('addresses', () => {
  it.each([
    '#/procedures',
    '#/procedures/new',
    '#/procedures/example-610/2',
    '#/procedures/example-610/2/revise',
    '#/procedures/example-610/compare/1/2',
  ])('%s stays what it is', hash => expect(routeUrl(parseRoute(hash))).toBe(hash));

  it('a path that names no revision is the list', () => {
    expect(parseRoute('#/procedures/example-610/zero')).toEqual({ view: 'procedures' });
    expect(parseRoute('#/procedures/example-610/compare/1')).toEqual({ view: 'procedures' });
  });
});

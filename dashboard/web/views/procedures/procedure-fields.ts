/** Fields of a procedure file that are entered one by one, by their path in it. Limits are in procedure-draft.ts. */
export type FieldKind = 'text' | 'long' | 'list' | 'number' | 'numbers' | 'choice' | 'flag';

export interface FieldSpec {
  /** Dotted path in the file, also the key of its text in the catalogue. */
  readonly path: string;
  readonly kind: FieldKind;
  /** mm is entered in the user's length unit. */
  readonly unit?: 'mm' | 'deg';
  readonly max?: number;
  readonly whole?: true;
  readonly choices?: readonly string[];
  readonly required?: true;
}

export interface FieldGroup {
  readonly group: 'identity' | 'pipe' | 'material' | 'bevel' | 'rules';
  readonly fields: readonly FieldSpec[];
}

const mm = (path: string): FieldSpec => ({ path, kind: 'number', unit: 'mm' });

export const PROCEDURE_FIELDS: readonly FieldGroup[] = [
  {
    group: 'identity',
    fields: [
      { path: 'id', kind: 'text', max: 64, required: true },
      { path: 'revision', kind: 'number', whole: true, required: true },
      { path: 'title', kind: 'text', max: 120, required: true },
      { path: 'exampleOnly', kind: 'flag' },
      { path: 'scope', kind: 'text', max: 60 },
      { path: 'code', kind: 'text', max: 120 },
      { path: 'qualificationRecords', kind: 'list', max: 400 },
    ],
  },
  {
    group: 'pipe',
    fields: [
      mm('pipe.outsideDiameterMm'),
      mm('pipe.wallThicknessMm'),
      { path: 'thermalEfficiency', kind: 'number' },
      { path: 'waveformControlled', kind: 'flag' },
    ],
  },
  {
    group: 'material',
    fields: [
      { path: 'baseMaterial.grade', kind: 'text', max: 80 },
      mm('baseMaterial.outsideDiameterMinMm'),
      mm('baseMaterial.outsideDiameterMaxMm'),
      mm('baseMaterial.wallThicknessMinMm'),
      mm('baseMaterial.wallThicknessMaxMm'),
      { path: 'baseMaterial.carbonEquivalentMax', kind: 'number' },
      { path: 'baseMaterial.pcmMax', kind: 'number' },
    ],
  },
  {
    group: 'bevel',
    fields: [
      { path: 'bevel.type', kind: 'text', max: 60 },
      { path: 'bevel.anglesDegrees', kind: 'numbers', unit: 'deg', max: 60 },
      mm('bevel.rootFaceMm'),
      mm('bevel.lowerHeightMm'),
      mm('bevel.gapMm'),
      mm('bevel.offsetMaxMm'),
      { path: 'bevel.backing', kind: 'text', max: 80 },
      { path: 'bevel.clamp', kind: 'text', max: 80 },
    ],
  },
  {
    group: 'rules',
    fields: [
      mm('closureOverlapMm'),
      { path: 'ndtRule', kind: 'long', max: 1000 },
      { path: 'repairRule', kind: 'long', max: 1000 },
    ],
  },
];

export const PASS_FIELDS: readonly FieldSpec[] = [
  { path: 'name', kind: 'text', max: 60, required: true },
  { path: 'type', kind: 'text', max: 40, required: true },
  { path: 'program', kind: 'number', whole: true },
  { path: 'wire.diameterMm', kind: 'number', unit: 'mm' },
  { path: 'wire.classification', kind: 'text', max: 60 },
  { path: 'wire.lotRule', kind: 'text', max: 200 },
  { path: 'process', kind: 'text', max: 3 },
  { path: 'transferMode', kind: 'text', max: 60 },
  { path: 'polarity', kind: 'choice', choices: ['electrodePositive', 'electrodeNegative'] },
  { path: 'gas', kind: 'text', max: 60 },
  { path: 'direction', kind: 'text', max: 40 },
  { path: 'technique', kind: 'choice', choices: ['stringer', 'weave'] },
  { path: 'torchAngleDegrees', kind: 'number', unit: 'deg' },
];

type Tree = Readonly<Record<string, unknown>>;

/** The value at a dotted path; undefined where there is none. */
export function valueAt(source: Tree, path: string): unknown {
  let at: unknown = source;
  for (const name of path.split('.')) {
    if (typeof at !== 'object' || at === null) return undefined;
    at = (at as Tree)[name];
  }
  return at;
}

/** Puts a value at a dotted path, making what it stands in. */
export function putAt(target: Record<string, unknown>, path: string, value: unknown): void {
  const names = path.split('.');
  const last = names.pop() ?? path;
  let at = target;
  for (const name of names) {
    at[name] ??= {};
    at = at[name] as Record<string, unknown>;
  }
  at[last] = value;
}

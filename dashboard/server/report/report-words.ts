/** Words of the report, in English; other languages know them by their phrases (shared-core/phrases). */
export const WORDS = {
  title: (joint: string) => `Girth weld ${joint}`,
  simulated: 'SIMULATED — TRAINING',
  replay: 'REPLAY — NOT A LIVE RECORD',
  exampleOnly: 'The procedure is an example only: not a procedure to weld by.',
  cautions: [
    'Monitoring only: not a safety device, interlock or emergency stop; it never commands a rig.',
    'No alarm and no deviation is not acceptance. Acceptance belongs to the code, the WPS, local regulations and qualified, ' +
      'authorised persons.',
    'A deviation is what was measured against the procedure. It is no verdict of non-destructive testing.',
  ],
  footer: (joint: string, wps: string, time: string, software: string) =>
    `Joint ${joint} · ${wps} · ${time} · Girthlog ${software}`,
  page: (n: number, of: number) => `${n}/${of}`,
  hash: (hash: string) => `Record SHA-256 ${hash}`,
  none: 'none',
  unknown: '–',
  sections: {
    identity: 'Identity',
    map: 'Clock map',
    passes: 'Passes',
    strips: 'Along the weld',
    times: 'Preheat, interpass and times between passes',
    events: 'Events',
    verification: 'Verification of the rigs, and their clocks',
    quality: 'Data quality',
    seals: 'Seals, and how to check them',
    findings: 'Indications, findings, disposition',
  },
} as const;

export const QUANTITY_WORDS: Readonly<Record<string, string>> = {
  weldingCurrent: 'Welding current',
  arcVoltage: 'Arc voltage',
  wireFeedSpeed: 'Wire feed speed',
  travelSpeed: 'Travel speed',
  arcEnergy: 'Arc energy',
  heatInput: 'Heat input',
  gasFlow: 'Gas flow',
  preheatTemperature: 'Preheat',
  interpassTemperature: 'Interpass temperature',
  contactTipToWorkDistance: 'CTWD',
  oscillationWidth: 'Oscillation width',
  oscillationFrequency: 'Oscillation frequency',
  timeBetweenPasses: 'Time between passes',
};

interface Shown {
  readonly unit: string;
  readonly decimals: number;
  /** From the stored unit. */
  readonly of: (stored: number) => number;
}
const same = (value: number): number => value;
const M_MIN_PER_MM_S = 0.06;

export const QUANTITY_SHOWN: Readonly<Record<string, Shown>> = {
  weldingCurrent: { unit: 'A', decimals: 0, of: same },
  arcVoltage: { unit: 'V', decimals: 1, of: same },
  wireFeedSpeed: { unit: 'm/min', decimals: 2, of: value => value * M_MIN_PER_MM_S },
  travelSpeed: { unit: 'mm/s', decimals: 2, of: same },
  arcEnergy: { unit: 'kJ/mm', decimals: 3, of: same },
  heatInput: { unit: 'kJ/mm', decimals: 3, of: same },
  gasFlow: { unit: 'L/min', decimals: 1, of: same },
};

/** Fixed decimals; a dash where it is unknown, never 0. */
export const fixed = (value: number | null | undefined, decimals: number): string =>
  value === null || value === undefined ? WORDS.unknown : value.toFixed(decimals);

/** A stored value of a quantity as it is shown, without its unit. */
export function shown(quantity: string, stored: number | null | undefined): string {
  const how = QUANTITY_SHOWN[quantity];
  if (stored === null || stored === undefined) return WORDS.unknown;
  return how ? how.of(stored).toFixed(how.decimals) : String(Number(stored.toPrecision(6)));
}

/** "2026-05-12 08:00:00 UTC". */
export const utcText = (utc: string): string => `${utc.slice(0, 10)} ${utc.slice(11, 19)} UTC`;

/** What passes add up to: of one rig, or of all together. */
import { operatingFactor } from '../energy/operating-factor.ts';
import type { ShiftFigure, ShiftWork } from '../messages/api-shift.ts';
import type { Pass } from '../messages/pass.ts';
import { DEFAULT_DEPOSITION_EFFICIENCY, depositedKgPerH } from '../metal/wire.ts';
import { type Addend, figureOf } from './figure.ts';
import type { ShiftPass } from './shift-facts.ts';

export const NO_PASS = 'no pass is recorded in this shift';

export interface OpenQuestions {
  /** Joints that a named person has ruled on. */
  readonly ruled: ReadonlySet<string>;
  readonly spoolChanges: number;
  readonly bottleChanges: number;
}

/** `passes` of one origin. Sums of nothing are null with the reason; counts of what is recorded are counts. */
export function shiftWork(passes: readonly ShiftPass[], open: OpenQuestions): ShiftWork {
  const all = passes.map(({ message }) => message.pass);
  const unruled = passes.filter(({ work }) => work.joint === null || !open.ruled.has(work.joint));
  const sum = (of: readonly ShiftPass[], read: (pass: ShiftPass) => number): number =>
    of.reduce((total, pass) => total + read(pass), 0);
  const deviations = ({ message }: ShiftPass): number => message.deviations.length;
  const changes = (pass: ShiftPass): number => pass.changes;
  const arcTime = figureOf(
    all.map(({ arcTimeS }) => arcTimeS),
    NO_PASS,
  );
  return {
    passes: all.filter(({ continues }) => continues === null).length,
    continuations: all.filter(({ continues }) => continues !== null).length,
    restarts: sum(passes, ({ message }) => message.pass.restarts),
    open: passes.filter(({ message }) => message.state === 'open').length,
    clockUnset: passes.filter(({ message }) => message.clock.state === 'unsynced').length,
    arcTimeS: arcTime.value,
    unobservedS: sum(passes, ({ message }) => message.pass.unobservedS),
    wireM: figureOf(
      all.map(pass => addend(pass, 'wireUsedM')),
      NO_PASS,
    ),
    wireKg: figureOf(
      all.map(pass => addend(pass, 'wireUsedKg')),
      NO_PASS,
    ),
    depositionKgPerH: deposition(all),
    gasL: figureOf(
      all.map(pass => addend(pass, 'gasUsedL')),
      NO_PASS,
    ),
    spoolChanges: open.spoolChanges,
    bottleChanges: open.bottleChanges,
    deviations: sum(passes, deviations),
    deviationsOpen: sum(unruled, deviations),
    changes: sum(passes, changes),
    changesOpen: sum(unruled, changes),
  };
}

const UNKNOWN = {
  wireUsedM: 'no wire feed is measured',
  wireUsedKg: 'no wire feed is measured',
  gasUsedL: 'no gas flow is measured',
} as const;

/** The value of a pass, or why it has none as its record says. */
export function addend(pass: Pass, field: keyof typeof UNKNOWN): Addend {
  const value = pass[field];
  if (value !== null && value !== undefined) return value;
  const said = pass.reasons.find(({ fields }) => fields.includes(field));
  if (said === undefined) return { unknown: UNKNOWN[field] };
  // Reasons that name seconds would give a line a pass.
  return { unknown: PARTLY[said.code] ?? said.text };
}

const PARTLY: Readonly<Record<string, string>> = {
  partlyWireFeed: 'wire feed was unknown for too long',
  partlyGasFlow: 'gas flow was unknown for too long',
};

/** Of the passes whose wire mass is known: mass × efficiency / arc time. */
function deposition(passes: readonly Pass[]): ShiftFigure {
  const addends = passes.map(pass => addend(pass, 'wireUsedKg'));
  const wire = figureOf(addends, NO_PASS);
  const time = figureOf(
    passes.flatMap(({ arcTimeS }, i) => (typeof addends[i] === 'number' ? [arcTimeS] : [])),
    NO_PASS,
  );
  if (wire.value === null || time.value === null) return { ...wire, value: null };
  const rate = depositedKgPerH({
    wireKg: wire.value,
    arcTimeS: time.value,
    efficiency: DEFAULT_DEPOSITION_EFFICIENCY,
  });
  return rate.kind === 'value' ? { ...wire, value: rate.value } : { ...wire, value: null, reason: rate.text };
}

export interface ArcSpan {
  readonly firstArcUtc: string | null;
  readonly lastArcUtc: string | null;
  readonly elapsedS: number | null;
  readonly operatingFactor: number | null;
  readonly arcReason: string | null;
}

/** Arc time over the time from the first arc of the shift to the end of its last one. Passes of one rig, in order. */
export function arcSpan(passes: readonly ShiftPass[], arcTimeS: number | null): ArcSpan {
  const first = passes[0];
  if (first === undefined || arcTimeS === null) {
    return {
      firstArcUtc: null,
      lastArcUtc: null,
      elapsedS: null,
      operatingFactor: null,
      arcReason: NO_PASS,
    };
  }
  const firstArcUtc = first.message.startUtc;
  const ends = passes.map(({ message }) => message.endUtc).sort();
  const lastArcUtc = ends.at(-1)!;
  const elapsedS = (Date.parse(lastArcUtc) - Date.parse(firstArcUtc)) / 1000;
  const factor = operatingFactor(arcTimeS, elapsedS);
  return {
    firstArcUtc,
    lastArcUtc,
    elapsedS,
    operatingFactor: factor.kind === 'value' ? factor.value : null,
    arcReason: factor.kind === 'value' ? null : factor.text,
  };
}

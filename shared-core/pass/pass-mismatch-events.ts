import type { EngineEffect } from './engine-api.ts';
import type { PassDistance } from './nearest-pass.ts';

interface RunningPassSet {
  readonly assigned: string;
  readonly wireFeedMmS: number;
  readonly travelMmS: number;
  readonly program: number | null;
}

const TEXT_MAX = 300;
const WORD_MAX = 200;
/** More passes than this that cannot be told apart are counted, not named. */
const NAMED = 3;

/** "fill 1", "fill 1 or fill 2", "fill 1, fill 2, fill 3 or 4 more". */
export function passList(passes: readonly string[]): string {
  const named = passes.length <= NAMED ? passes : passes.slice(0, NAMED);
  const more = passes.length - named.length;
  const parts = more > 0 ? [...named, `${more} more`] : named;
  return parts.length < 2 ? (parts[0] ?? '') : `${parts.slice(0, -1).join(', ')} or ${parts.at(-1)}`;
}

export function mismatchText(set: RunningPassSet & { readonly likelier: readonly string[] }): string {
  return `Looks like ${passList(set.likelier)}, not ${set.assigned}: ${numbersText(set)}.`.slice(0, TEXT_MAX);
}

export function mismatchEndedText(set: RunningPassSet & { readonly before: readonly string[] }): string {
  return `No longer looks like ${passList(set.before)}: ${numbersText(set)}.`.slice(0, TEXT_MAX);
}

function numbersText({ wireFeedMmS, travelMmS, program }: RunningPassSet): string {
  const feed = `feed ${(wireFeedMmS * 0.06).toFixed(1)} m/min`;
  const travel = `travel ${travelMmS.toFixed(1)} mm/s`;
  return [feed, travel, ...(program === null ? [] : [`program ${program}`])].join(', ');
}

/** `likelier` empty: another pass looked likelier and no longer does. Distances in tolerance half-widths. */
export function mismatchEvent(
  told: RunningPassSet & {
    readonly likelier: readonly string[];
    readonly text: string;
    readonly distances: readonly PassDistance[];
    readonly travelledMm: number;
    readonly positionMm: number;
    readonly tUs: number;
    readonly passIndex: number;
  },
): EngineEffect {
  const { assigned, likelier, wireFeedMmS, travelMmS, program, distances, travelledMm, positionMm } = told;
  const of = (pass: string | undefined): number | null =>
    distances.find(one => one.pass === pass)?.distance ?? null;
  return {
    kind: 'event',
    type: 'passMismatch',
    tUs: told.tUs,
    passIndex: told.passIndex,
    text: told.text,
    data: {
      assigned,
      likelier: likelier.length === 0 ? null : passList(likelier).slice(0, WORD_MAX),
      wireFeedMmS,
      travelMmS,
      program,
      travelledMm,
      positionMm,
      distanceAssigned: of(assigned),
      distanceLikelier: of(likelier[0]),
      distances: distances
        .map(({ pass, distance }) => `${pass} ${distance.toFixed(2)}`)
        .join(', ')
        .slice(0, WORD_MAX),
    },
  };
}

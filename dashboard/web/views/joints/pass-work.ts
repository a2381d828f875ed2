import type { Entry, EntryOf } from '#core/journal/entry';
import type { JointState, MovedPass, PassWork } from '#core/messages/api-journal';
import type { Side } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';

export type ElsewhereEntry = EntryOf<'loggedElsewhere'>;
export type ReleaseEntry = EntryOf<'layerRelease'>;

export interface RecordedPass {
  readonly message: PassMessage;
  /** How it came to stand here; null where it stands as recorded. */
  readonly move: MovedPass | null;
  /** From the end of the pass before it on the same side to its start, s; null where there is none before. */
  readonly gapS: number | null;
  readonly gapAfter: string | null;
}

export interface SideWork {
  readonly side: Side;
  readonly state: JointState['passes'][number]['state'];
  readonly recorded: readonly RecordedPass[];
  readonly elsewhere: readonly ElsewhereEntry[];
}

export interface LayerWork {
  readonly pass: string;
  /** False: the procedure has no such pass. */
  readonly known: boolean;
  readonly sides: readonly SideWork[];
  readonly release: ReleaseEntry | null;
}

export interface JointWork {
  readonly layers: readonly LayerWork[];
  /** Recorded under this joint, counted for another by an entry since. */
  readonly movedAway: readonly { readonly message: PassMessage; readonly move: MovedPass }[];
  /** Recorded under this joint without a side or a pass: they count for no layer. */
  readonly unplaced: readonly PassMessage[];
  readonly done: number;
  readonly wanted: number;
}

const isElsewhere = (entry: Entry): entry is ElsewhereEntry => entry.body.kind === 'loggedElsewhere';
const isRelease = (entry: Entry): entry is ReleaseEntry => entry.body.kind === 'layerRelease';

/** Entries as they stand: without those a later one corrects, oldest first. */
export function standingEntries(entries: readonly Entry[]): Entry[] {
  const corrected = new Set(entries.map(entry => entry.corrects));
  return entries.filter(entry => !corrected.has(entry.id)).sort((a, b) => a.number - b.number);
}

export const isDone = ({ state }: Pick<SideWork, 'state'>): boolean =>
  state === 'closed' || state === 'loggedElsewhere';

export const recordedPlace = ({ joint, side, pass }: PassMessage): PassWork => ({
  joint,
  side,
  pass: pass.procedurePass,
});

/**
 * The passes of a joint layer by layer and side by side, as the server counts them.
 * @param planned passes of the procedure in their order; empty where it is not known
 * @param passes recorded under the joint or moved to it
 */
export function jointWork(
  state: JointState,
  planned: readonly string[],
  passes: readonly PassMessage[],
): JointWork {
  const byId = new Map(passes.map(message => [message.passId, message]));
  const entries = standingEntries(state.entries);
  const elsewhere = entries.filter(isElsewhere);
  const releases = entries.filter(isRelease);
  const counted = state.passes.flatMap(({ pass, side, passIds }) =>
    passIds.flatMap(passId => {
      const message = byId.get(passId);
      return message === undefined ? [] : [{ message, pass, side }];
    }),
  );
  counted.sort((a, b) => a.message.startUtc.localeCompare(b.message.startUtc));

  const sideOf = (pass: string, side: Side): SideWork => {
    const standing = state.passes.find(one => one.pass === pass && one.side === side);
    const recorded = counted.flatMap((one, i): RecordedPass[] => {
      if (one.pass !== pass || one.side !== side) return [];
      const { message } = one;
      const before = counted.slice(0, i).findLast(other => other.side === side);
      const gapMs = before && Date.parse(message.startUtc) - Date.parse(before.message.endUtc);
      return [
        {
          message,
          move: standing?.movedIn.find(({ passId }) => passId === message.passId) ?? null,
          gapS: gapMs === undefined ? null : gapMs / 1000,
          gapAfter: before?.pass ?? null,
        },
      ];
    });
    return {
      side,
      state: standing?.state ?? 'none',
      recorded,
      elsewhere: elsewhere.filter(({ body }) => body.pass === pass && (body.side ?? side) === side),
    };
  };

  const names = [...new Set([...planned, ...state.passes.map(({ pass }) => pass)])];
  const layers = names.map(
    (pass): LayerWork => ({
      pass,
      known: planned.length === 0 || planned.includes(pass),
      sides: [sideOf(pass, 'A'), sideOf(pass, 'B')],
      release: releases.findLast(({ body }) => body.pass === pass) ?? null,
    }),
  );
  const wanted = layers.filter(({ known }) => known).flatMap(({ sides }) => sides);
  const placed = new Set([
    ...counted.map(({ message }) => message.passId),
    ...state.movedOut.map(({ passId }) => passId),
  ]);
  return {
    layers,
    movedAway: state.movedOut.flatMap(move => {
      const message = byId.get(move.passId);
      return message === undefined ? [] : [{ message, move }];
    }),
    unplaced: passes.filter(({ passId, joint }) => joint === state.joint && !placed.has(passId)),
    done: wanted.filter(isDone).length,
    wanted: wanted.length,
  };
}

/** Worst verdict of a pass, for a word beside it. */
export function worstOf(message: PassMessage): 'out' | 'marginal' | 'in' | 'notJudged' {
  const states = message.pass.verdicts.map(({ state }) => state);
  for (const state of ['out', 'marginal', 'in'] as const) if (states.includes(state)) return state;
  return 'notJudged';
}

import type { Entry, EntryOf } from '#core/journal/entry';
import type { JointState } from '#core/messages/api-journal';
import type { Side } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';

export type MoveEntry = EntryOf<'passMoved'>;
export type ElsewhereEntry = EntryOf<'loggedElsewhere'>;
export type ReleaseEntry = EntryOf<'layerRelease'>;

/** Where a recorded pass belongs: as it was recorded, or as an entry has moved it since. */
export interface Place {
  readonly joint: string | null;
  readonly side: Side | null;
  readonly pass: string | null;
}

export interface RecordedPass {
  readonly message: PassMessage;
  /** The entry that moved it to where it stands now; null where it stands as recorded. */
  readonly move: MoveEntry | null;
  readonly recordedAt: Place;
  /** From the end of the pass before it on the same side to its start, s; null where there is none before. */
  readonly gapS: number | null;
  readonly gapAfter: string | null;
}

export interface SideWork {
  readonly side: Side;
  readonly state: 'none' | 'open' | 'closed' | 'loggedElsewhere';
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
  /** Passes recorded under this joint that an entry has moved to another. */
  readonly movedAway: readonly { readonly message: PassMessage; readonly move: MoveEntry }[];
  readonly done: number;
  readonly wanted: number;
}

export const isMove = (entry: Entry): entry is MoveEntry => entry.body.kind === 'passMoved';
const isElsewhere = (entry: Entry): entry is ElsewhereEntry => entry.body.kind === 'loggedElsewhere';
const isRelease = (entry: Entry): entry is ReleaseEntry => entry.body.kind === 'layerRelease';

/** Entries as they stand: without those a later one corrects, oldest first. */
export function standingEntries(entries: readonly Entry[]): Entry[] {
  const corrected = new Set(entries.map(entry => entry.corrects));
  return entries.filter(entry => !corrected.has(entry.id)).sort((a, b) => a.number - b.number);
}

/** The last move of each pass. */
export function movesByPass(entries: readonly Entry[]): ReadonlyMap<string, MoveEntry> {
  return new Map(
    standingEntries(entries)
      .filter(isMove)
      .map(entry => [entry.body.passId, entry]),
  );
}

export const recordedPlace = ({ joint, side, pass }: PassMessage): Place => ({
  joint,
  side,
  pass: pass.procedurePass,
});

/** Everything known of a joint's passes, layer by layer and side by side. */
export function jointWork(input: {
  readonly joint: string;
  readonly state: JointState | null;
  readonly passNames: readonly string[];
  readonly passes: readonly PassMessage[];
  readonly moves: ReadonlyMap<string, MoveEntry>;
}): JointWork {
  const { joint, state, passNames, passes, moves } = input;
  const entries = standingEntries(state?.entries ?? []);
  const movedAway: { message: PassMessage; move: MoveEntry }[] = [];
  const here: { message: PassMessage; move: MoveEntry | null; place: Place }[] = [];
  for (const message of [...passes].sort((a, b) => a.startUtc.localeCompare(b.startUtc))) {
    const move = moves.get(message.passId) ?? null;
    const place = move === null ? recordedPlace(message) : move.body;
    if (place.joint === joint) here.push({ message, move, place });
    else if (message.joint === joint && move !== null) movedAway.push({ message, move });
  }
  const withGap = here.map(({ message, move, place }, i): RecordedPass & { readonly place: Place } => {
    const before = here.slice(0, i).findLast(one => one.place.side === place.side);
    const gapS =
      before === undefined ? null : (Date.parse(message.startUtc) - Date.parse(before.message.endUtc)) / 1000;
    return {
      ...{ message, move, place },
      recordedAt: recordedPlace(message),
      gapS,
      gapAfter: before?.place.pass ?? null,
    };
  });
  const elsewhere = entries.filter(isElsewhere);
  const named = [
    ...(state?.passes.map(({ pass }) => pass) ?? []),
    ...withGap.flatMap(({ place }) => place.pass ?? []),
    ...elsewhere.map(({ body }) => body.pass),
  ];
  const names = [...new Set([...passNames, ...named])];
  const layers = names.map((pass): LayerWork => {
    const sides = (['A', 'B'] as const).map((side): SideWork => {
      const recorded = withGap.filter(({ place }) => place.pass === pass && place.side === side);
      const other = elsewhere.filter(
        ({ body }) => body.pass === pass && body.side !== (side === 'A' ? 'B' : 'A'),
      );
      const said = state?.passes.find(one => one.pass === pass && one.side === side)?.state ?? 'none';
      const open = recorded.some(({ message }) => message.state === 'open');
      const own = open
        ? 'open'
        : recorded.length > 0
          ? 'closed'
          : other.length > 0
            ? 'loggedElsewhere'
            : said;
      return { side, state: own, recorded, elsewhere: other };
    });
    const release = entries.filter(isRelease).findLast(({ body }) => body.pass === pass) ?? null;
    return { pass, known: passNames.length === 0 || passNames.includes(pass), sides, release };
  });
  const wantedSides = layers.filter(({ known }) => known).flatMap(({ sides }) => sides);
  const done = wantedSides.filter(({ state: one }) => one === 'closed' || one === 'loggedElsewhere').length;
  return { layers, movedAway, done, wanted: wantedSides.length };
}

/** Worst verdict of a pass, for a word beside it. */
export function worstOf(message: PassMessage): 'out' | 'marginal' | 'in' | 'notJudged' {
  const states = message.pass.verdicts.map(({ state }) => state);
  for (const state of ['out', 'marginal', 'in'] as const) if (states.includes(state)) return state;
  return 'notJudged';
}

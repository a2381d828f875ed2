/** A joint as it stands: a fold over what was entered about it and what was recorded under it. */
import type { JointState, PassStanding } from '../messages/api-journal.ts';
import type { Side } from '../messages/common.ts';
import { type EntryOf, standing, standingOf } from './entry.ts';
import type { JointFacts, RecordedPass } from './joint-facts.ts';

export const SIDES: readonly Side[] = ['A', 'B'];

export interface JointFold {
  readonly opened: readonly EntryOf<'jointOpened'>[];
  readonly particulars: JointState['particulars'];
  readonly wireLot: string | null;
  readonly gasLot: string | null;
  readonly polarity: JointState['polarity'];
  readonly crew: JointState['crew'];
  readonly hold: EntryOf<'hold'> | null;
  /** The latest that stands; null until a person has ruled. */
  readonly disposition: EntryOf<'disposition'> | null;
  /** Last word on each layer. */
  readonly releases: ReadonlyMap<string, EntryOf<'layerRelease'>>;
  readonly readings: readonly EntryOf<'temperatureReading'>[];
  /** Passes in the order of the procedure, those it does not know behind them; both sides of each. */
  readonly passNames: readonly string[];
  readonly passes: readonly PassStanding[];
  /** Counted for this joint, moved ones included. */
  readonly counted: readonly RecordedPass[];
  readonly movedOut: readonly RecordedPass[];
}

/** Names of the procedure's passes; work on any other is counted too. */
export function foldJoint(facts: JointFacts): JointFold {
  const { entries, joint } = facts;
  const counted = facts.recorded.filter(({ work }) => work.joint === joint);
  const movedOut = facts.recorded.filter(({ move, recordedAs, work }) => {
    return move !== null && recordedAs.joint === joint && work.joint !== joint;
  });
  const releases = new Map(standingOf(entries, 'layerRelease').map(entry => [entry.body.pass, entry]));
  const elsewhere = standingOf(entries, 'loggedElsewhere');
  const planned = facts.procedure?.passes.map(pass => pass.name) ?? [];
  const others = [...counted.map(({ work }) => work.pass), ...elsewhere.map(({ body }) => body.pass)];
  const passNames = [...new Set([...planned, ...others.filter(name => name !== null)])];
  const hold = standingOf(entries, 'hold').at(-1) ?? null;
  const crew = standingOf(entries, 'crew').at(-1)?.body ?? null;
  return {
    opened: standingOf(entries, 'jointOpened'),
    particulars: particularsOf(facts),
    wireLot: lastLot(facts, 'wireLot'),
    gasLot: lastLot(facts, 'gasLot'),
    polarity: standingOf(entries, 'polarityConfirmed').at(-1)?.body.polarity ?? null,
    crew: crew && { weldSetter: crew.weldSetter, operatorA: crew.operatorA, operatorB: crew.operatorB },
    hold: hold?.body.on ? hold : null,
    disposition: standingOf(entries, 'disposition').at(-1) ?? null,
    releases,
    readings: standingOf(entries, 'temperatureReading'),
    passNames,
    passes: passNames.flatMap(pass =>
      SIDES.map(side => passStanding(pass, side, counted, elsewhere, releases.get(pass) ?? null)),
    ),
    counted,
    movedOut,
  };
}

/** Later words replace earlier ones, field by field. */
function particularsOf({ entries }: JointFacts): JointState['particulars'] {
  const known: JointState['particulars'] = {};
  for (const { body } of standing(entries)) {
    if (body.kind !== 'jointOpened' && body.kind !== 'jointChanged') continue;
    const { kind: _kind, joint: _joint, ...said } = body;
    Object.assign(known, Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined)));
  }
  return known;
}

function lastLot({ entries }: JointFacts, field: 'wireLot' | 'gasLot'): string | null {
  const named = standingOf(entries, 'consumables').filter(({ body }) => body[field] !== undefined);
  return named.at(-1)?.body[field] ?? null;
}

function passStanding(
  pass: string,
  side: Side,
  counted: readonly RecordedPass[],
  elsewhere: readonly EntryOf<'loggedElsewhere'>[],
  release: EntryOf<'layerRelease'> | null,
): PassStanding {
  const recorded = counted.filter(({ work }) => work.pass === pass && work.side === side);
  const logged = elsewhere.filter(({ body }) => body.pass === pass && (body.side ?? side) === side);
  const isOpen = recorded.some(({ message }) => message.state === 'open');
  const starts = [...recorded.map(({ message }) => message.startUtc), ...logged.map(e => e.body.weldedAt)];
  const ends = [...recorded.map(({ message }) => message.endUtc), ...logged.map(e => e.body.weldedAt)];
  return {
    pass,
    side,
    state:
      recorded.length > 0 ? (isOpen ? 'open' : 'closed') : logged.length > 0 ? 'loggedElsewhere' : 'none',
    passIds: recorded.map(({ message }) => message.passId),
    released: release ? release.body.released : null,
    movedIn: recorded.flatMap(({ move }) => (move ? [move] : [])),
    startUtc: starts.sort()[0] ?? null,
    endUtc: ends.sort().at(-1) ?? null,
  };
}

export const isDone = ({ state }: Pick<PassStanding, 'state'>): boolean =>
  state === 'closed' || state === 'loggedElsewhere';

export function standingOfPass(fold: JointFold, pass: string, side: Side): PassStanding | null {
  return fold.passes.find(one => one.pass === pass && one.side === side) ?? null;
}

/** The first pass of the procedure that is not done on every side; null when all are, or nothing is known. */
export function nextPassOf(fold: JointFold, facts: JointFacts): string | null {
  const planned = facts.procedure?.passes ?? [];
  return planned.find(({ name }) => !SIDES.every(side => isDoneOn(fold, name, side)))?.name ?? null;
}

export function isDoneOn(fold: JointFold, pass: string, side: Side): boolean {
  const found = standingOfPass(fold, pass, side);
  return found !== null && isDone(found);
}

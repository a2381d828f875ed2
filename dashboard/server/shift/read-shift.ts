/** Reads what the page of one shift stands on; what follows from it is in shared-core/shift. */
import type { Shift } from '#core/messages/api-shift';
import type { Origin } from '#core/messages/common';
import { isChannel } from '#core/sample/channels';
import { shiftDateAt, shiftSpan } from '#core/shift/shift-day';
import { endOfShift, type ShiftFacts, type ShiftPass, type ShiftRigFacts } from '#core/shift/shift-facts';
import { lastSpoolChange, shiftReport } from '#core/shift/shift-report';
import { originShown } from '../api/joint-ring.ts';
import type { JournalFacts } from '../api/journal-facts.ts';
import type { RigBoard } from '../live/rig-board.ts';
import type { DashboardStore, RigRow } from '../store/store.ts';
import { shiftAlarms } from './shift-alarms.ts';
import { shiftJointFacts } from './shift-joint-facts.ts';

export interface ShiftContext {
  readonly store: DashboardStore;
  readonly board: RigBoard;
  readonly facts: JournalFacts;
  readonly now: () => Date;
}

export interface ShiftAsked {
  /** Absent: the shift that runs now. It exists. */
  readonly date?: string | undefined;
  readonly site?: string | undefined;
  readonly origin?: Origin | undefined;
}

export function readShift(context: ShiftContext, asked: ShiftAsked): Shift {
  const { store, facts, now } = context;
  const at = now();
  const { zone } = facts;
  const date = asked.date ?? shiftDateAt(at.getTime(), zone);
  const { fromMs, toMs } = shiftSpan(date, zone)!;
  const fromUtc = new Date(fromMs).toISOString();
  const toUtc = new Date(toMs).toISOString();
  const { site } = asked;
  const origins = store.originsBegun(fromUtc, toUtc, site);
  const known = store.rigs();
  const origin = originShown(origins.length > 0 ? origins : originsOf(known, site), asked.origin);
  const passes = store
    .passesBegun({ origin, site, fromUtc, toUtc })
    .map(({ message, changes }): ShiftPass => {
      return { message, changes, work: facts.recorded(message).work };
    });
  const end = endOfShift({ toUtc, now: at.toISOString() });
  const worked = new Set(passes.map(({ message }) => keyOf(message)));
  const alarms = shiftAlarms(store.alarms, origin, fromUtc, toUtc);
  const shown = known.filter(
    rig =>
      (site === undefined || rig.site === site) &&
      (rig.origin === null || rig.origin === origin || worked.has(keyOf(rig))),
  );
  const read: ShiftFacts = {
    date,
    zone,
    fromUtc,
    toUtc,
    now: at.toISOString(),
    site: site ?? null,
    sites: [...new Set(known.map(rig => rig.site))],
    origin,
    origins,
    passes,
    joints: shiftJointFacts(context, { origin, site, fromUtc, toUtc, passes, now: at.toISOString() }),
    rigs: shown.map(rig => rigFacts(context, rig, origin, end, alarms.ofRig(rig))),
    dashboardAlarms: alarms.dashboard,
    alarmsReason: alarms.reason,
    nameOf: nameOf(store),
  };
  return shiftReport(read);
}

function rigFacts(
  { store, board }: ShiftContext,
  { site, rig }: RigRow,
  origin: Origin,
  end: string,
  alarms: number | null,
): ShiftRigFacts {
  // Entries made before the rig had said its origin count as real.
  const entries = store.journal.about(`rig ${site}/${rig}`).filter(entry => entry.origin === origin);
  const change = lastSpoolChange(entries, end);
  const channels = board.find({ site, rig })?.info?.channels;
  return {
    site,
    rig,
    entries,
    channels: channels ? channels.map(({ channel }) => channel).filter(isChannel) : null,
    // What cannot be told without its mass is not looked for.
    sinceSpool:
      change?.body.wireKg === undefined
        ? []
        : sinceSpool(store, { site, rig, origin }, change.body.happenedAt, end),
    alarms,
  };
}

/** No pass lasts longer than this before a spool is changed in it, ms. */
const LONGEST_PASS_MS = 12 * 3_600_000;

function sinceSpool(
  store: DashboardStore,
  of: { readonly site: string; readonly rig: string; readonly origin: Origin },
  changedAt: string,
  toUtc: string,
) {
  const fromUtc = new Date(Date.parse(changedAt) - LONGEST_PASS_MS).toISOString();
  return store
    .passesBegun({ ...of, fromUtc, toUtc })
    .flatMap(({ message }) => (message.endUtc > changedAt ? [message] : []));
}

function originsOf(rigs: readonly RigRow[], site: string | undefined): Origin[] {
  const found = new Set(rigs.filter(rig => site === undefined || rig.site === site).map(rig => rig.origin));
  return (['real', 'simulated', 'replay'] as const).filter(origin => found.has(origin));
}

function nameOf(store: DashboardStore): (person: string) => string {
  const people = new Map(store.people().map(({ id, name }) => [id, name]));
  return id => people.get(id) ?? id;
}

const keyOf = ({ site, rig }: { readonly site: string; readonly rig: string }): string => `${site}/${rig}`;

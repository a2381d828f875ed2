/** Everything the page of a shift shows. Pure: the same facts give the same report. */
import { type EntryOf, standingOf } from '../journal/entry.ts';
import { eventWords } from '../journal/event-words.ts';
import type { Shift, ShiftEvent, ShiftRig } from '../messages/api-shift.ts';
import { DEFAULT_DEPOSITION_EFFICIENCY } from '../metal/wire.ts';
import { rigProof } from './rig-proof.ts';
import { endOfShift, type ShiftFacts, type ShiftPass, type ShiftRigFacts } from './shift-facts.ts';
import { shiftJoint } from './shift-joint.ts';
import { arcSpan, shiftWork } from './shift-work.ts';
import { spoolLeft } from './spool-left.ts';

const SHOWN_EVENTS = ['stop', 'spoolChange', 'gasBottleChange'] as const;

export function shiftReport(facts: ShiftFacts): Shift {
  const { date, zone, fromUtc, toUtc, now, site, sites, origin, origins, passes } = facts;
  const byJoint = grouped(passes, ({ work }) => work.joint);
  const byRig = grouped(passes, ({ message }) => `${message.site}/${message.rig}`);
  const joints = facts.joints.map(joint => shiftJoint(joint, byJoint.get(joint.joint) ?? []));
  const ruled = new Set(joints.flatMap(({ joint, decision }) => (decision === null ? [] : [joint])));
  const events = facts.rigs.flatMap(rig => eventsOf(rig, facts));
  const alarms = facts.rigs.map(rig => rig.alarms);
  return {
    schema: 'girthlog.shift/1',
    date,
    zone,
    fromUtc,
    toUtc,
    at: now,
    running: now < toUtc,
    site,
    sites: [...sites],
    origin,
    origins: [...origins],
    depositionEfficiency: DEFAULT_DEPOSITION_EFFICIENCY,
    total: shiftWork(passes, { ruled, ...changesIn(events) }),
    rigs: facts.rigs.map(rig => {
      const own = byRig.get(`${rig.site}/${rig.rig}`) ?? [];
      return rigReport(rig, own, ruled, facts);
    }),
    joints,
    withoutJoint: passes.filter(({ work }) => work.joint === null).length,
    events: events.sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0)),
    alarms: {
      rigs: alarms.includes(null) ? null : alarms.reduce<number>((sum, n) => sum + (n ?? 0), 0),
      dashboard: facts.dashboardAlarms,
      reason: facts.alarmsReason,
    },
  };
}

function rigReport(
  rig: ShiftRigFacts,
  passes: readonly ShiftPass[],
  ruled: ReadonlySet<string>,
  facts: ShiftFacts,
): ShiftRig {
  const work = shiftWork(passes, { ruled, ...changesIn(eventsOf(rig, facts)) });
  const span = arcSpan(passes, work.arcTimeS);
  const end = endOfShift(facts);
  return {
    site: rig.site,
    rig: rig.rig,
    ...work,
    ...span,
    spool: spoolLeft(lastSpoolChange(rig.entries, end), rig.sinceSpool, end),
    alarms: rig.alarms,
    verification: rigProof(rig, passes, span.lastArcUtc, facts),
  };
}

/** The spool that was on at a moment; null where none is entered. */
export function lastSpoolChange(entries: ShiftRigFacts['entries'], utc: string): EntryOf<'rigEvent'> | null {
  return standingOf(entries, 'rigEvent')
    .filter(({ body }) => body.event === 'spoolChange' && body.happenedAt <= utc)
    .reduce<EntryOf<'rigEvent'> | null>(
      (last, one) => (last === null || one.body.happenedAt >= last.body.happenedAt ? one : last),
      null,
    );
}

function eventsOf({ site, rig, entries }: ShiftRigFacts, { date, nameOf }: ShiftFacts): ShiftEvent[] {
  return standingOf(entries, 'rigEvent')
    .filter(({ shiftDate }) => shiftDate === date)
    .flatMap((entry): ShiftEvent[] => {
      const { body, author } = entry;
      const event = SHOWN_EVENTS.find(one => one === body.event);
      if (event === undefined) return [];
      return [
        {
          site,
          rig,
          event,
          at: body.happenedAt,
          by: nameOf(author),
          words: eventWords(entry),
          lot: body.lot ?? null,
          wireKg: body.wireKg ?? null,
        },
      ];
    });
}

const changesIn = (events: readonly ShiftEvent[]) => ({
  spoolChanges: events.filter(({ event }) => event === 'spoolChange').length,
  bottleChanges: events.filter(({ event }) => event === 'gasBottleChange').length,
});

function grouped<T>(all: readonly T[], keyOf: (one: T) => string | null): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const one of all) {
    const key = keyOf(one);
    if (key === null) continue;
    const group = groups.get(key);
    if (group) group.push(one);
    else groups.set(key, [one]);
  }
  return groups;
}

/** A stand-in for the server's joint routes, in front of the page: entries as posted, states by the project's own folds. */
import type { Page, Route } from 'playwright-core';
import { type Entry, type NewEntry, newEntrySchema, subjectOf } from '#core/journal/entry';
import type { JointFacts, RecordedPass } from '#core/journal/joint-facts';
import { jointState } from '#core/journal/joint-state';
import { jointSummary } from '#core/journal/joint-summary';
import { movesByPass, recordedPass } from '#core/journal/moved-passes';
import type { JointState, Proposal } from '#core/messages/api-journal';
import type { Judgement, PassJournal } from '#core/messages/api-pass-journal';
import type { PassMessage, Verdict } from '#core/messages/pass';
import { PEOPLE, PROCEDURE, START_UTC_MS } from './dashboard-fixtures.ts';
import { fulfilDispositions } from './fulfil-dispositions.ts';

export interface FakeJoints {
  readonly entries: Entry[];
  readonly passes: PassMessage[];
  proposal: Proposal | null;
  /** True: nobody answers, as with no server. */
  offline: boolean;
  /** Enters something as another person's device would; nothing is announced. */
  enter: (body: Entry['body'], rest?: Partial<NewEntry>) => Entry;
}

const utc = (ms: number): string => new Date(ms).toISOString();

const verdict = (part: Partial<Verdict>): Verdict => ({
  quantity: 'weldingCurrent',
  basis: 'pass',
  unit: 'A',
  min: 190,
  nominal: 236,
  max: 260,
  value: 236,
  expandedUncertainty: 7,
  state: 'in',
  outLengthMm: null,
  longestRunMm: null,
  reason: null,
  ...part,
});

/** A recorded pass, invented: `minutes` after the start of the fixtures, ten minutes long. */
export function passAt(
  passId: string,
  minutes: number,
  part: Partial<Pick<PassMessage, 'joint' | 'side' | 'rig' | 'deviations'>> & {
    readonly name: string | null;
  },
): PassMessage {
  const startUtc = utc(START_UTC_MS + minutes * 60_000);
  const { name, ...rest } = part;
  return {
    origin: 'simulated',
    site: 'spread-1',
    rig: 'rig-3',
    stream: '0123456789abcdef0123456789abcdef',
    passId,
    state: 'closed',
    joint: 'J-0412',
    side: 'A',
    assignmentId: name === null ? null : 'a-1',
    procedureId: name === null ? null : PROCEDURE.id,
    procedureRevision: name === null ? null : PROCEDURE.revision,
    startUs: 1e9,
    endUs: 1e9 + 600e6,
    startUtc,
    endUtc: utc(START_UTC_MS + (minutes + 10) * 60_000),
    clock: { state: 'synced', offsetMs: 4 },
    pass: {
      index: 1,
      procedurePass: name,
      startS: 0,
      endS: 600,
      arcTimeS: 590,
      elapsedS: 600,
      restarts: 0,
      stops: [],
      extinctions: 0,
      unobservedS: 0,
      standingArcS: 1,
      standingArcKj: 5,
      meanCurrentA: 236,
      meanVoltageV: 24,
      meanWireFeedMmS: 171,
      meanTravelMmS: 7.5,
      runOutLengthMm: 958,
      energyBasis: 'instantaneous',
      arcEnergyKj: 720,
      meanProductKj: 722,
      arcEnergyKjMm: 0.755,
      heatInputKjMm: 0.604,
      thermalEfficiency: 0.8,
      wireUsedM: 101,
      wireUsedKg: 0.62,
      startPositionMm: 0,
      endPositionMm: 958,
      positionUncertaintyMm: 9,
      sequence: { gasBeforeArcS: 1, arcBeforeTravelS: 1, arcAfterTravelS: 0.5, gasAfterArcS: 3 },
      continues: null,
      label: null,
      verdicts: name === null ? [] : [verdict({})],
      reasons: [],
    },
    deviations: [],
    ...rest,
  };
}

/** Answers the joint routes for one page. Everything stated of a joint is folded as the server folds it. */
export async function fakeJoints(page: Page, passes: readonly PassMessage[] = []): Promise<FakeJoints> {
  const fake: FakeJoints = { entries: [], passes: [...passes], proposal: null, offline: false, enter };

  function enter(body: Entry['body'], rest: Partial<NewEntry> = {}): Entry {
    const number = fake.entries.length + 1;
    const entry: Entry = {
      author: 'p-1',
      shiftDate: '2026-05-12',
      reason: null,
      corrects: null,
      ...rest,
      body,
      number,
      id: `e-${number}`,
      at: utc(START_UTC_MS + number * 1000),
      origin: 'simulated',
    };
    fake.entries.push(entry);
    return entry;
  }

  const recorded = (): RecordedPass[] => {
    const moves = movesByPass(fake.entries);
    return fake.passes.map(message =>
      recordedPass(message, message.pass.procedurePass, moves.get(message.passId) ?? null),
    );
  };

  function factsOf(joint: string): JointFacts {
    return {
      joint,
      origin: 'simulated',
      now: utc(START_UTC_MS + 3_600_000),
      today: '2026-05-12',
      entries: fake.entries.filter(({ body }) => subjectOf(body) === `joint ${joint}`),
      recorded: recorded().filter(({ recordedAs, work }) => [recordedAs.joint, work.joint].includes(joint)),
      assigned: [],
      procedure: PROCEDURE,
      procedureState: 'approved',
      qualifications: fake.entries.filter(
        (entry): entry is JointFacts['qualifications'][number] => entry.body.kind === 'qualification',
      ),
      nameOf: id => PEOPLE.find(person => person.id === id)?.name ?? id,
    };
  }

  const numbers = (): string[] => {
    const named = [
      ...fake.entries.flatMap(({ body }) => ('joint' in body ? [body.joint] : [])),
      ...fake.passes.flatMap(({ joint }) => joint ?? []),
    ];
    return [...new Set(named)].sort().reverse();
  };

  function summaries(find: string) {
    return numbers()
      .filter(joint => joint.toLowerCase().includes(find.toLowerCase()))
      .map(joint => jointSummary(factsOf(joint), null));
  }

  function journalOf(message: PassMessage): PassJournal {
    const own = recorded().find(one => one.message === message);
    const base = { at: null, software: null, notes: [], deviations: [] };
    const judgements: Judgement[] = [
      {
        ...base,
        basis: 'recorded',
        entryId: null,
        procedureId: message.procedureId,
        procedureRevision: message.procedureRevision,
        pass: message.pass.procedurePass,
        verdicts: message.pass.verdicts,
      },
    ];
    if (own?.move) {
      judgements.push({
        ...base,
        basis: 'moved',
        entryId: own.move.entryId,
        procedureId: PROCEDURE.id,
        procedureRevision: PROCEDURE.revision,
        pass: own.move.to.pass,
        verdicts: [verdict({ min: 220, nominal: 255, max: 230, state: 'out' })],
        at: utc(START_UTC_MS + 3_600_000),
        software: '0.1.0',
      });
    }
    return {
      pass: message,
      redated: null,
      work: own?.work ?? { joint: null, side: null, pass: null },
      moves: own?.move ? [own.move] : [],
      judgements,
      corrections: [],
      corrected: [],
      correctionNotes: [],
      readiness: { ready: true, findings: [] },
      entries: [],
    };
  }

  const problem = (route: Route, status: number, code: string, detail: string) =>
    route.fulfill({
      status,
      contentType: 'application/problem+json',
      body: JSON.stringify({ type: 'about:blank', title: 'Refused', status, detail, code }),
    });
  const unknown = (route: Route) => problem(route, 404, 'unknown', 'There is none.');

  function post(route: Route) {
    const read = newEntrySchema.safeParse(route.request().postDataJSON());
    if (!read.success) return problem(route, 400, 'bodyInvalid', read.error.message);
    const { body, ...rest } = read.data;
    const entry = enter(body, rest);
    return route.fulfill({ status: 201, json: entry });
  }

  function state(joint: string): JointState | null {
    return numbers().includes(joint) ? jointState(factsOf(joint)) : null;
  }

  const joints = (route: Route, [name, what]: readonly string[]) => {
    if (name === undefined) {
      const named = numbers().filter(joint => fake.passes.some(one => one.joint === joint));
      const list = named.map(joint => ({
        joint,
        firstUtc: utc(START_UTC_MS),
        lastUtc: utc(START_UTC_MS),
        passes: 1,
        deviations: fake.passes.filter(one => one.joint === joint).flatMap(one => one.deviations).length,
        origin: 'simulated',
      }));
      return route.fulfill({
        json: { origin: 'simulated', origins: ['simulated'], joints: list, next: null },
      });
    }
    if (what === 'state') {
      const found = state(name);
      return found === null ? unknown(route) : route.fulfill({ json: found });
    }
    return route.fallback();
  };

  const onePass = (route: Route, [id, what]: readonly string[], joint: string | null) => {
    if (id === undefined) {
      const passes = fake.passes.filter(one => one.joint === joint);
      return route.fulfill({ json: { passes, next: null } });
    }
    const found = fake.passes.find(({ passId }) => passId === id);
    if (found === undefined) return unknown(route);
    return route.fulfill({ json: what === 'journal' ? journalOf(found) : found });
  };

  await page.route(/\/dispositions$/, route => fulfilDispositions(route, fake.entries));
  await page.route(
    /\/api\/v1\/(entries|joints|joint-list|passes|unassigned-passes|proposals|readiness)(\/|\?|$)/,
    async route => {
      if (fake.offline) return route.abort('connectionrefused');
      const { pathname, searchParams } = new URL(route.request().url());
      const [what, ...rest] = pathname.replace('/api/v1/', '').split('/').map(decodeURIComponent);
      if (what === 'readiness') return route.fulfill({ json: { readiness: [] } });
      if (what === 'joints') return joints(route, rest);
      if (what === 'passes') return onePass(route, rest, searchParams.get('joint'));
      if (what === 'joint-list')
        return route.fulfill({
          json: { joints: summaries(searchParams.get('find') ?? ''), next: null, unread: 0 },
        });
      if (what === 'unassigned-passes') {
        const passes = recorded().filter(({ work }) => work.joint === null);
        return route.fulfill({ json: { passes: passes.map(({ message }) => message) } });
      }
      if (what === 'proposals')
        return fake.proposal === null ? unknown(route) : route.fulfill({ json: fake.proposal });
      if (route.request().method() === 'POST') return post(route);
      const [subject, kind] = [searchParams.get('subject'), searchParams.get('kind')];
      const entries = fake.entries.filter(
        ({ body }) => (subject ?? subjectOf(body)) === subjectOf(body) && (kind ?? body.kind) === body.kind,
      );
      return route.fulfill({ json: { entries: entries.toReversed(), next: null } });
    },
  );
  return fake;
}

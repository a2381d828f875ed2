/** A joint under review: everything welded, by place, and what NDT and people said of it. Read from the store alone. */
import { correctedPass } from '#core/journal/corrections';
import type { Entry, EntryOf } from '#core/journal/entry';
import type { JointFacts, RecordedPass } from '#core/journal/joint-facts';
import { jointState } from '#core/journal/joint-state';
import { repairOf } from '#core/journal/repairs';
import { standing } from '#core/journal/standing';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import type { PassMessage } from '#core/messages/pass';
import type { EngineAssignment } from '#core/pass/engine-api';
import { sliceByTime } from '#core/sample/chunk';
import { gapsIn } from '#core/series/coverage';
import { type PassJournalContext, passJournal } from '../api/pass-journal.ts';
import type { ChunkRow } from '../store/store.ts';
import { depthsOf, grooveOf } from './layer-areas.ts';
import { passWindows, startClockwise } from './pass-windows.ts';
import { reviewIndications } from './review-indications.ts';
import type { WindowCache } from './window-cache.ts';

export interface ReviewContext extends PassJournalContext {
  readonly windows: WindowCache;
}

export function jointReview(facts: JointFacts, context: ReviewContext): JointReview {
  const state = jointState(facts);
  const { procedure } = facts;
  const entries = standing(facts.entries);
  const mine = facts.recorded.filter(({ work }) => work.joint === facts.joint);
  const outsideDiameterMm = diameterOf(facts, mine, context);
  const wallThicknessMm = state.particulars.wallThicknessMm ?? procedure?.pipe?.wallThicknessMm ?? null;
  const order = procedure?.passes.map(({ name }) => name) ?? [];
  const groove = grooveOf(procedure, wallThicknessMm);
  // What was welded into a repair lies in a groove that nobody has described: it says nothing of depths, nor has one.
  const isRepair = ({ message }: RecordedPass): boolean => repairOf(facts.entries, message.startUtc) !== null;
  const first = mine.filter(recorded => !isRepair(recorded));
  const depths = {
    A: depthsOf(groove, order, pass => messagesOf(first, 'A', pass), procedure),
    B: depthsOf(groove, order, pass => messagesOf(first, 'B', pass), procedure),
  };
  const passes = mine.map((recorded): ReviewPass => {
    const { side, pass } = recorded.work;
    const depth =
      side === null || pass === null || isRepair(recorded) ? null : (depths[side].get(pass) ?? null);
    const layer = pass === null ? -1 : order.indexOf(pass);
    return reviewPass(
      recorded,
      { layer: layer < 0 ? null : layer, depth, outsideDiameterMm, entries: facts.entries },
      context,
    );
  });
  const reports = entries.filter((entry): entry is EntryOf<'scanReport'> => entry.body.kind === 'scanReport');
  const findings = entries.filter(
    (entry): entry is EntryOf<'reviewFinding'> => entry.body.kind === 'reviewFinding',
  );
  const { procedure: named } = state;
  return {
    schema: 'girthlog.joint-review/1',
    joint: facts.joint,
    origin: facts.origin,
    state,
    procedure: named && {
      ...named,
      title: procedure?.title ?? '',
      exampleOnly: procedure?.exampleOnly === true,
      code: procedure?.code ?? null,
      passes: order,
    },
    outsideDiameterMm,
    wallThicknessMm,
    passes,
    indications: reviewIndications(reports, findings, passes, outsideDiameterMm),
    scans: reports.filter(({ body }) => body.indications.length === 0),
    findings: findings.filter(({ body }) => body.indication === null),
    annotations: entries.filter(({ body }) => body.kind === 'annotation'),
    dispositions: entries.filter(({ body }) => body.kind === 'disposition'),
    verifications: verificationsOf(mine, context),
    sealedAt: newestOf(mine, facts.entries),
  };
}

interface Placed {
  readonly layer: number | null;
  readonly depth: ReviewPass['depth'];
  readonly outsideDiameterMm: number | null;
  readonly entries: readonly Entry[];
}

function reviewPass(recorded: RecordedPass, placed: Placed, context: ReviewContext): ReviewPass {
  const { store, board, windows: cache } = context;
  const { message, work, move } = recorded;
  const assignment = countsAs(recorded, placed.outsideDiameterMm, store);
  const info = board.find(message)?.info ?? null;
  const referenceRadiusMm = info?.referenceRadiusMm ?? null;
  const key = JSON.stringify([
    message.passId,
    message.endUs,
    message.state,
    assignment?.id,
    referenceRadiusMm,
  ]);
  const { windows, note } = cache.of(key, () => passWindows(message, assignment, store, referenceRadiusMm));
  const { judgements } = passJournal(message, context);
  const { corrected } = correctedPass(message, store.journal.about(`rig ${message.site}/${message.rig}`));
  return {
    message,
    work,
    move,
    judgements,
    corrected: [...corrected],
    repairOf: repairOf(placed.entries, message.startUtc)?.id ?? null,
    layer: placed.layer,
    startDegrees: assignment && startClockwise(assignment),
    windows: [...windows],
    windowsNote: note,
    depth: placed.depth,
    events: eventsOf(message, context),
    quality: qualityOf(message, context),
  };
}

/** The work it counts as now, with the procedure it is judged by; null where no side or diameter is known. */
function countsAs(
  { message, work, move }: RecordedPass,
  outsideDiameterMm: number | null,
  store: ReviewContext['store'],
): EngineAssignment | null {
  if (work.joint === null || work.side === null || work.pass === null) return null;
  const assigned = message.assignmentId === null ? null : store.assignment(message.assignmentId)?.work;
  const moved = move === null ? null : (store.journal.entry(move.entryId)?.body ?? null);
  const named = moved?.kind === 'passMoved' ? moved : message;
  const { procedureId, procedureRevision } = named;
  const diameter = assigned?.outsideDiameterMm ?? outsideDiameterMm;
  if (procedureId === null || procedureRevision === null || diameter === null) return null;
  return {
    id: move?.entryId ?? message.assignmentId ?? message.passId,
    joint: work.joint,
    side: work.side,
    pass: work.pass,
    outsideDiameterMm: diameter,
    startDegrees: assigned?.startDegrees ?? 0,
    procedureId,
    procedureRevision,
    procedure: store.procedure(procedureId, procedureRevision)?.procedure ?? null,
  };
}

/** As assigned for the last pass that was, as entered of the joint, or as the procedure has it. */
function diameterOf(
  facts: JointFacts,
  mine: readonly RecordedPass[],
  { store }: ReviewContext,
): number | null {
  for (const { message } of mine.toReversed()) {
    const work = message.assignmentId === null ? null : store.assignment(message.assignmentId)?.work;
    if (work) return work.outsideDiameterMm;
  }
  return jointState(facts).particulars.outsideDiameterMm ?? facts.procedure?.pipe?.outsideDiameterMm ?? null;
}

const messagesOf = (mine: readonly RecordedPass[], side: 'A' | 'B', pass: string): PassMessage[] =>
  mine.filter(({ work }) => work.side === side && work.pass === pass).map(({ message }) => message);

/** Events of the rig while it welded the pass, with where on the side it then was. */
function eventsOf(message: PassMessage, { store }: ReviewContext): ReviewPass['events'] {
  const { site, rig, startUtc, endUtc, startUs, endUs } = message;
  const events: ReviewPass['events'] = [];
  let before: string | undefined;
  do {
    const page = store.events({ site, rig, fromUtc: startUtc, toUtc: endUtc, limit: 200, before });
    for (const { event } of page.items) {
      if (event.tUs < startUs || event.tUs > endUs) continue;
      const mm = event.data['positionMm'] ?? event.data['fromMm'];
      events.push({
        id: event.id,
        type: event.type,
        atUtc: event.at,
        tS: (event.tUs - startUs) / 1e6,
        alongMm: typeof mm === 'number' ? mm : null,
        text: event.text,
      });
    }
    before = page.next ?? undefined;
  } while (before !== undefined);
  return events.toReversed();
}

const CHANNELS_EXPECTED = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'gasFlow',
] as const;

function qualityOf(message: PassMessage, { store, board }: ReviewContext): ReviewPass['quality'] {
  const { site, rig, stream, startUs, endUs, clock, pass } = message;
  const info = board.find(message)?.info ?? null;
  const span = store.sampleSpan({ site, rig }, { kind: 'record', fromUs: startUs, toUs: endUs, stream });
  const inside = (span?.chunks ?? []).filter(chunk => chunk.lastUs >= startUs && chunk.firstUs <= endUs);
  const { samples, known } = samplesWithin(inside, startUs, endUs, store);
  return {
    samples,
    gaps: span
      ? gapsIn(span.chunks, startUs, endUs).map(gap => ({
          fromS: (gap.fromUs - startUs) / 1e6,
          toS: (gap.toUs - startUs) / 1e6,
        }))
      : [],
    unobservedS: pass.unobservedS,
    missingChannels: inside.length === 0 ? [] : CHANNELS_EXPECTED.filter(name => !known.has(name)),
    voltageTapPoint: info?.voltageTapPoint ?? null,
    referenceRadiusMm: info?.referenceRadiusMm ?? null,
    clock,
    pruned: inside.some(({ reduced, kind }) => reduced !== null || kind === 'summary'),
  };
}

/**
 * How many samples lie within the pass, and which channels are known there. A chunk that reaches beyond the pass is read:
 * the same is said however samples lie in the store, which puts them together once they have settled.
 */
function samplesWithin(
  chunks: readonly ChunkRow[],
  startUs: number,
  endUs: number,
  store: ReviewContext['store'],
): { samples: number; known: ReadonlySet<string> } {
  const known = new Set<string>();
  let samples = 0;
  for (const chunk of chunks) {
    const isWithin = chunk.firstUs >= startUs && chunk.lastUs <= endUs;
    const read = isWithin || chunk.kind === 'summary' ? null : store.chunkSamples(chunk);
    if (!read) {
      if (isWithin && chunk.kind !== 'summary') samples += chunk.n;
      for (const [name, extremes] of Object.entries(chunk.extremes)) if (extremes) known.add(name);
      continue;
    }
    const within = sliceByTime(read, startUs, endUs);
    samples += within.n;
    for (const [name, column] of Object.entries(within.columns)) {
      if (column.some(value => !Number.isNaN(value))) known.add(name);
    }
  }
  return { samples, known };
}

function verificationsOf(
  mine: readonly RecordedPass[],
  { facts }: ReviewContext,
): JointReview['verifications'] {
  const first = new Map<string, PassMessage>();
  for (const { message } of mine) {
    const key = `${message.site}/${message.rig}`;
    if (!first.has(key)) first.set(key, message);
  }
  return [...first.values()].map(message => {
    const { ready, findings } = facts.readinessAt(message);
    const { site, rig, startUtc } = message;
    return { site, rig, atUtc: startUtc, ready, findings: findings.map(({ text }) => text) };
  });
}

function newestOf(mine: readonly RecordedPass[], entries: readonly Entry[]): string | null {
  const all = [...mine.map(({ message }) => message.endUtc), ...entries.map(({ at }) => at)];
  return all.reduce<string | null>((newest, at) => (newest === null || at > newest ? at : newest), null);
}

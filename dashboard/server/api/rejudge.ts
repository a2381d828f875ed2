/**
 * A moved pass held against the limits of where it was moved: the engine that ran live, over the stored samples of
 * the pass. The sealed record is not touched; its own verdicts stay beside these.
 */
import type { EntryOf } from '#core/journal/entry';
import type { Judgement } from '#core/messages/api-pass-journal';
import type { PassMessage } from '#core/messages/pass';
import type { EngineAssignment, EngineEffect, EngineSettings } from '#core/pass/engine-api';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { decodeChunk } from '#core/sample/codec';
import { gapsIn } from '#core/series/coverage';
import type { DashboardStore } from '../store/store.ts';

type Settings = EngineSettings['uncertainty'];
const CHANNEL_OF = {
  weldingCurrent: 'current',
  arcVoltage: 'voltage',
  wireFeedSpeed: 'wireFeed',
  travelSpeed: 'travel',
} as const;

/** Standard relative uncertainties as the rig judged with: its verdicts carry them, its settings are not sent. */
export function uncertaintyOf({ pass }: PassMessage): Settings {
  const found: { -readonly [K in keyof Settings]: number | null } = {
    ...DEFAULT_ENGINE_SETTINGS.uncertainty,
  };
  for (const { quantity, value, expandedUncertainty } of pass.verdicts) {
    const channel = CHANNEL_OF[quantity as keyof typeof CHANNEL_OF];
    if (!channel || value === null || value === 0 || expandedUncertainty === null) continue;
    found[channel] ??= expandedUncertainty / 2 / Math.abs(value);
  }
  return found;
}

export interface RejudgeContext {
  readonly store: DashboardStore;
  readonly software: string;
  readonly at: string;
  /** Of the rig, where it has said so. */
  readonly referenceRadiusMm: number | null;
}

export function rejudge(pass: PassMessage, move: EntryOf<'passMoved'>, context: RejudgeContext): Judgement {
  const { store, software, at, referenceRadiusMm } = context;
  const { body } = move;
  const procedure = store.procedure(body.procedureId, body.procedureRevision)?.procedure ?? null;
  const answer = (parts: Partial<Judgement>): Judgement => ({
    basis: 'moved',
    entryId: move.id,
    procedureId: body.procedureId,
    procedureRevision: body.procedureRevision,
    pass: body.pass,
    verdicts: [],
    deviations: [],
    at,
    software,
    notes: [],
    ...parts,
  });
  const { site, rig, stream, startUs, endUs } = pass;
  const span = store.sampleSpan({ site, rig }, { kind: 'record', fromUs: startUs, toUs: endUs, stream });
  if (!span) return answer({ notes: ['No samples of the pass are stored here: it cannot be judged again.'] });
  const inside = span.chunks.filter(chunk => chunk.lastUs >= startUs && chunk.firstUs <= endUs);
  const periodUs = inside.find(chunk => chunk.periodUs !== null)?.periodUs ?? null;
  const work = pass.assignmentId === null ? null : (store.assignment(pass.assignmentId)?.work ?? null);
  const assignment: EngineAssignment = {
    id: move.id,
    joint: body.joint,
    side: body.side,
    pass: body.pass,
    outsideDiameterMm: work?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? Number.NaN,
    // Where it began is as it was; a pass recorded without a side is taken to start at its 12 o'clock.
    startDegrees: work?.startDegrees ?? 0,
    procedureId: body.procedureId,
    procedureRevision: body.procedureRevision,
    procedure,
  };
  if (!Number.isFinite(assignment.outsideDiameterMm)) {
    return answer({
      notes: ['Neither its assignment nor the WPS gives an outside diameter: it cannot be judged again.'],
    });
  }
  const engine = createPassEngine({
    ...DEFAULT_ENGINE_SETTINGS,
    samplePeriodS: periodUs === null ? null : periodUs / 1e6,
    referenceRadiusMm,
    uncertainty: uncertaintyOf(pass),
  });
  engine.assign(assignment);
  for (const { id } of inside) engine.push(within(decodeChunk(store.chunkBytes(id)), startUs, endUs));
  engine.finish();
  const closed = engine.drain().flatMap(effect => (isClosed(effect) ? [effect] : []));
  const judged = closed.reduce<(typeof closed)[number] | null>(
    (most, one) => (most === null || one.pass.arcTimeS > most.pass.arcTimeS ? one : most),
    null,
  );
  if (!judged) return answer({ notes: ['The stored samples show no arc: it cannot be judged again.'] });
  return answer({
    verdicts: judged.pass.verdicts,
    deviations: [...judged.deviations],
    notes: [
      ...(gapsIn(span.chunks, startUs, endUs).length > 0
        ? ['Samples are missing inside the pass; what is there was judged.']
        : []),
      ...(procedure?.waveformControlled === true && judged.pass.energyBasis === 'frameProduct'
        ? ['Energy is from mean values of a waveform-controlled source and is not judged.']
        : []),
      ...(work === null
        ? ['Positions are counted from 12 o’clock: the record does not say where the pass began.']
        : []),
    ],
  });
}

type Closed = Extract<EngineEffect, { kind: 'pass' }>;
const isClosed = (effect: EngineEffect): effect is Closed =>
  effect.kind === 'pass' && effect.state === 'closed';

function within(chunk: SampleChunk, fromUs: number, toUs: number): SampleChunk {
  const from = chunk.tUs.findIndex(tUs => tUs >= fromUs);
  if (from < 0) return sliceChunk(chunk, 0, 0);
  const beyond = chunk.tUs.findIndex(tUs => tUs > toUs);
  return sliceChunk(chunk, from, beyond < 0 ? chunk.n : beyond);
}

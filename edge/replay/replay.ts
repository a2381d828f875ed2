/** Runs the live engine over a recording and gathers what it says as `girthlog.replay/1`. */
import { basename } from 'node:path';
import type { Reason } from '#core/messages/common';
import type { Deviation, Pass } from '#core/messages/pass';
import type { EngineAssignment, EngineEffect, EngineSettings } from '#core/pass/engine-api';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS, type LabelledPassEngine } from '#core/pass/pass-engine';
import type { Procedure } from '#core/procedure/procedure';
import { sliceChunk } from '#core/sample/chunk';
import type { ColumnMap } from './column-map.ts';
import type { Recording } from './recording-reader.ts';

interface Interval {
  readonly startS: number;
  readonly endS: number;
}

export interface ReplayDocument {
  readonly schema: 'girthlog.replay/1';
  readonly source: {
    readonly file: string;
    readonly sha256: string;
    readonly samples: number;
    readonly rejected: number;
    readonly durationS: number;
    readonly samplePeriodS: number | null;
  };
  readonly signal: {
    readonly gaps: readonly Interval[];
    readonly held: readonly (Interval & { readonly channels: readonly string[] })[];
    readonly outOfOrder: number;
    readonly duplicateTimes: number;
  };
  readonly passes: readonly Pass[];
  readonly deviations: readonly (Deviation & { readonly passIndex: number })[];
  readonly reasons: readonly Reason[];
}

export interface ReplayRequest {
  readonly file: string;
  readonly recording: Recording;
  readonly procedure: Procedure | null;
  readonly passName: string | null;
  readonly settings?: Partial<EngineSettings>;
  /** What the recording was welded as, where the map says so. */
  readonly assignment?: ColumnMap['assignment'];
}

export function replayRecording(request: ReplayRequest): ReplayDocument {
  const { recording } = request;
  const { chunk } = recording;
  const originUs = chunk.tUs[0]!;
  const engine = createPassEngine(
    { ...DEFAULT_ENGINE_SETTINGS, samplePeriodS: recording.samplePeriodS, ...request.settings },
    { procedure: request.procedure, passName: request.passName },
  );
  feed(engine, request);
  engine.finish();
  const effects = engine.drain();
  const reasons = recordingReasons(recording);
  const closed = effects.flatMap(effect =>
    effect.kind === 'pass' && effect.state === 'closed' ? [effect] : [],
  );
  return {
    schema: 'girthlog.replay/1',
    source: {
      file: basename(request.file),
      sha256: recording.sha256,
      samples: recording.samples,
      rejected: recording.rejected,
      durationS: (chunk.tUs[chunk.n - 1]! - originUs) / 1e6,
      samplePeriodS: recording.samplePeriodS,
    },
    signal: {
      gaps: stretches(effects, 'signalGap', originUs),
      held: stretches(effects, 'signalHeld', originUs).map(held => ({
        ...held,
        channels: ['weldingCurrent', 'arcVoltage'],
      })),
      outOfOrder: recording.outOfOrder,
      duplicateTimes: recording.duplicateTimes,
    },
    passes: closed.map(({ pass }) => ({ ...pass, reasons: [...pass.reasons, ...reasons] })),
    deviations: closed.flatMap(({ pass, deviations }) =>
      deviations.map(deviation => ({ passIndex: pass.index, ...deviation })),
    ),
    reasons,
  };
}

/** The settings of the engine that a map gives. */
export function settingsOf(map: ColumnMap): Partial<EngineSettings> {
  const { heldAfterS, referenceRadiusMm, uncertainty } = map;
  return {
    ...(heldAfterS === undefined ? {} : { heldAfterS }),
    ...(referenceRadiusMm === undefined ? {} : { referenceRadiusMm }),
    ...(uncertainty === undefined ? {} : { uncertainty }),
  };
}

/** All of it, or piece by piece where its labels change. */
function feed(engine: LabelledPassEngine, request: ReplayRequest): void {
  const { chunk, labels } = request.recording;
  if (!labels) {
    engine.assign(assigned(request, ''));
    engine.push(chunk);
    return;
  }
  let from = 0;
  for (let to = 1; to <= chunk.n; to++) {
    if (to < chunk.n && labels[to] === labels[from]) continue;
    const label = labels[from] ?? null;
    if (request.assignment) engine.assign(label === null ? null : assigned(request, label));
    else engine.label(label);
    engine.push(sliceChunk(chunk, from, to));
    from = to;
  }
}

function assigned({ assignment, procedure }: ReplayRequest, label: string): EngineAssignment | null {
  if (!assignment) return null;
  const { id: procedureId, revision: procedureRevision } = procedure ?? { id: '', revision: 0 };
  return { id: `replay ${label}`, ...assignment, procedureId, procedureRevision, procedure };
}

function stretches(
  effects: readonly EngineEffect[],
  type: 'signalGap' | 'signalHeld',
  originUs: number,
): Interval[] {
  const seconds = (us: unknown): number => (Number(us) - originUs) / 1e6;
  return effects.flatMap(effect =>
    effect.kind === 'event' && effect.type === type
      ? [{ startS: seconds(effect.data['fromUs']), endS: seconds(effect.data['toUs']) }]
      : [],
  );
}

function recordingReasons(recording: Recording): Reason[] {
  const reasons: Reason[] = [];
  if (recording.currentMostlyNegative) {
    const text =
      'the current is mostly negative and was not turned over: map weldingCurrent with "scale": -1';
    reasons.push({ code: 'currentNegative', fields: ['meanCurrentA', 'arcEnergyKj'], text });
  }
  return reasons;
}

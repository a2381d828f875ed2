/** The live summary: the engine's values when they are fresh, NO DATA when they are not. */
import type { Assignment } from '#core/messages/assignment';
import type { Origin } from '#core/messages/common';
import type { Live, SourceState } from '#core/messages/live';
import type { EngineLive } from '#core/pass/engine-api';
import type { RecordClock } from '../clock/record-clock.ts';
import type { RecordingState } from './recorder.ts';

/** Nothing for this long: values are unknown, whatever was last read. */
export const NO_DATA_MS = 2000;

const NO_VALUES: Live['values'] = {
  weldingCurrent: null,
  arcVoltage: null,
  wireFeedSpeed: null,
  travelSpeed: null,
  power: null,
  gasFlow: null,
  temperature: null,
  oscillationWidth: null,
  oscillationFrequency: null,
  program: null,
};

export interface LiveInput {
  readonly origin: Origin;
  readonly clock: RecordClock;
  readonly engine: EngineLive;
  readonly source: { readonly state: SourceState; readonly sinceUs: number; readonly detail: string | null };
  /** Since the last sample arrived, ms; null before the first. */
  readonly silentMs: number | null;
  readonly buffer: {
    readonly waiting: number;
    readonly storedToUs: number | null;
    readonly recording: RecordingState;
  };
  readonly assignment: Assignment | null;
}

export function isFresh(silentMs: number | null): boolean {
  return silentMs !== null && silentMs <= NO_DATA_MS;
}

export function liveMessage(input: LiveInput): Live {
  const { clock, engine, buffer, source } = input;
  const fresh = isFresh(input.silentMs);
  const nowUs = clock.nowUs();
  const work = input.assignment?.work ?? null;
  return {
    origin: input.origin,
    at: clock.utcOf(nowUs),
    // The samples of a device that runs ahead have gone further than the clock: what was told is not taken back.
    tUs: fresh ? engine.tUs : Math.max(nowUs, engine.tUs),
    source: {
      state: source.state,
      since: clock.utcOf(source.sinceUs),
      detail: source.detail?.slice(0, 300) ?? null,
    },
    clock: clock.reading(),
    buffer: {
      waiting: buffer.waiting,
      storedTo: buffer.storedToUs === null ? null : clock.utcOf(buffer.storedToUs),
      recording: buffer.recording,
    },
    arc: fresh ? engine.arc : 'noData',
    assignment:
      work && input.assignment
        ? {
            id: input.assignment.id,
            joint: work.joint,
            side: work.side,
            pass: work.pass,
            procedureId: work.procedureId,
            procedureRevision: work.procedureRevision,
          }
        : null,
    values: fresh ? engine.values : NO_VALUES,
    position: engine.position,
    pass: engine.pass,
    outOfRange: fresh ? [...engine.outOfRange] : [],
    passMismatch: fresh ? engine.passMismatch : null,
    drifting: fresh ? [...engine.drifting] : [],
  };
}
